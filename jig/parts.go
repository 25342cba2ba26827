package jig

import (
	"errors"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// parts are the pin of a job and the plates that its pattern goes through.
type parts struct {
	pin                         dowel.Pin
	template, print, blank, bed part        // print: the template as a print; blank.name is "" without a blank
	board                       growth      // of the board between making and use
	since                       growth      // of the board since its stated sizes were measured
	stand, glue                 setup.Stand // of the pins in the bed, and of those for gluing in the blank
	together                    bool        // blank and bed are bored in one clamping, by one tool
}

// part is one plate of the pattern: what it is of and how its holes are made.
type part struct {
	name        string // "template", "blank" or "bed"
	key         string // its key in the job file
	material    string
	thicknessMM float64
	make        job.Make
	process     fit.Process
	growth      growth  // between making and use
	swing       float64 // growth per mm over a workshop's usual swing, each way
	carries     bool    // its locating holes are round, slot and clear; otherwise all hold the pin
}

// partsOf looks up the job's pin, processes and materials. The error holds all that
// does not exist at once, as *job.Problems.
func partsOf(j *job.Job) (parts, error) {
	var p parts
	var faults []error
	note := func(key string, err error) {
		if err != nil {
			faults = append(faults, j.Fault(key, err))
		}
	}
	var err error
	if len(j.Dowel.Measured) > 0 {
		p.pin, err = dowel.Measured(j.Dowel.DiameterMM, j.Dowel.Measured)
		p.pin = p.pin.WithFormOf(j.Dowel.Standard)
		note("dowel.measured", err)
	} else {
		p.pin, err = dowel.Lookup(j.Dowel.Standard, j.Dowel.DiameterMM, j.Dowel.Class)
		note(dowelKey(err), err)
	}
	t := j.Template
	p.template, err = newPart("template", "template", t.Material, t.ThicknessMM, t.Make, true)
	note("template.make", err)
	p.print, err = printedPart(p.template)
	note("template", err)
	if k := j.Blank; k != nil {
		p.blank, err = newPart("blank", "blank", k.Wood, k.ThicknessMM, k.Make, t.Seat == "pins")
		note("blank.make", err)
		p.together = k.BoredWithBed && p.blank.carries
	}
	p.bed, err = newPart("bed", "bed", j.Bed.Material, j.Bed.ThicknessMM, j.Bed.Make, false)
	note("bed.make", err)
	if len(faults) > 0 {
		return p, job.Join(faults...)
	}
	p.stand = setup.MachinePins(p.pin, j.Dowel.LengthMM, p.inBed())
	if p.glued() {
		p.glue = setup.GluingPins(p.pin, j.Dowel.LengthMM, p.inBlank(j))
	}
	p.pin.LengthMM = p.stand.LengthMM
	return p.grown(j)
}

// inBed and inBlank are what the pins stand in, and what goes over them.
func (p parts) inBed() setup.Between {
	return setup.Between{HolderMM: p.bed.thicknessMM, PlateMM: p.carrier().thicknessMM, PointMM: p.bed.pointMM(p.pin)}
}

func (p parts) inBlank(j *job.Job) setup.Between {
	return setup.Between{HolderMM: p.blank.thicknessMM, PlateMM: gluePlateMM(j), PointMM: p.blank.pointMM(p.pin)}
}

// pointMM is how far the point of a drill of a pin's size reaches below its full diameter;
// 0 for what is not drilled.
func (p part) pointMM(of dowel.Pin) float64 {
	if p.make.By != "drill" && p.make.By != "ream" {
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
func newPart(name, key, material string, thickness float64, mk job.Make, carries bool) (part, error) {
	p := part{name: name, key: key, material: material, thicknessMM: thickness, make: mk, carries: carries}
	var err error
	if p.process, err = fit.DefaultProcess(fit.ProcessKind(mk.By), material, thickness); err != nil {
		return p, err
	}
	if mk.Given("spread") {
		p.process.GiveSpread(mk.SpreadMM)
	}
	if mk.Given("taper") {
		p.process.GiveTaper(mk.TaperMM)
	}
	if mk.Given("bias") {
		p.process.GiveBias(mk.BiasMM)
	}
	return p, nil
}

// all are the parts with holes.
func (p parts) all() []part {
	out := []part{p.template, p.print, p.bed}
	if p.blank.name != "" {
		out = append(out, p.blank)
	}
	return out
}

// carrier is the part whose locating holes go over the bed's pins: the blank when the
// board seats on its own pins, otherwise the template.
func (p parts) carrier() part {
	if p.blank.carries {
		return p.blank
	}
	return p.template
}

// glued reports whether the plate goes over pins that stand in the blank, to glue the
// board on.
func (p parts) glued() bool { return p.blank.name != "" && !p.blank.carries }

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
