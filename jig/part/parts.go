// Package part looks up what a job is made of: its pin and, of each plate that the pattern
// goes through, material, process, growth with the climate, and the holes that it takes.
package part

import (
	"errors"
	"math"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// Parts are the pin of a job and the plates that its pattern goes through.
type Parts struct {
	Pin                         dowel.Pin
	Template, Print, Blank, Bed Part        // print: the template as a print; blank.name is "" without a blank
	Rails                       Part        // the plate from sheet that the board is glued in; name is "" without one
	Board                       Growth      // of the board between making and use
	Since                       Growth      // of the board since its stated sizes were measured
	Stand, Glue                 setup.Stand // of the pins in the bed, and of those for gluing in the blank
	Together                    bool        // blank and bed are bored in one clamping, by one tool
}

// Part is one plate of the pattern: what it is of and how its holes are made.
type Part struct {
	Name        string // "template", "blank" or "bed"
	Key         string // its key in the job file
	Material    string
	ThicknessMM float64
	Make        job.Make
	Process     fit.Process
	Straight    *Straight // what it makes of straight walls; nil: as of round holes
	Growth      Growth    // between making and use
	Swing       float64   // growth per mm over a workshop's usual swing, each way
	Carries     bool      // its locating holes are round, slot and clear; otherwise all hold the pin
	ThereMM     float64   // diameter of the holes that are in it already; 0: none
}

// Lookup looks up the job's pin, processes and materials. The error holds all that
// does not exist at once, as *job.Problems.
func Lookup(j *job.Job) (Parts, error) {
	var p Parts
	var faults []error
	note := func(key string, err error) {
		if err != nil {
			faults = append(faults, j.Fault(key, err))
		}
	}
	var err error
	if len(j.Dowel.Measured) > 0 {
		p.Pin, err = dowel.Measured(j.Dowel.DiameterMM, j.Dowel.Measured)
		p.Pin = p.Pin.WithFormOf(j.Dowel.Standard)
		note("dowel.measured", err)
	} else {
		p.Pin, err = dowel.Lookup(j.Dowel.Standard, j.Dowel.DiameterMM, j.Dowel.Class)
		note(dowelKey(err), err)
	}
	t := j.Template
	p.Template, err = newPart("template", "template", t.Material, t.ThicknessMM, t.Make, true)
	note("template.make", err)
	p.Print, err = printedPart(p.Template)
	note("template", err)
	if r := j.Rails; r != nil && r.Plate == "sheet" {
		p.Rails, err = newPart("rails", "rails", r.Material, r.ThicknessMM, r.Make, true)
		note("rails.make", err)
	}
	if k := j.Blank; k != nil {
		p.Blank, err = newPart("blank", "blank", k.Wood, k.ThicknessMM, k.Make, t.Seat == "pins")
		note("blank.make", err)
		p.Together = k.BoredWithBed && p.Blank.Carries
	}
	p.Bed, err = newPart("bed", "bed", j.Bed.Material, j.Bed.ThicknessMM, j.Bed.Make, false)
	note("bed.make", err)
	if len(faults) > 0 {
		return p, job.Join(faults...)
	}
	p.Stand = setup.MachinePins(p.Pin, j.Dowel.LengthMM, p.InBed())
	if p.GluesOnPins() {
		p.Glue = setup.GluingPins(p.Pin, j.Dowel.LengthMM, p.InBlank(j))
	}
	p.Pin.LengthMM = p.Stand.LengthMM
	return p.grown(j)
}

// InBed and inBlank are what the pins stand in, and what goes over them.
func (p Parts) InBed() setup.Between {
	return setup.Between{HolderMM: p.Bed.ThicknessMM, PlateMM: p.Carrier().ThicknessMM, PointMM: p.Bed.pointMM(p.Pin)}
}

func (p Parts) InBlank(j *job.Job) setup.Between {
	return setup.Between{HolderMM: p.Blank.ThicknessMM, PlateMM: GluePlateMM(j), PointMM: p.Blank.pointMM(p.Pin)}
}

// pointMM is how far the point of a drill of a pin's size reaches below its full diameter;
// 0 for what is not drilled.
func (p Part) pointMM(of dowel.Pin) float64 {
	if p.Make.By != "drill" && p.Make.By != "ream" {
		return 0
	}
	return toolpath.PointMM(of.MaxMM)
}

// dowelKey is the key of the job that a fault of the pin belongs to.
func dowelKey(err error) string {
	var bad *dowel.LookupError
	if errors.As(err, &bad) {
		return "dowel." + bad.What
	}
	return "dowel"
}

// newPart asks for the process; an error names what is known.
func newPart(name, key, material string, thickness float64, mk job.Make, carries bool) (Part, error) {
	p := Part{Name: name, Key: key, Material: material, ThicknessMM: thickness, Make: mk, Carries: carries}
	var err error
	if p.Process, err = fit.DefaultProcess(fit.ProcessKind(mk.By), material, thickness); err != nil {
		return p, err
	}
	if mk.IsGiven("spread") {
		p.Process.SetSpread(mk.SpreadMM)
	}
	if mk.IsGiven("taper") {
		p.Process.SetTaper(mk.TaperMM)
	}
	if mk.IsGiven("bias") {
		p.Process.SetBias(mk.BiasMM)
	}
	if mk.IsGiven("edge") {
		p.Straight = &Straight{WiderMM: mk.EdgeMM}
	}
	if mk.Measured != nil {
		p.measured()
	}
	return p, nil
}

// All are the parts with holes.
func (p Parts) All() []Part {
	out := []Part{p.Template, p.Print, p.Bed}
	if p.Blank.Name != "" {
		out = append(out, p.Blank)
	}
	if p.Rails.Name != "" {
		out = append(out, p.Rails)
	}
	return out
}

// Carrier is the part whose locating holes go over the bed's pins: the blank when the
// board seats on its own pins, otherwise the template.
func (p Parts) Carrier() Part {
	if p.Blank.Carries {
		return p.Blank
	}
	return p.Template
}

// GluesOnPins reports whether the plate goes over pins that stand in the blank, to glue the
// board on.
func (p Parts) GluesOnPins() bool { return p.Blank.Name != "" && !p.Blank.Carries }

// PositionMM is how far a hole may lie from where it should along either axis,
// 95 %: the job's own figure, else what the process holds, on the router the
// machine's repeatability.
func (p Part) PositionMM(machine float64) float64 {
	if p.Make.IsGiven("position") {
		return p.Make.PositionMM
	}
	switch p.Make.By {
	case "laser", "print":
		return p.Process.PositionSpread
	}
	return machine
}

// TogetherMM is how far a hole of bed and blank lies from where it should when both are
// bored in one arrival, per axis, 95 %. machine as for Part.PositionMM.
func (p Parts) TogetherMM(machine float64) float64 {
	return math.Max(p.Bed.PositionMM(machine), p.Blank.PositionMM(machine))
}
