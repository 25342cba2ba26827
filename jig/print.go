package jig

import (
	"fmt"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/glued"
	"reseat/jig/gluing"
	"reseat/jig/part"
	"reseat/jig/plate"
)

// A template that the job has cut from sheet can be printed all the same: as a
// gluing plate, since only a print carries rails. It then has holes of its own,
// sized for a printer, and it is thin enough for rails to stand on it.

// jointClearanceMM is of a key in its socket, per side, when the job names none. Common
// practice, no source.
const jointClearanceMM = 0.1

// cutting is a printed plate whole, and the parts that it is printed from.
type cutting struct {
	whole  plate.Piece
	pieces []plate.Piece
	split  *Split // nil: the plate is printed whole
	fault  error  // why a plate too long for its printer is whole
}

// split decides where a printed plate too long for its printer is cut.
func (p plan) split() cutting {
	bed := p.Print.Make.BedMM
	w := plate.Whole{
		Outline: p.site.Plate, Window: p.printedWindow(), Holes: p.circles(printHole), Rails: glued.StandingRails(p.job),
		WebMM: p.spec.Region.WebMM, ClearanceMM: jointClearanceMM,
	}
	out := cutting{whole: w.Uncut(), pieces: []plate.Piece{w.Uncut()}}
	if !p.isSplit() {
		return out
	}
	if mk := p.Print.Make; mk.IsGiven("joint") {
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
// wedges are the printed ones, two of each pair.
func (p plan) prints(cut cutting, marks []Mark, rails *Rails) (whole *Print, parts, wedges []Print) {
	of := p.printing(rails)
	one := of.Lay(wholePlate, cut.whole, marks)
	if r := p.job.Rails; r != nil && r.Plate != "print" && p.job.Template.Make.By != "print" {
		return &one, nil, nil // glued in a plate from sheet, nothing is printed
	}
	wedges = of.Prints(p.site.Pairs, part.GluePlateMM(p.job))
	if cut.split == nil {
		parts = p.onBed(append([]Print{one}, wedges...))
		return &one, parts[:1], parts[1:]
	}
	for i, k := range cut.pieces {
		number := p.number(k, fmt.Sprintf("%d/%d", i+1, len(cut.pieces)), marks, rails)
		file := fmt.Sprintf("template-%d.stl", i+1)
		parts = append(parts, of.Lay(file, k, append(slices.Clone(marks), number...)))
	}
	n := len(parts)
	parts = p.onBed(append(parts, wedges...))
	return &one, parts[:n:n], parts[n:]
}

// wedgeApartMM is between bodies of one print. Common practice, no source.
const wedgeApartMM = 10.0

// onBed says where each part lies on the printer's bed, and in which run.
func (p plan) onBed(parts []Print) []Print {
	bed := p.Print.Make.BedMM
	if bed[0] == 0 || bed[1] == 0 { // wedges beside the plate
		beside := geom.Vec{X: parts[0].Outline.Bounds().Max.X + wedgeApartMM}
		for i := range parts[1:] {
			parts[1+i].OnBed = beside
			beside.Y += parts[1+i].Outline.Bounds().Size().Y + wedgeApartMM
		}
		return parts
	}
	var sizes []geom.Vec
	for _, k := range parts {
		sizes = append(sizes, k.Outline.Bounds().Size())
	}
	runs, at := plate.Runs(sizes, bed[0], bed[1])
	for i := range parts {
		parts[i].Run, parts[i].OnBed = runs[i], at[i]
	}
	return parts
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

// printing is what the printed plate is laid out from.
func (p plan) printing(rails *Rails) plate.Printing {
	mk := p.Print.Make
	out := plate.Printing{
		Frame: FrameOf(p.job).ToMachine, BedMM: mk.BedMM, NozzleMM: mk.NozzleMM, ShrinkPct: p.Print.ShrinkPct(),
	}
	out.ThicknessMM, out.Thinner = part.PrintThickness(p.job)
	for _, q := range p.pins {
		out.Holes = append(out.Holes, PrintHole{
			ID: q.ID, Center: q.At, Diameter: q.Print.DrawnMM, Travel: q.Print.SlotMM, Angle: q.Print.SlotAngleUV,
		})
	}
	if rails == nil {
		return out
	}
	if p.site.Window != nil && rails.HeightMM > out.ThicknessMM {
		out.Rails, out.RailTopMM = rails.Outlines, rails.HeightMM
	}
	if rails.Gluing != nil {
		squeeze := gluing.Relieve(rails.SqueezeOut.Most, p.job.Board.LengthMM, rails.HeightMM, 0)
		out.SqueezeMM, out.Alone = squeeze.ChamferMM, p.job.Template.Make.By != "print"
	}
	return out
}
