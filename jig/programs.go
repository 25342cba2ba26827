package jig

import (
	"errors"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/program"
)

// What the router does, as package program plans it.
type (
	Program     = program.Program
	ProgramHole = program.Hole
	Pockets     = program.Pockets
)

// unwritten is a program that there is not, and why.
type unwritten struct {
	file, part string
	fault      error
}

// bores plans the pin holes of bed and blank, where the router itself makes them.
func (p plan) bores() (out []Program, not []unwritten) {
	for _, c := range []struct {
		file string
		part part
		of   func(Pin) Hole
	}{
		{"bores.nc", p.bed, func(q Pin) Hole { return q.Bed }},
		{"bores-blank.nc", p.blank, func(q Pin) Hole { return *q.Blank }},
	} {
		by := c.part.make.By
		if len(p.pins) == 0 || by != "router" && by != "drill" {
			continue
		}
		s := program.Stock{
			File: c.file, Part: c.part.name, Material: c.part.material, ThicknessMM: c.part.thicknessMM,
			Drilled: by == "drill", CutterMM: c.part.make.Cutter.DiameterMM, Pressed: c.of(p.pins[0]).Pressed,
		}
		for _, q := range p.pins {
			h := c.of(q)
			s.Holes = append(s.Holes, program.PinHole{
				ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, SlotMM: h.SlotMM,
				AngleRad: h.SlotAngleXY, DepthMM: h.DepthMM, PointMM: h.PointMM,
			})
		}
		prog, err := program.Bores(p.job, s)
		if err != nil {
			not = append(not, unwritten{c.file, c.part.name, err})
			continue
		}
		out = append(out, prog)
	}
	return out, not
}

// pocketing is the boring of the features again.
type pocketing struct {
	pockets *Pockets
	program *Program // of the first cut
	fault   error    // why there is no plan
	not     error    // why there is a plan and no program
}

// pocketsOf plans the features and the program of the first cut.
func pocketsOf(j *job.Job) pocketing {
	k, err := program.Plan(j)
	if k == nil {
		return pocketing{fault: err}
	}
	prog, err := k.Program(j, FrameOf(j).ToMachine, 1, geom.Rigid{})
	if err != nil {
		return pocketing{pockets: k, not: err}
	}
	return pocketing{pockets: k, program: &prog}
}

// PocketProgram returns the program of step n, from 1, of the design's pockets, its
// coordinates moved by pose, the placing of the board that was measured: from where
// the board should lie to where it lies, in the machine frame. Unsafe are the rules that
// speak against running it: a way longer than the travel, a pin or a plate in the cutter's
// way.
//
// The error is for a step that no pocket has, a program that cannot be run, and a design
// without pockets.
func PocketProgram(j *job.Job, d *Design, n int, pose geom.Rigid) (p Program, unsafe []Rule, err error) {
	if d.Pockets == nil {
		return Program{}, nil, errors.New("the job has no feature with a bore and a depth or an inlay that its cutter " +
			"can make")
	}
	if p, err = d.Pockets.Program(j, d.Frame.ToMachine, n, pose); err != nil {
		return Program{}, nil, err
	}
	anew := []Rule{travelRule(j, p).rule(j), collisionRule(p, d.Setups).rule(j)}
	for _, r := range d.Rules {
		if r.ID != anew[0].ID && r.ID != anew[1].ID {
			unsafe = append(unsafe, r)
		}
	}
	return p, unsafeOf(append(unsafe, anew...)), nil
}

// unsafeOf returns the failed rules that speak against running the features' program.
func unsafeOf(rules []Rule) []Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r Rule) bool { return !r.Blocks || r.Level != Fail })
}
