package jig

import (
	"fmt"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/toolpath"
)

// purpose is what the hole is for. The bed's pins stay in: wood and its boards
// give way to a driven pin, so there the hole is bored under and holds it without
// play. Everywhere else the pin must go in and come out by hand.
func (p part) purpose(r Role) dowel.Purpose {
	switch {
	case r == Clear && p.carries:
		return dowel.Clear
	case p.name == "bed" && fit.FamilyOf(p.material) == fit.Wood:
		return dowel.Press
	}
	return dowel.Locate
}

// hole sizes one hole. allowance widens a clear hole beyond the pin. In a part that
// does not carry the pattern's slot and clear holes, all are round.
func (p part) hole(pin dowel.Pin, r Role, allowance, travel, angle float64) (Hole, error) {
	if !p.carries {
		r = Round
	}
	purpose := p.purpose(r)
	c, err := dowel.ChooseHole(dowel.Request{
		Pin: pin, Material: p.material, ThicknessMM: p.thicknessMM, Process: p.process,
		Purpose: purpose, Slot: r == Slot, ClearAllowanceMM: allowance,
	})
	if err != nil {
		return Hole{}, err
	}
	h := Hole{
		Role: r, Pressed: purpose == dowel.Press, Class: c.Class, MinMM: c.MinMM, MaxMM: c.MaxMM,
		DrawnMM: c.DrawnMM - p.make.KerfMM,
		Made:    c.Made, Steps: c.Steps, Odds: c.Odds, Holds: c.Holds, Explain: c.Explain,
		MeanMM: c.MeanMM, SDMM: c.SDMM,
		ClearMinMM: c.ClearanceMinMM, ClearMaxMM: c.ClearanceMaxMM,
	}
	if h.DrawnMM < leastDrawnMM {
		return Hole{}, fmt.Errorf("a kerf of %g mm leaves nothing of a hole of %.2f mm: give the width of the cut, "+
			"usually 0.1 to 0.3 mm", p.make.KerfMM, c.DrawnMM)
	}
	if r == Slot {
		h.SlotMM, h.SlotAngleUV = travel, angle
	}
	if p.make.By == "drill" {
		h.PointMM = toolpath.PointMM(h.DrawnMM)
	}
	return h, nil
}

// leastDrawnMM is the smallest hole that is drawn: about two widths of a laser's
// cut. Common practice, no source.
const leastDrawnMM = 0.4

// gluePlateMM is the thickness of the plate that goes over the pins for gluing: the
// print that carries the rails, otherwise the template.
func gluePlateMM(j *job.Job) float64 {
	t, _ := printThickness(j)
	return t
}
