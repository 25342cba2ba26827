package sheet

import (
	"fmt"
	"slices"

	"reseat/export/block"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// scaled is a design whose lengths are those on the paper: 1 to by of what they are. What is
// written is what they are.
type scaled struct {
	*jig.Design
	by float64
}

// scales are those of ISO 5455 (recalled) and the steps between them that a home printer's paper
// asks for: 1 to each, under 1 enlarged.
var scales = []float64{0.1, 0.2, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20, 25, 30, 40, 50, 75, 100}

// text writes a length on the paper as what it is.
func (d scaled) text(x float64) string { return block.MM(units.Round(x*d.by, 6)) }

// scale names the scale as a drawing does.
func (d scaled) scale() string {
	if d.by < 1 {
		return units.Decimal(1/d.by, 1) + ":1"
	}
	return "1:" + units.Decimal(d.by, 1)
}

// to scales a design; the design stays as it is.
func to(of *jig.Design, by float64) scaled {
	d, k := *of, 1/by
	loops := func(all []geom.Loop) []geom.Loop {
		out := make([]geom.Loop, len(all))
		for i, l := range all {
			out[i] = l.Scale(k)
		}
		return out
	}
	wedges := func(all []plate.Wedge) []plate.Wedge {
		out := slices.Clone(all)
		for i := range out {
			w := &out[i]
			w.LengthMM, w.ThinMM, w.At = w.LengthMM*k, w.ThinMM*k, w.At.Scale(k)
		}
		return out
	}
	box := func(b geom.Box) geom.Box { return geom.Box{Min: b.Min.Scale(k), Max: b.Max.Scale(k)} }
	hole := func(h jig.Hole) jig.Hole {
		h.MinMM, h.SlotMM, h.DepthMM = h.MinMM*k, h.SlotMM*k, h.DepthMM*k
		return h
	}
	d.Frame.ToMachine.Shift = d.Frame.ToMachine.Shift.Scale(k)
	b := &d.Board
	b.Outline, b.Holes = b.Outline.Scale(k), loops(b.Holes)
	b.WidthStartMM, b.WidthEndMM, b.ThicknessMM, b.CrownRadiusMM = b.WidthStartMM*k, b.WidthEndMM*k, b.ThicknessMM*k,
		b.CrownRadiusMM*k
	b.Features = slices.Clone(b.Features)
	for i := range b.Features {
		b.Features[i].At, b.Features[i].BoreMM = b.Features[i].At.Scale(k), b.Features[i].BoreMM*k
	}
	b.KeepOut = slices.Clone(b.KeepOut)
	for i := range b.KeepOut {
		b.KeepOut[i].Box = box(b.KeepOut[i].Box)
	}
	t := &d.Template
	t.Outline, t.Window, t.ThicknessMM = t.Outline.Scale(k), t.Window.Scale(k), t.ThicknessMM*k
	t.Stops = slices.Clone(t.Stops)
	for i := range t.Stops {
		t.Stops[i].A, t.Stops[i].B = t.Stops[i].A.Scale(k), t.Stops[i].B.Scale(k)
	}
	if d.Blank != nil {
		n := *d.Blank
		n.Outline, n.Strips, n.Bridges, n.ThicknessMM = n.Outline.Scale(k), loops(n.Strips), loops(n.Bridges), n.ThicknessMM*k
		d.Blank = &n
	}
	d.Bed.ThicknessMM *= k
	d.Pins = slices.Clone(d.Pins)
	for i := range d.Pins {
		p := &d.Pins[i]
		p.At, p.Machine = p.At.Scale(k), p.Machine.Scale(k)
		p.Dowel.NominalMM, p.Dowel.LengthMM = p.Dowel.NominalMM*k, p.Dowel.LengthMM*k
		p.Template, p.Bed = hole(p.Template), hole(p.Bed)
		if p.Blank != nil {
			h := hole(*p.Blank)
			p.Blank = &h
		}
	}
	if d.Rails != nil {
		r := *d.Rails
		r.Outlines, r.Pairs = loops(r.Outlines), wedges(r.Pairs)
		if r.Sheet != nil {
			s := *r.Sheet
			s.Window, s.Lands = s.Window.Scale(k), slices.Clone(s.Lands)
			for i, l := range s.Lands {
				s.Lands[i] = [2]geom.Vec{l[0].Scale(k), l[1].Scale(k)}
			}
			s.Wedges = wedges(s.Wedges)
			r.Sheet = &s
		}
		d.Rails = &r
	}
	if d.Print != nil {
		p := *d.Print
		p.Rails = slices.Clone(p.Rails)
		for i := range p.Rails {
			p.Rails[i].TopMM *= k
		}
		d.Print = &p
	}
	if d.Split != nil {
		s := *d.Split
		s.SeamsMM = slices.Clone(s.SeamsMM)
		for i := range s.SeamsMM {
			s.SeamsMM[i] *= k
		}
		d.Split = &s
	}
	d.Setups = slices.Clone(d.Setups)
	for i := range d.Setups {
		s := &d.Setups[i]
		s.Stack = slices.Clone(s.Stack)
		for j, l := range s.Stack {
			s.Stack[j] = setup.Layer{
				Name: l.Name, Material: l.Material, FromMM: l.FromMM * k, ToMM: l.ToMM * k,
				Outline: l.Outline.Scale(k), Window: l.Window.Scale(k),
			}
		}
	}
	return scaled{&d, by}
}

// largest draws a view to the largest scale at which it fits into a size; nil where it fits at none.
func largest(d *jig.Design, room geom.Vec, from float64, draw func(scaled) *block.Figure) (*block.Figure, scaled, error) {
	for _, by := range scales {
		if by < from {
			continue
		}
		s := to(d, by)
		f := draw(s)
		if f == nil {
			return nil, s, nil
		}
		if size := f.Ink().Size(); size.X <= room.X && size.Y <= room.Y {
			return f, s, nil
		}
	}
	return nil, scaled{}, fmt.Errorf("a view does not fit on the paper at 1:%g", scales[len(scales)-1])
}
