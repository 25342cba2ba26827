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

// All of these: common practice, no source.
const (
	stockNozzleMM    = 0.4         // the nozzle of most printers
	stockFilament    = "pla"       // what a template is printed of when the job cuts it from sheet
	layerMM          = 0.2         // the usual layer of a printer; heights snap to it
	leastRiseMM      = 1.2         // least height of a rail above its plate: six layers, so that it does not peel off
	leastPrintMM     = 2.0         // thinnest plate that still guides a pin and lies flat
	jointClearanceMM = 0.1         // of a key in its socket, per side, when the job names none
	footMM           = 0.4         // chamfer on the bed side, where the first layers spread: 0.3 to 0.5 is usual
	entryMM          = 0.5         // chamfer that leads a pin in
	raiseMM          = 2 * layerMM // how high a mark stands: it can be felt, does not catch and weakens no wall
	leastStrokeMM    = 0.8         // narrowest line that sticks
	mostFootShare    = 0.5         // of the window's wall: the rest stays upright and locates the board
	chamferStepMM    = 0.1         // what a caliper reads
)

// printedPart is the template as a print.
func printedPart(tmpl part) (part, error) {
	if tmpl.make.By == "print" {
		return tmpl, nil
	}
	return newPart("print", "template", stockFilament, tmpl.thicknessMM, job.Make{By: "print", NozzleMM: stockNozzleMM},
		true)
}

// printThickness returns the thickness of the printed plate and whether it was
// made thinner than the sheet for the sake of its rails.
func printThickness(j *job.Job) (t float64, thinner bool) {
	t = j.Template.ThicknessMM
	r := j.Rails
	if j.Template.Make.By == "print" || r == nil || j.Template.Seat != "nest" {
		return t, false
	}
	most := plate.DownTo(r.HeightMM-leastRiseMM, layerMM)
	if most < leastPrintMM || most >= t {
		return t, false
	}
	return most, true
}

// cutting is a printed plate whole, and the parts that it is printed from.
type cutting struct {
	whole  plate.Piece
	pieces []plate.Piece
	split  *Split // nil: the plate is printed whole
	fault  error  // why a plate too long for its printer is whole
}

// split decides where a printed plate too long for its printer is cut.
func (p plan) split() cutting {
	bed := p.print.make.BedMM
	w := plate.Whole{
		Outline: p.site.plate, Window: p.site.window, Holes: p.circles(printHole), Rails: standingRails(p.job),
		WebMM: p.spec.Region.WebMM, ClearanceMM: jointClearanceMM,
	}
	out := cutting{whole: w.Uncut(), pieces: []plate.Piece{w.Uncut()}}
	_, size := plate.Place(FrameOf(p.job).ToMachine, p.site.plate)
	if p.job.Template.Make.By != "print" || bed[0] == 0 || bed[1] == 0 || plate.FitsBed(size, bed[0], bed[1]) {
		return out
	}
	if mk := p.print.make; mk.Given("joint") {
		w.ClearanceMM = mk.JointMM
	}
	s, err := w.Split(bed[0], bed[1])
	if err != nil {
		out.fault = err
		return out
	}
	out.pieces = s.Pieces
	out.split = &Split{SeamsMM: s.SeamsMM, ClearanceMM: w.ClearanceMM, ApartMM: s.ApartMM}
	return out
}

func printHole(q Pin) Hole { return q.Print }

// circles are the pins' holes in one part, with all of a slot's travel.
func (p plan) circles(of func(Pin) Hole) []plate.Circle {
	out := make([]plate.Circle, len(p.pins))
	for i, q := range p.pins {
		h := of(q)
		out[i] = plate.Circle{At: q.At, R: (h.MaxMM + h.SlotMM) / 2}
	}
	return out
}

// wholePlate is the file of the plate in one piece.
const wholePlate = "template.stl"

// prints lays out the plate whole, and the parts that it is printed from: the true
// outline, no kerf, rails on top.
func (p plan) prints(cut cutting, marks []Mark, rails *Rails) (whole *Print, parts []Print) {
	one := p.layPrint(cut.whole, marks, rails)
	one.File = wholePlate
	if cut.split == nil {
		return &one, []Print{one}
	}
	for i, k := range cut.pieces {
		number := p.number(k, fmt.Sprintf("%d/%d", i+1, len(cut.pieces)), marks, rails)
		q := p.layPrint(k, append(slices.Clone(marks), number...), rails)
		q.File = fmt.Sprintf("template-%d.stl", i+1)
		parts = append(parts, q)
	}
	return &one, parts
}

