package jig

import (
	"fmt"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/pocket"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// What the router does, as package program plans it.
type (
	Program     = program.Program
	ProgramHole = program.Hole
	Pockets     = program.Pockets
)

// Unwritten is a program that there is not, and why.
type Unwritten struct {
	File string `json:"file"`
	Part string `json:"part"`
	Why  string `json:"why"`
}

// stocks are the parts whose pin holes the router itself makes, bed first; over is how far
// the highest thing stands over Z0, by the program. Bored together they are one.
func (p plan) stocks(over map[string]float64) (out []program.BoredPart) {
	for _, c := range []struct {
		file string
		part part.Part
		of   func(Pin) Hole
	}{
		{setup.BedFile, p.Bed, func(q Pin) Hole { return q.Bed }},
		{setup.BlankFile, p.Blank, func(q Pin) Hole { return *q.Blank }},
	} {
		by := c.part.Make.By
		if len(p.pins) == 0 || by != "router" && by != "drill" {
			continue
		}
		s := program.BoredPart{
			File: c.file, Part: c.part.Name, Material: c.part.Material, ThicknessMM: c.part.ThicknessMM,
			Drilled: by == "drill", Pressed: c.of(p.pins[0]).Pressed, OverMM: over[c.file],
		}
		for _, q := range p.pins {
			h := c.of(q)
			s.Holes = append(s.Holes, program.PinHole{
				ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, SlotMM: h.SlotMM, LeastMM: h.MinMM,
				AngleRad: h.SlotAngleXY, DepthMM: h.DepthMM, PointMM: h.PointMM,
			})
		}
		out = append(out, s)
	}
	if p.Together && len(out) == 2 {
		out[0].Blank = &out[1]
		out = out[:1]
	}
	for i, s := range out {
		of := map[string]part.Part{p.Bed.Name: p.Bed, p.Blank.Name: p.Blank}[s.Part]
		out[i] = s.With(p.job, of.Make.Cutter, of.Make.IsGiven("cutter"))
		out[i].Tool.Named = out[i].Tool.Named || of.Carries // its holes must fit, whoever named the cutter
	}
	return out
}

// bores plans the pin holes of the stocks.
func bores(j *job.Job, stocks []program.BoredPart) (out []Program, not []Unwritten) {
	for _, s := range stocks {
		prog, err := program.Bores(j, s)
		if err != nil {
			not = append(not, Unwritten{s.File, s.Part, err.Error()})
			continue
		}
		out = append(out, prog)
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

// pocketsOf plans the features of both faces and the programs of the first cut; over is how
// far the highest thing of a set-up stands over Z0, by the program. What is wrong between
// two pockets of either face is found with those of the underside.
func pocketsOf(j *job.Job, over map[string]float64) (out []pocketing) {
	for _, up := range []setup.Face{setup.Top, setup.Under} {
		k, err := program.Plan(j, up)
		q := pocketing{face: up, pockets: k, fault: err}
		if k != nil {
			k.OverMM = over[program.PocketsFile(up)]
			var prog Program
			if prog, q.not = k.Program(j, FrameOf(j).ToMachine, 1, geom.Rigid{}); q.not == nil {
				q.program = &prog
			}
		}
		out = append(out, q)
	}
	if top, under := out[0].pockets, out[1].pockets; top != nil && under != nil {
		under.Plan.Findings = append(under.Plan.Findings, pocket.JudgeOpposite(top.Plan, under.Plan, j.Board.ThicknessMM)...)
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
func PocketProgram(j *job.Job, d *Design, up setup.Face, n int, pose geom.Rigid) (p Program, unsafe []Rule,
	err error) {
	k := d.PocketsOn(up)
	if k == nil {
		return Program{}, nil, fmt.Errorf("the job has no feature on the %s with a bore and a depth or an inlay that its "+
			"cutter can make", up.Name())
	}
	if p, err = k.Program(j, d.Frame.ToMachine, n, pose); err != nil {
		return Program{}, nil, err
	}
	s := setup.BoringSetup(d.Setups, up)
	p.Path.Says = k.Head(j, s, n, pose)
	// What is asked of a program is asked of this one, not of the design's.
	rules := slices.DeleteFunc(slices.Clone(d.Rules), func(r Rule) bool { return r.File == p.Path.File })
	for _, r := range found(program.Judge(j, p, s)...) {
		rules = append(rules, r.rule(j))
	}
	return p, blocked(rules, p), nil
}

// head puts into the head of a program what its set-up says.
func (q pocketing) head(j *job.Job, d *Design) {
	if q.program != nil {
		s, _ := setup.ForProgram(d.Setups, q.program.Path.File)
		q.program.Path.Says = q.pockets.Head(j, s, 1, geom.Rigid{})
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

// blocked are the failed rules for which a program must not be run.
func blocked(rules []Rule, p Program) []Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r Rule) bool {
		about := r.File == p.Path.File || r.File == "" && p.Part == "board"
		return !r.Blocks || r.Level != Fail || !about
	})
}

// withhold takes out of the design what failed rules on safety keep from being written.
func (d *Design) withhold() {
	d.Programs = slices.DeleteFunc(d.Programs, func(p Program) bool {
		why := blocked(d.Rules, p)
		if len(why) == 0 {
			return false
		}
		says, _, _ := strings.Cut(why[0].Says, ". ") // what was found; the rule has the remedy
		d.Unwritten = append(d.Unwritten, Unwritten{p.Path.File, p.Part, says})
		d.Setups = setup.Withhold(d.Setups, p.Path.File, says)
		return true
	})
}

// program is the moves of a file of the design; nil without it.
func (d *Design) program(file string) *toolpath.Program {
	for _, p := range d.Programs {
		if p.Path.File == file {
			return p.Path
		}
	}
	return nil
}
