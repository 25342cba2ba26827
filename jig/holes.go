package jig

import (
	"fmt"
	"math"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
)

// part is one plate of the pattern: what it is of and how its holes are made.
type part struct {
	name      string // "template", "blank" or "bed"
	key       string // its key in the job file
	material  string
	thickness float64
	make      job.Make
	process   fit.Process
	change    change  // of its size between making and use
	swing     float64 // growth per mm over a workshop's usual swing, each way
	carries   bool    // its locating holes are round, slot and clear; otherwise all hold the pin
}

// newPart asks for the process; an error names what is known.
func newPart(name, key, material string, thickness float64, mk job.Make, carries bool) (part, error) {
	p := part{name: name, key: key, material: material, thickness: thickness, make: mk, carries: carries}
	pr, err := fit.DefaultProcess(fit.ProcessKind(mk.By), material, thickness)
	if err != nil {
		return p, err
	}
	if mk.Given("spread") {
		pr.GiveSpread(mk.SpreadMM)
	}
	if mk.Given("taper") {
		pr.GiveTaper(mk.TaperMM)
	}
	if mk.Given("bias") {
		pr.GiveBias(mk.BiasMM)
	}
	p.process = pr
	return p, nil
}

// positionMM is how far a hole may lie from where it should along either axis,
// 95 %: the job's own figure, else what the process holds, on the router the
// machine's repeatability.
func (p part) positionMM(machine float64) float64 {
	if p.make.Given("position") {
		return p.make.PositionMM
	}
	switch p.make.By {
	case "laser", "print":
		return p.process.PositionSpread
	}
	return machine
}

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

// hole sizes one hole. allowance widens a clear hole beyond the pin.
func (p part) hole(pin dowel.Pin, r Role, allowance, travel, angle float64) (Hole, error) {
	if !p.carries {
		r, travel, angle = Round, 0, 0
	}
	purpose := p.purpose(r)
	c, err := dowel.ChooseHole(dowel.Request{
		Pin: pin, Material: p.material, ThicknessMM: p.thickness, Process: p.process,
		Purpose: purpose, Slot: r == Slot, ClearAllowanceMM: allowance,
	})
	if err != nil {
		return Hole{}, err
	}
	h := Hole{
		Role: r, Pressed: purpose == dowel.Press, Class: c.Class, MinMM: c.MinMM, MaxMM: c.MaxMM, DrawnMM: c.DrawnMM - p.make.KerfMM,
		Made: c.Made, Steps: c.Steps, Odds: c.Odds, Holds: c.Holds, Explain: c.Explain,
		MeanMM: c.MeanMM, SDMM: c.SDMM,
		ClearMinMM: c.ClearanceMinMM, ClearMaxMM: c.ClearanceMaxMM,
	}
	if h.DrawnMM < leastDrawnMM {
		return Hole{}, fmt.Errorf("a kerf of %g mm leaves nothing of a hole of %.2f mm: give the width of the cut, usually 0.1 to 0.3 mm", p.make.KerfMM, c.DrawnMM)
	}
	if r == Slot {
		h.SlotMM, h.SlotAngle = travel, angle
	}
	if p.make.By == "router" {
		h.CutterMM = p.make.CutterMM
		if p.carries || p.make.Given("cutter") {
			h.CutterNamed = true
		}
	}
	return h, nil
}

// leastDrawnMM is the smallest hole that is drawn: about two widths of a laser's
// cut. Common practice, no source.
const leastDrawnMM = 0.4

// play is how errors between two plates add up at the pins.
type play struct {
	position float64 // of both holes together, each way, mm
	growth   float64 // of both plates, per mm of distance
}

// slotTravel is the free travel that a slot at distance l from the round hole
// needs, in half millimetres, never under leastTravelMM.
//
//	travel = 2 (l growth + position)
func (p play) slotTravel(l float64) float64 {
	return math.Max(leastTravelMM, math.Ceil(2*(l*p.growth+p.position)*2)/2)
}

// leastTravelMM keeps a slot long enough to see that it is one. Common practice,
// no source.
const leastTravelMM = 1.0

// clearAllowance is how much wider than the pin a clear hole must be so that it
// never binds: its own position error, the pose error of the plate at that place
// from the errors of the two locating pins, and the growth from the round pin.
//
//	H - F = 2 (position + pose + growth)
//
// Reference: fixed-fastener formula H - F = T1 + T2 (the zones T are diameters;
// testdata/reference/position_cases.csv), with the pose error of a plate on two
// pins (layout.PairError) added since the plate is not free to find its best place.
func (p play) clearAllowance(at, round, slot geom.Vec) float64 {
	pose := layout.PairError(round, slot, p.position, []geom.Vec{at})
	return 2 * (p.position + pose + p.growth*at.Dist(round))
}

// mostAllowance bounds clearAllowance before the pins have places: every pin
// beside or between the locating ones of a plate this long and wide.
//
// Between the pins the pose error is at most hypot(1, 1 + 2 n/l) of the position
// error, n being the distance beside the line.
func (p play) mostAllowance(l, w float64) float64 {
	pose := p.position * math.Hypot(1, 1+w/l)
	return 2 * (p.position + pose + p.growth*l)
}
