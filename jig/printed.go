package jig

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// A template that the job has cut from sheet can be printed all the same: as a
// gluing plate, since only a print carries rails. It then has holes of its own,
// sized for a printer, and it is thin enough for rails to stand on it.

const (
	// stockNozzleMM is the nozzle of most printers. Common practice, no source.
	stockNozzleMM = 0.4
	// stockFilament is what a template is printed of when the job cuts it from
	// sheet. Common practice, no source.
	stockFilament = "pla"
	// leastRiseMM is the least height of a rail above its plate: six layers, so
	// that it does not peel off. Common practice, no source.
	leastRiseMM = 1.2
	// leastPrintMM is the thinnest plate that still guides a pin and lies flat.
	// Common practice, no source.
	leastPrintMM = 2.0
)

// printedPart is the template as a print.
func printedPart(tmpl part) (part, error) {
	if tmpl.make.By == "print" {
		return tmpl, nil
	}
	return newPart("print", "template", stockFilament, tmpl.thickness, job.Make{By: "print", NozzleMM: stockNozzleMM}, true)
}

// printThickness returns the thickness of the printed plate and whether it was
// made thinner than the sheet for the sake of its rails.
func (b *builder) printThickness() (t float64, thinner bool) {
	t = b.job.Template.ThicknessMM
	r := b.job.Rails
	if b.job.Template.Make.By == "print" || r == nil || b.job.Template.Seat != "nest" {
		return t, false
	}
	most := plate.DownTo(r.HeightMM-leastRiseMM, layerMM)
	if most < leastPrintMM || most >= t {
		return t, false
	}
	return most, true
}

// jointClearanceMM is a key's clearance in its socket, per side, when the job names
// none: published figures for printed joints run from 0.1 to 0.2 mm (cut-file rule
// B08). Source: as named there.
const jointClearanceMM = 0.1

// split decides where a printed plate too long for its printer is cut.
func (b *builder) split() {
	mk := b.printed.make
	if b.job.Template.Make.By != "print" || mk.BedMM[0] == 0 || mk.BedMM[1] == 0 {
		return
	}
	_, size := filePlace(b.d.Frame, b.d.Template.Outline)
	if fitsBed(size, mk.BedMM) {
		return
	}
	c := jointClearanceMM
	if mk.Given("joint") {
		c = mk.JointMM
	}
	s := splitter{
		outline: b.d.Template.Outline, window: b.d.Template.Window, pins: b.d.Pins, rails: b.standingRails(),
		web: b.region.WebMM, clearance: c,
	}
	seams, err := s.seams(mk.BedMM[0], mk.BedMM[1])
	if err != nil {
		b.cannotSplit = err
		return
	}
	b.pieces = s.pieces(seams)
	b.d.Split = &Split{ClearanceMM: c, ApartMM: math.Inf(1)}
	for _, m := range seams {
		b.d.Split.SeamsMM = append(b.d.Split.SeamsMM, m.u)
		b.d.Split.ApartMM = math.Min(b.d.Split.ApartMM, m.keys[len(m.keys)-1].v-m.keys[0].v)
	}
}

// fitsBed reports whether a plate lies on the printer's bed, one way or the other.
func fitsBed(size geom.Vec, bed [3]float64) bool {
	return size.X <= bed[0]+ruleSlack && size.Y <= bed[1]+ruleSlack || size.Y <= bed[0]+ruleSlack && size.X <= bed[1]+ruleSlack
}

// print lays out the printed plate, whole and in the parts that it is printed from:
// the true outline, no kerf, rails on top.
func (b *builder) print() {
	d := b.d
	whole := b.layPrint(piece{outline: d.Template.Outline, window: d.Template.Window, from: math.Inf(-1), to: math.Inf(1)})
	whole.File = "template.stl"
	d.Print = whole
	d.Parts = []Print{*whole}
	if len(b.pieces) > 0 {
		d.Parts = nil
		for i, p := range b.pieces {
			p.marks = b.partMark(p, fmt.Sprintf("%d/%d", i+1, len(b.pieces)))
			q := b.layPrint(p)
			q.File = fmt.Sprintf("template-%d.stl", i+1)
			d.Parts = append(d.Parts, *q)
		}
	}
	if whole.Thinner {
		d.Notes = append(d.Notes, fmt.Sprintf(
			"template.stl is the plate as a gluing jig, %.1f mm thick instead of %.1f, so that its rails can stand %.1f mm high and still end below the board's edge.",
			whole.ThicknessMM, b.job.Template.ThicknessMM, b.job.Rails.HeightMM))
	}
	if b.job.Template.Make.By == "print" {
		b.printRules()
	} else {
		d.Notes = append(d.Notes, "template.stl is drawn for a printer whose holes come out to size: measure one before the pins go in (published holes come out 0.1 to 0.8 mm small).")
	}
}

