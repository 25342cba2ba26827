package part

import (
	"reseat/jig/job"
	"reseat/jig/plate"
)

// All of these: common practice, no source.
const (
	stockFilament = "pla" // what a template is printed of when the job cuts it from sheet
	LayerMM       = 0.2   // the usual layer of a printer; heights snap to it
	leastRiseMM   = 1.2   // least height of a rail above its plate: six layers, so that it does not peel off
	leastPrintMM  = 2.0   // thinnest plate that still guides a pin and lies flat
)

// printedPart is the template as a print.
func printedPart(tmpl Part) (Part, error) {
	if tmpl.Make.By == "print" {
		return tmpl, nil
	}
	return newPart("print", "template", stockFilament, tmpl.ThicknessMM, tmpl.Make.Printer(), true)
}

// PrintThickness returns the thickness of the printed plate and whether it was
// made thinner than the sheet for the sake of its rails.
func PrintThickness(j *job.Job) (t float64, thinner bool) {
	t = j.Template.ThicknessMM
	r := j.Rails
	if j.Template.Make.By == "print" || r == nil || r.Plate != "print" {
		return t, false
	}
	most := plate.DownTo(r.HeightMM-leastRiseMM, LayerMM)
	if most < leastPrintMM || most >= t {
		return t, false
	}
	return most, true
}
