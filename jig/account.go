package jig

import (
	"fmt"
	"math"
	"slices"

	"reseat/fit"
	"reseat/jig/account"
	"reseat/jig/assembly"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/motion"
	"reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/verdict"
)

// trials of each simulation; 0: what the packages themselves take. Tests of
// other things lower it.
var trials = 0

// simulationSeed starts the random numbers of the simulations; any number serves, and
// it stands in the output.
const simulationSeed = 1

// budget adds up where the board really ends up, in the worst case only if asked; nil when it cannot
// be seated.
func (p plan) budget(s seating, cut *Split, runs int, worst bool) (*budget.Budget, error) {
	if s.pins == nil {
		return nil, nil
	}
	all := features(p.job)
	sum := budget.Budget{Features: make([]budget.FeatureBudget, len(all))}
	for _, turned := range []bool{false, true} {
		spec := budget.Spec{Trials: runs, Seed: simulationSeed, Likely: !worst}
		var which []int
		for i, f := range all {
			if p.cutTurned(f) == turned {
				spec.Features, which = append(spec.Features, budget.Feature{Name: f.Name, At: f.At}), append(which, i)
			}
		}
		if which == nil {
			continue
		}
		spec.Sources = p.lying(s, cut, turned).Sources()
		part, err := budget.Compute(spec)
		if err != nil {
			return nil, fmt.Errorf("error budget: %w", err)
		}
		sum.Trials, sum.Seed = part.Trials, part.Seed
		for k, i := range which {
			sum.Features[i] = part.Features[k]
		}
	}
	return &sum, nil
}

// lying is the job as it lies for a cut, put back as it was or turned over.
func (p plan) lying(s seating, cut *Split, turned bool) account.Case {
	c := account.Case{
		Job: p.job, Parts: p.Parts, AllRound: p.spec.AllRound, Features: p.spec.Features, OnPins: s.pins,
		Window: p.site.Window != nil, Stops: p.nest.Against(),
	}
	if turned {
		c.Turned = p.turned()
	}
	for _, q := range p.pins {
		if q.Role == Clear {
			continue
		}
		pin := account.Pin{At: q.At}
		for _, h := range p.seatHoles(q) {
			pin.Enters(h, q.Dowel)
		}
		c.Pins = append(c.Pins, pin)
	}
	for _, f := range p.spec.Features {
		if s.nest != nil && math.Max(s.nest.Reach(f, geom.Vec{X: 1}), s.nest.Reach(f, geom.Vec{Y: 1})) > roundingMM {
			c.InWindow = s.nest
		}
	}
	if cut != nil && c.Window && p.job.Template.Make.By == "print" {
		c.Joints = &account.Joints{SeamsMM: cut.SeamsMM, ClearanceMM: cut.ClearanceMM, ApartMM: cut.ApartMM}
	}
	return c
}

// cutTurned reports whether a feature must lie right with the part turned over. One of the
// top is cut again with the part put back as it was. Where a job that turns its part over
// names none of the underside, its features stand for what the other face must meet.
func (p plan) cutTurned(f Feature) bool {
	under := slices.ContainsFunc(p.job.Board.Features, job.Feature.IsUnderside)
	return p.job.Template.Flip != "none" && (f.Side == string(setup.Under) || !under)
}

