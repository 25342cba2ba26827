package setupsheet

import (
	"fmt"
	"math"
	"slices"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// Measures of the picture of a plan, mm.
const (
	planSides = 6.0 // beside it, for dimensions and names
	originR   = 1.75
	axisLong  = 9.0
)

// planView draws what lies on the table, seen from above, to a scale: its outlines, windows and
// pins, where zero is and how far from the stock's edges, which face is up. The datum line runs to
// the right. nil where no outline is known.
func planView(d *jig.Design, s setup.Setup, wide, tall float64) *block.Figure {
	toBoard := d.Frame.ToMachine.Inverse()
	all := geom.EmptyBox()
	for _, l := range s.Stack {
		all = all.Union(toBoard.Loop(l.Outline).Bounds())
	}
	if all.Min.X > all.Max.X {
		return nil
	}
	by := scaleFor(all.Size(), at(wide-2*planSides, tall))
	k := 1 / by
	paper := func(machine geom.Vec) geom.Vec { return toBoard.Apply(machine).Scale(k) }
	loop := func(l geom.Loop) geom.Loop { return toBoard.Loop(l).Scale(k) }
	f := &block.Figure{}
	for i, l := range s.Stack {
		pen := picture.PenOutline
		if i == 0 && len(s.Stack) > 1 {
			pen = picture.PenAdjacent
		}
		f.Loop(pen, loop(l.Outline))
		if openingOf(l) == nil {
			pen = picture.PenAdjacent
		}
		f.Loop(pen, loop(l.Window))
	}
	for _, q := range s.Pins {
		pen := picture.PenOutline
		if pinR(q, k) < 4*picture.WideMM {
			pen = picture.PenThin
		}
		f.Circle(pen, paper(q.At), pinR(q, k))
	}
	holes := holesOf(d, s, toBoard)
	for _, h := range holes {
		if len(h.loop) > 0 {
			f.Loop(picture.PenThin, h.loop.Scale(k))
		} else {
			f.Circle(picture.PenThin, h.at.Scale(k), max(h.r*k, 0.6))
		}
	}
	b := f.Ink()
	room := boxOf(b.Center().X-wide/2, b.Min.Y-12, b.Center().X+wide/2, b.Max.Y+8)
	zero := paper(geom.Vec{})
	if s.Zero != nil {
		origin(f, zero)
		arrows(f, d, zero)
		stockDims(f, s, b, zero, d.Frame.LongAxis == "x")
	}
	for _, q := range s.Pins {
		near(f, paper(q.At), pinR(q, k), room, picture.Plain(q.ID))
	}
	for _, h := range holes {
		near(f, h.at.Scale(k), max(h.r*k, 0.6), room, picture.Plain(h.name))
	}
	if s.Zero != nil {
		for _, name := range []string{"X", "Y"} {
			near(f, zero.Add(axis(d, name).Scale(axisLong)), 0.5, room, "+"+name)
		}
		near(f, zero, originR, room, "X0 Y0")
	}
	for i, l := range s.Stack {
		covers := []geom.Loop{loop(l.Window)}
		if l.Window != nil && openingOf(l) == nil {
			inside(f, covers[0], nil, layerName(s, setup.Layer{Name: "board"}))
		}
		for _, o := range s.Stack[i+1:] {
			covers = append(covers, loop(o.Outline))
		}
		inside(f, loop(l.Outline), covers, layerName(s, l))
	}
	b = f.Ink()
	says := "From above"
	if s.FaceUp != "" {
		says = fmt.Sprintf("From above, %s up", s.FaceUp.Name())
	}
	near := map[string]string{"x": "the operator stands below", "y": "the operator stands at the left"}[d.Frame.LongAxis]
	if s.Place != "machine" {
		near = "the start end is at the left"
	}
	f.Text(at(b.Min.X, b.Max.Y+2), block.Small, picture.Start, fmt.Sprintf("%s; %s; 1:%s", says, near, units.Decimal(by, 1)))
	return f
}

// planHole is a hole that a set-up makes, in the board frame.
type planHole struct {
	name string
	at   geom.Vec
	r    float64
	loop geom.Loop // of a slot
}

// holesOf are the holes of a plate that is cut or printed, or those that a program bores into the board.
func holesOf(d *jig.Design, s setup.Setup, toBoard geom.Rigid) (out []planHole) {
	part := map[setup.ID]string{setup.CutPlate: "template", setup.CutGluingPlate: "rails"}[s.ID]
	if part == "rails" && (d.Rails == nil || d.Rails.Sheet == nil) {
		part = "print"
	}
	for _, q := range d.Pins {
		if h := q.In(part); h != nil {
			hole := planHole{name: q.ID + " " + string(h.Role), at: q.At, r: h.MaxMM / 2}
			if h.SlotMM > 0 {
				hole.loop = geom.Slot(q.At, h.SlotAngleUV, h.SlotMM, h.MaxMM)
				hole.r += h.SlotMM / 2
			}
			out = append(out, hole)
		}
	}
	for _, p := range d.Programs {
		if p.Part != "board" || p.Path.File != s.Program {
			continue
		}
		for _, h := range p.Holes {
			out = append(out, planHole{name: h.ID, at: toBoard.Apply(h.At), r: h.DiameterMM / 2})
		}
	}
	return out
}

// pinR is a pin's radius on the paper, mm; a smaller one could not be seen.
func pinR(q setup.Pin, k float64) float64 { return max(q.RadiusMM*k, 0.6) }

// layerName is a layer's name, the board's with its face that is up.
func layerName(s setup.Setup, l setup.Layer) string {
	if l.Name == "board" && s.FaceUp != "" {
		return "board, " + s.FaceUp.Name() + " up"
	}
	return l.Name
}

// origin draws the mark of a zero: two opposite quarters of a circle filled.
func origin(f *block.Figure, at geom.Vec) {
	f.Circle(picture.PenThin, at, originR)
	for _, a := range [2]float64{0, math.Pi} {
		pts := []geom.Vec{at}
		const n = 8
		for k := 0; k <= n; k++ {
			pts = append(pts, at.Add(geom.Polar(originR, a+math.Pi/2*float64(k)/n)))
		}
		f.Fill(pts...)
	}
}

// axis is the direction of the machine's X or Y on the picture.
func axis(d *jig.Design, name string) geom.Vec {
	toBoard := d.Frame.ToMachine.Inverse()
	dir := map[string]geom.Vec{"X": at(1, 0), "Y": at(0, 1)}[name]
	return toBoard.Apply(dir).Sub(toBoard.Apply(geom.Vec{}))
}

// arrows draws the machine's axes from zero.
func arrows(f *block.Figure, d *jig.Design, zero geom.Vec) {
	for _, name := range []string{"X", "Y"} {
		dir := axis(d, name)
		tip := zero.Add(dir.Scale(axisLong))
		f.Line(picture.PenThin, zero, tip)
		f.Arrow(tip, dir)
	}
}

// stockDims draws how far zero lies from the stock's near end and side, where the set-up says so.
func stockDims(f *block.Figure, s setup.Setup, b box, zero geom.Vec, alongX bool) {
	z := s.Zero
	if z.FromEndMM == nil || z.FromSideMM == nil {
		return
	}
	dim := func(from, to geom.Vec, says string, off geom.Vec) {
		p, q := from.Add(off), to.Add(off)
		f.Line(picture.PenThin, from, p.Add(off.Unit().Scale(1.5)))
		f.Line(picture.PenThin, to, q.Add(off.Unit().Scale(1.5)))
		f.Line(picture.PenThin, p, q)
		f.Arrow(p, p.Sub(q))
		f.Arrow(q, q.Sub(p))
		t := picture.Text{At: p.Lerp(q, 0.5).Add(at(0, 1)), Height: block.Small, Anchor: picture.Middle, S: says}
		if off.Y == 0 {
			t.At, t.Angle = p.Lerp(q, 0.5).Add(at(-1, 0)), math.Pi/2
		}
		f.Add(t)
	}
	along, across := *z.FromEndMM, *z.FromSideMM
	dim(at(b.Min.X, b.Min.Y), at(zero.X, b.Min.Y), units.Fixed(along, 1), at(0, -7))
	side := b.Max.Y // the left side lies above
	if alongX {
		side = b.Min.Y
	}
	dim(at(b.Min.X, min(zero.Y, side)), at(b.Min.X, max(zero.Y, side)), units.Fixed(across, 1), at(-7, 0))
}

// inside writes a name into a part where it lies on nothing and nothing covers the part; it is left
// out where there is no such place.
func inside(f *block.Figure, part geom.Loop, covers []geom.Loop, says string) {
	says = picture.Plain(says)
	b, w := part.Bounds(), picture.TextWidth(says, block.Small)
	clear := func(ink box) bool {
		for _, p := range append(geom.Rect(ink).Corners(), ink.Center()) {
			if !part.Contains(p) || slices.ContainsFunc(covers, func(c geom.Loop) bool { return len(c) > 0 && c.Contains(p) }) {
				return false
			}
		}
		return f.WorstClash(ink) == block.Free
	}
	const rows = 24 // places tried from below to above
	for _, k := range []float64{0.3, 0.5, 0.7, 0.15, 0.85, 0.4, 0.6} {
		for j := range rows {
			t := picture.Text{Height: block.Small, S: says, At: at(b.Min.X+float64(k*b.Size().X)-w/2,
				b.Min.Y+float64(b.Size().Y*(float64(j)+0.5)/rows)-block.Small/2)}
			if clear(t.Ink()) {
				f.Add(t)
				return
			}
		}
	}
}