// number marks which part of a split plate a piece is.
func (p plan) number(k plate.Piece, says string, marks []Mark, rails *Rails) []Mark {
	m := plate.Markable{Outline: k.Outline, Holes: p.circles(widestPlateHole), Marks: marks,
		Turn: -FrameOf(p.job).ToMachine.Angle}
	if rails != nil {
		m.Bars = append(m.Bars, rails.Outlines...)
	}
	if k.Window != nil {
		m.Bars = append(m.Bars, k.Window)
	}
	return m.Number(says)
}

// layPrint lays one piece of the plate into a file of its own: the machine's axes,
// lower left at (0, 0), turned by a quarter when only so it fits the printer's bed.
func (p plan) layPrint(k plate.Piece, marks []Mark, rails *Rails) Print {
	mk, frame := p.print.make, FrameOf(p.job).ToMachine
	place, size := plate.Place(frame, k.Outline)
	if x, y := mk.BedMM[0], mk.BedMM[1]; x > 0 && (size.X > x || size.Y > y) && plate.FitsBed(size, x, y) {
		frame.Angle -= math.Pi / 2
		place, _ = plate.Place(frame, k.Outline)
	}
	t, thinner := printThickness(p.job)
	// A print that shrinks is drawn larger in the plane, so that it shrinks to size. A
	// hole's diameter stays: what a printer makes of holes is measured apart, as its bias.
	scale := 1 / (1 - mk.ShrinkPct/100)
	at := func(v geom.Vec) geom.Vec { return place.Apply(v).Scale(scale) }
	loop := func(l geom.Loop) geom.Loop { return place.Loop(l).Scale(scale) }
	out := Print{
		Origin: at(geom.Vec{}), Place: place, Turn: -place.Angle, Scale: scale, Outline: loop(k.Outline),
		ThicknessMM: t, Thinner: thinner, BedMM: mk.BedMM, NozzleMM: mk.NozzleMM,
		FootMM: footMM, WindowFootMM: footMM, EntryMM: entryMM,
	}
	if k.Window != nil {
		out.Window = loop(k.Window)
		out.WindowFootMM = squeezeFoot(rails, t)
	}
	for _, q := range p.pins {
		if k.Holds(q.At) {
			out.Holes = append(out.Holes, PrintHole{
				ID: q.ID, Center: at(q.At), Diameter: q.Print.DrawnMM,
				Travel: q.Print.SlotMM * scale, Angle: q.Print.SlotAngle + place.Angle,
			})
		}
	}
	if rails != nil && p.site.window != nil && rails.HeightMM > t {
		for _, l := range rails.Outlines {
			if l = k.Trim(l); len(l) > 2 && k.Holds(l.Bounds().Center()) {
				out.Rails = append(out.Rails, PrintRail{Outline: loop(l), TopMM: rails.HeightMM})
			}
		}
	}
	for _, m := range marks {
		q := PrintMark{Says: m.Says, WidthMM: math.Max(2*mk.NozzleMM, leastStrokeMM), LevelMM: t + raiseMM}
		inside := true
		for _, s := range m.Strokes {
			line := make([]geom.Vec, len(s))
			for i, v := range s {
				line[i] = at(v)
				inside = inside && k.Holds(v)
			}
			q.Strokes = append(q.Strokes, line)
		}
		if inside {
			out.Marks = append(out.Marks, q)
		}
	}
	return out
}

// squeezeFoot is the chamfer along the window's lower edge of a plate of thickness t: it
// takes up the glue that is squeezed out beside the board, as far as half of the wall
// lets it.
func squeezeFoot(rails *Rails, t float64) float64 {
	if rails == nil || rails.Gluing == nil {
		return footMM
	}
	want := plate.UpTo(rails.Gluing.Chamfer.Most, chamferStepMM)
	return math.Max(footMM, math.Min(want, plate.DownTo(mostFootShare*t, chamferStepMM)))
}