// assemblies computes the odds for every pair of parts: what seats on the bed, and,
// for gluing, the plate for that on the blank.
func (p plan) assemblies(s seating, runs int) ([]Assembly, error) {
	if s.pins == nil {
		return nil, nil
	}
	pairs := []struct {
		part, on part.Part
		holes    func(Pin) (over, under Hole)
	}{{p.Template, p.Bed, func(q Pin) (Hole, Hole) { return q.Template, q.Bed }}}
	if p.Blank.Carries {
		pairs[0].part, pairs[0].holes = p.Blank, func(q Pin) (Hole, Hole) { return *q.Blank, q.Bed }
	}
	if p.GluesOnPins() {
		pairs = append(pairs, pairs[0])
		over := p.GluePlate(p.job)
		pairs[1].part, pairs[1].on = over, p.Blank
		if over.Name != p.Template.Name {
			pairs[1].part.Name = "gluing plate"
		}
		pairs[1].holes = func(q Pin) (Hole, Hole) { return *q.In(over.Name), *q.Blank }
	}
	var out []Assembly
	for _, k := range pairs {
		spec := assembly.Spec{Trials: runs, Seed: simulationSeed}
		together := p.Together && k.part.Name == p.Blank.Name
		turned := p.turned()
		if together && turned != nil {
			// Turned over; as it was bored every pin enters by construction.
			mirror := turned(geom.Vec{X: 1, Y: 1}).Sub(turned(geom.Vec{}))
			spec.Turned = &assembly.Turned{SDMM: p.TogetherMM(p.job.Machine.PositionMM) / fit.Normal95, Mirror: mirror,
				Places: 2 * len(p.pins)}
		}
		var ids []string
		for i, q := range p.pins {
			over, under := k.holes(q)
			if p.neverBinds(q, over) && p.neverBinds(q, under) {
				continue
			}
			j := joint(q, over, under)
			m := p.job.Machine.PositionMM
			j.PositionSDMM = math.Hypot(k.part.PositionMM(m), k.on.PositionMM(m)) / fit.Normal95
			if together {
				j.PositionSDMM = 0 // bored in one arrival, hole and pin err alike
			}
			if t := spec.Turned; t != nil {
				t.Own = append(t.Own, i)
				t.Under = append(t.Under, p.pinUnder(i, turned))
			}
			spec.Joints, ids = append(spec.Joints, j), append(ids, q.ID)
		}
		r, err := assembly.Simulate(spec)
		if err != nil {
			return nil, fmt.Errorf("probability of assembly: %w", err)
		}
		out = append(out, Assembly{
			Part: k.part.Name, On: k.on.Name, Odds: r.Odds, OddsLow: r.OddsLow, OddsHigh: r.OddsHigh,
			Trials: r.Trials, Seed: r.Seed, ExtraFor99MM: r.ExtraFor99MM, Failed: r.Failed, Critical: r.Critical(ids),
		})
	}
	return out, nil
}

// pinUnder is which pin stands under hole i of a blank that is turned over; one past them
// all where none does, which then errs by itself.
func (p plan) pinUnder(i int, turned func(geom.Vec) geom.Vec) int {
	for k, q := range p.pins {
		if turned(q.At).Dist(p.pins[i].At) < motion.SamePlaceMM {
			return k
		}
	}
	return len(p.pins) + i
}

// turned is where a place of the blank comes when it is turned over; nil when it is not.
func (p plan) turned() func(geom.Vec) geom.Vec {
	if p.job.Template.Flip == "none" {
		return nil
	}
	turn := program.TurnOf(p.job)
	return func(at geom.Vec) geom.Vec { return turn.Lying(setup.Under, at) }
}

// neverBinds reports whether a clear hole is so wide that its pin enters wherever the
// locating pins put the plate; it then has no part in the odds.
func (p plan) neverBinds(q Pin, h Hole) bool {
	if q.Role != Clear || h.Role != Clear {
		return q.Role == Clear // stands fast in it, or loosely; the other hole decides
	}
	return h.ClearMinMM >= p.arrangement.errors.AllowanceMM(q.At, p.pins[0].At, p.pins[1].At)-roundingMM
}

// joint is one pin with the hole that goes over it and the hole that it stands in,
// without the error of their places. A driven pin stands without play; a loose one
// brings its own.
func joint(q Pin, over, under Hole) assembly.Joint {
	pin := q.Dowel
	j := assembly.Joint{
		At: q.At, TravelMM: over.SlotMM, AngleRad: over.SlotAngleUV,
		ClearMM: over.MeanMM - pin.MeanMM(), ClearSDMM: math.Hypot(over.OwnSDMM(), pin.SDMM), SharedSDMM: over.SharedSDMM,
	}
	if !under.Pressed {
		// The play in both holes adds up; the pin is the same in both. Where the pin does not enter the hole below, that
		// binds, whatever play the other has, and pin-enters reports it.
		j.ClearMM += math.Max(0, under.MeanMM-pin.MeanMM())
		j.ClearSDMM = math.Hypot(2*pin.SDMM, math.Hypot(over.OwnSDMM(), under.OwnSDMM()))
		j.SharedSDMM = math.Hypot(over.SharedSDMM, under.SharedSDMM)
	}
	return j
}

// DatumToleranceMM is the share of the job's accuracy that a board lying askew may take
// up, over its length: what is left of it beside the zero and the own moves of the first cut
// and the next, which stay when the board lies as it should.
func DatumToleranceMM(j *job.Job) float64 {
	move := j.Machine.PositionMM
	return verdict.LeftMM(j.AccuracyMM, measure.ZeroHalfMM(j.Machine.Zero), move, move)
}
