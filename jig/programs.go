package jig

import (
	"fmt"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/pocket"
	"reseat/jig/program"
	"reseat/jig/setup"
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
	note := func(file, part string, prog Program, err error) {
		if err != nil {
			not = append(not, unwritten{file, part, err})
			return
		}
		out = append(out, prog)
	}
	var stocks []program.Stock
	for _, c := range []struct {
		file string
		part part
		of   func(Pin) Hole
	}{
		{setup.BedFile, p.bed, func(q Pin) Hole { return q.Bed }},
		{setup.BlankFile, p.blank, func(q Pin) Hole { return *q.Blank }},
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
				ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, SlotMM: h.SlotMM, LeastMM: h.MinMM,
				AngleRad: h.SlotAngleXY, DepthMM: h.DepthMM, PointMM: h.PointMM,
			})
		}
		stocks = append(stocks, s)
	}
	if p.together && len(stocks) == 2 {
		prog, err := program.Together(p.job, stocks[1], stocks[0])
		note(setup.BedFile, p.bed.name, prog, err)
		return out, not
	}
	for _, s := range stocks {
		prog, err := program.Bores(p.job, s)
		note(s.File, s.Part, prog, err)
	}
	return out, not
}

// pocketing is the boring of the features of one face again.
type pocketing struct {
	face    setup.Face
	pockets *Pockets
	program *Program // of the first cut
	fault   error    // why there is no plan
	not     error    // why there is a plan and no program
}

// pocketsOf plans the features of both faces and the programs of the first cut. What is
// wrong between two pockets of either face is found with those of the underside.
func pocketsOf(j *job.Job) (out []pocketing) {
	for _, up := range []setup.Face{setup.Top, setup.Under} {
		k, err := program.Plan(j, up)
		q := pocketing{face: up, pockets: k, fault: err}
		if k != nil {
			var prog Program
			if prog, q.not = k.Program(j, FrameOf(j).ToMachine, 1, geom.Rigid{}); q.not == nil {
				q.program = &prog
			}
		}
		out = append(out, q)
	}
	if top, under := out[0].pockets, out[1].pockets; top != nil && under != nil {
		under.Plan.Findings = append(under.Plan.Findings, pocket.Meet(top.Plan, under.Plan, j.Board.ThicknessMM)...)
	}
	return out
}

// PocketProgram returns the program of step n, from 1, of the design's pockets of a face,
// its coordinates moved by pose, the placing of the board that was measured: from where
// the board should lie to where it lies, in the machine frame. Unsafe are the rules that
// speak against running it: a way longer than the travel, a pin or a plate in the cutter's
// way.
//
// The error is for a step that no pocket has, a program that cannot be run, and a design
// without pockets.
func PocketProgram(j *job.Job, d *Design, up setup.Face, n int, pose geom.Rigid) (p Program, unsafe []Rule, err error) {
	k := d.PocketsOn(up)
	if k == nil {
		return Program{}, nil, fmt.Errorf("the job has no feature on the %s with a bore and a depth or an inlay that its "+
			"cutter can make", up.Told())
	}
	if p, err = k.Program(j, d.Frame.ToMachine, n, pose); err != nil {
		return Program{}, nil, err
	}
	s, _ := setup.With(d.Setups, p.Path.File)
	p.Path.Says = k.Head(j, s, n, pose)
	anew := []Rule{travelRule(j, p).rule(j), collisionRule(p, d.Setups).rule(j)}
	for _, r := range d.Rules {
		if !r.ofFaces() {
			unsafe = append(unsafe, r)
		}
	}
	return p, unsafeOf(append(unsafe, anew...)), nil
}

// The rules that each face's program has for itself; the underside's end in "-under".
const travelID, clearID = "program-board", "cutter-clear"

func faceID(id, file string) string {
	if file == setup.UnderFile {
		return id + "-under"
	}
	return id
}

func (r Rule) ofFaces() bool {
	return slices.ContainsFunc([]string{travelID, clearID}, func(id string) bool {
		return r.ID == id || r.ID == faceID(id, setup.UnderFile)
	})
}

// finish puts into the head of a program what its set-up and the rules say.
func (q pocketing) finish(j *job.Job, d *Design) {
	if q.program == nil {
		return
	}
	path := q.program.Path
	s, _ := setup.With(d.Setups, path.File)
	path.Says = q.pockets.Head(j, s, 1, geom.Rigid{})
	for _, r := range unsafeOf(d.Rules) {
		if own := r.ID == faceID(travelID, path.File) || r.ID == faceID(clearID, path.File); own || !r.ofFaces() {
			path.Cautions = append(path.Cautions, "do not run this file: "+r.Says)
		}
	}
}

// PocketsOn returns the pockets of a face; nil when none is bored again.
func (d *Design) PocketsOn(up setup.Face) *Pockets {
	for _, k := range d.Pockets {
		if k.Face == up {
			return k
		}
	}
	return nil
}

// unsafeOf returns the failed rules that speak against running the features' program.
func unsafeOf(rules []Rule) []Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r Rule) bool { return !r.Blocks || r.Level != Fail })
}