// layPrint lays one piece of the plate into a file of its own: the machine's axes,
// lower left at (0, 0), turned by a quarter when only so it fits the printer's bed.
func (b *builder) layPrint(k piece) *Print {
	d, mk := b.d, b.printed.make
	place, size := filePlace(d.Frame, k.outline)
	if mk.BedMM[0] > 0 && (size.X > mk.BedMM[0] || size.Y > mk.BedMM[1]) && fitsBed(size, mk.BedMM) {
		turned := d.Frame
		turned.ToMachine.Angle -= math.Pi / 2
		place, _ = filePlace(turned, k.outline)
	}
	t, thinner := b.printThickness()
	p := &Print{
		Origin: place.Apply(geom.Vec{}), Place: place, Turn: -place.Angle, Outline: place.Loop(k.outline),
		ThicknessMM: t, Thinner: thinner, BedMM: mk.BedMM, NozzleMM: mk.NozzleMM,
		FootMM: footMM, WindowFootMM: footMM, EntryMM: entryMM,
	}
	if k.window != nil {
		p.Window = place.Loop(k.window)
		p.WindowFootMM = b.squeezeFoot(t)
	}
	for _, q := range d.Pins {
		if !k.holds(q.At) {
			continue
		}
		p.Holes = append(p.Holes, PrintHole{
			ID: q.ID, Center: place.Apply(q.At), Diameter: q.Print.DrawnMM,
			Travel: q.Print.SlotMM, Angle: q.Print.SlotAngle + place.Angle,
		})
	}
	if r := d.Rails; r != nil && d.Template.Window != nil && r.HeightMM > t {
		for _, l := range r.Outlines {
			if l = k.trim(l); len(l) > 2 && k.holds(l.Bounds().Center()) {
				p.Rails = append(p.Rails, PrintRail{Outline: place.Loop(l), TopMM: r.HeightMM})
			}
		}
	}
	for _, m := range append(slices.Clone(d.Template.Marks), k.marks...) {
		q := PrintMark{Says: m.Says, WidthMM: math.Max(2*mk.NozzleMM, leastStrokeMM), LevelMM: t + raiseMM}
		inside := true
		for _, s := range m.Strokes {
			line := make([]geom.Vec, len(s))
			for i, v := range s {
				line[i] = place.Apply(v)
				inside = inside && k.holds(v)
			}
			q.Strokes = append(q.Strokes, line)
		}
		if inside {
			p.Marks = append(p.Marks, q)
		}
	}
	p.enlarge(1 / (1 - mk.ShrinkPct/100))
	return p
}

// enlarge draws the print k times as large in the plane, so that it shrinks to size. A
// hole's diameter stays: what a printer makes of holes is measured apart, as its bias.
func (p *Print) enlarge(k float64) {
	p.Scale = k
	if k == 1 {
		return
	}
	loop := func(l geom.Loop) geom.Loop {
		out := slices.Clone(l)
		for i := range out {
			out[i].Vec = out[i].Scale(k)
		}
		return out
	}
	p.Origin, p.Outline = p.Origin.Scale(k), loop(p.Outline)
	if p.Window != nil {
		p.Window = loop(p.Window)
	}
	for i := range p.Holes {
		p.Holes[i].Center = p.Holes[i].Center.Scale(k)
		p.Holes[i].Travel *= k
	}
	for i := range p.Rails {
		p.Rails[i].Outline = loop(p.Rails[i].Outline)
	}
	for i := range p.Marks {
		for _, s := range p.Marks[i].Strokes {
			for j := range s {
				s[j] = s[j].Scale(k)
			}
		}
	}
}

// holds reports whether a point of the plate belongs to the piece.
func (k piece) holds(p geom.Vec) bool {
	return p.X > k.from && p.X < k.to && k.outline.Contains(p)
}

// railSeamMM is the gap that the rails of two parts leave at a seam. Common practice,
// no source.
const railSeamMM = 0.2

// trim cuts a rail, a convex contour, off at the piece's seams.
func (k piece) trim(l geom.Loop) geom.Loop {
	pts := l.Corners()
	for _, cut := range []struct{ at, way float64 }{{k.from + railSeamMM/2, 1}, {k.to - railSeamMM/2, -1}} {
		if math.IsInf(cut.at, 0) {
			continue
		}
		var out []geom.Vec
		for i, p := range pts {
			q := pts[(i+1)%len(pts)]
			dp, dq := cut.way*(p.X-cut.at), cut.way*(q.X-cut.at)
			if dp >= 0 {
				out = append(out, p)
			}
			if dp >= 0 != (dq >= 0) {
				out = append(out, p.Lerp(q, dp/(dp-dq)))
			}
		}
		pts = out
	}
	return geom.FromPoints(pts)
}

const (
	// footMM is the chamfer on the bed side, where the first layers spread: 0.3 to
	// 0.5 mm is usual (cut-file rule B11).
	footMM = 0.4
	// entryMM is the chamfer that leads a pin in. Common practice, no source.
	entryMM = 0.5
	// raiseMM is how high a mark stands on the plate: two layers, which can be felt
	// and do not catch. Raised, it weakens no wall. Common practice, no source.
	raiseMM = 2 * layerMM
	// leastStrokeMM is the narrowest line that sticks. Common practice, no source.
	leastStrokeMM = 0.8
	// mostFootShare keeps at least half of the window's wall upright, so that it
	// still locates the board. Common practice, no source.
	mostFootShare = 0.5
)

