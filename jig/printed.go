package jig

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/job"
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
	most := math.Floor((r.HeightMM-leastRiseMM)/layerMM+gridSlack) * layerMM
	if most < leastPrintMM || most >= t {
		return t, false
	}
	return most, true
}

// print lays out the printed plate: the true outline, no kerf, rails on top.
func (b *builder) print() {
	d, mk := b.d, b.printed.make
	place, _ := filePlace(d.Frame, d.Template.Outline)
	t, thinner := b.printThickness()
	p := &Print{
		File: "template.stl", Origin: place.Apply(geom.Vec{}), Outline: place.Loop(d.Template.Outline),
		ThicknessMM: t, Thinner: thinner, BedMM: mk.BedMM, NozzleMM: mk.NozzleMM,
	}
	if d.Template.Window != nil {
		p.Window = place.Loop(d.Template.Window)
	}
	for _, q := range d.Pins {
		p.Holes = append(p.Holes, PrintHole{
			ID: q.ID, Center: place.Apply(q.At), Diameter: q.Print.DrawnMM,
			Travel: q.Print.SlotMM, Angle: q.Print.SlotAngle + place.Angle,
		})
	}
	if r := d.Rails; r != nil && d.Template.Window != nil && r.HeightMM > t {
		for _, l := range r.Outlines {
			p.Rails = append(p.Rails, PrintRail{Outline: place.Loop(l), TopMM: r.HeightMM})
		}
	}
	d.Print = p
	if thinner {
		d.Notes = append(d.Notes, fmt.Sprintf(
			"template.stl is the plate as a gluing jig, %.1f mm thick instead of %.1f, so that its rails can stand %.1f mm high and still end below the board's edge.",
			t, b.job.Template.ThicknessMM, b.job.Rails.HeightMM))
	}
	if b.job.Template.Make.By == "print" {
		b.book.printRules(p)
	}
}