// squeezeFoot is the chamfer along the window's lower edge: it takes up the glue that
// is squeezed out beside the board, as far as half of the wall lets it.
func (b *builder) squeezeFoot(t float64) float64 {
	r := b.d.Rails
	if r == nil || r.Gluing == nil {
		return footMM
	}
	want := r.Gluing.Chamfer.Most
	return math.Max(footMM, math.Min(plate.UpTo(want, chamferStepMM), plate.DownTo(mostFootShare*t, chamferStepMM)))
}

// chamferStepMM rounds a chamfer to what a caliper reads.
const chamferStepMM = 0.1

// printRules: does the plate fit the printer, in whole layers, with walls that print?
func (b *builder) printRules() {
	book, p := b.book, b.d.Print
	mk := b.printed.make
	bed := mk.BedMM
	if bed[0] > 0 && bed[1] > 0 {
		spare := math.Inf(1)
		var long, short float64
		for _, q := range b.d.Parts {
			size := q.Outline.Bounds().Size()
			s := math.Max(math.Min(bed[0]-size.X, bed[1]-size.Y), math.Min(bed[1]-size.X, bed[0]-size.Y))
			if s < spare {
				spare, long, short = s, math.Max(size.X, size.Y), math.Min(size.X, size.Y)
			}
		}
		what := "the plate"
		if len(b.d.Parts) > 1 {
			what = fmt.Sprintf("the largest of %d parts", len(b.d.Parts))
		}
		remedy := "a larger printer, a smaller margin, or a plate from sheet"
		if b.cannotSplit != nil {
			remedy = b.cannotSplit.Error() + "; " + remedy
		}
		book.atLeast("print-fits-bed", spare, 0, "mm",
			fmt.Sprintf("%s of %.1f x %.1f mm leaves %s on the printer's bed", what, long, short, mm(spare)), remedy, "template.make.bed")
	}
	if s := b.d.Split; s != nil {
		b.d.Notes = append(b.d.Notes, fmt.Sprintf(
			"The plate is printed in %d parts (seams at u %s). Push the keys in on a flat bed with the pins in place and a straightedge along the window, then glue them; loose, the joint adds what the budget says.",
			len(b.d.Parts), stations(s.SeamsMM)))
	}
	layers := p.ThicknessMM / layerMM
	off := math.Abs(layers-math.Round(layers)) * layerMM
	book.judge("print-layers", off < ruleSlack, Warn, off, 0, "mm",
		fmt.Sprintf("the plate is %.2f mm thick, layers are %.1f mm", p.ThicknessMM, layerMM),
		"the slicer will round it: take a multiple", "template.thickness")
	for _, r := range p.Rails {
		_, width := slimmest(r.Outline)
		book.atLeast("print-rail-width", width, 2*p.NozzleMM, "mm",
			fmt.Sprintf("a rail is %s wide", mm(width)), "a rail needs two lines of the nozzle", "template.make.nozzle")
		break // both rails are alike
	}
	if wall, where := b.thinnestWall(); !math.IsInf(wall, 1) {
		book.atLeast("print-wall", wall, 2*p.NozzleMM, "mm",
			fmt.Sprintf("the thinnest wall, %s, is %s", where, mm(wall)), "a wall needs two lines of the nozzle: a larger template.margin or thinner pins", "template.margin")
	}
	given := mk.Given("bias")
	book.judge("print-holes-measured", given, Warn, mk.BiasMM, 0, "mm",
		fmt.Sprintf("holes come out %.2f mm off what is drawn, as measured", mk.BiasMM),
		"no hole of this printer has been measured: published holes come out 0.1 to 0.8 mm small; print one, measure it and give template.make.bias, and a long print's shrink_pct", "template.make")
}

// stations lists seams for a sentence.
func stations(all []float64) string {
	s := ""
	for i, u := range all {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%.0f", u)
	}
	return s
}

// thinnestWall is the least material between a hole's chamfered mouth and the plate's
// edges, as they lie on the printer's bed.
func (b *builder) thinnestWall() (float64, string) {
	least, where := math.Inf(1), ""
	for _, p := range b.d.Parts {
		for _, h := range p.Holes {
			r := (h.Diameter+h.Travel)/2 + p.FootMM
			if w := p.Outline.Depth(h.Center) - r - p.FootMM; w < least {
				least, where = w, fmt.Sprintf("hole %s to the edge", h.ID)
			}
			if p.Window != nil {
				if w := -p.Window.Depth(h.Center) - r - p.WindowFootMM; w < least {
					least, where = w, fmt.Sprintf("hole %s to the window", h.ID)
				}
			}
		}
	}
	return least, where
}
