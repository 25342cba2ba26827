package account

import (
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/part"
)

// Causes are what the search for the places of the locating pins is given: what errs at pins
// and plate, and at each feature what errs whatever the pins' places. The sources are those of
// the budget, asked with the pins at the ends of the datum line; holes of a kind are made
// alike. turned as in Case. The error is that of a hole that cannot be made.
func Causes(j *job.Job, p part.Parts, turned func(geom.Vec) geom.Vec, features []geom.Vec) (
	c layout.Causes, elsewhereMM []float64, err error,
) {
	pins := Case{
		Job: j, Parts: p, AllRound: j.Dowel.Locate == "all round", Window: j.Template.Seat == "nest", Turned: turned,
		Pins: []Pin{{}, {At: geom.Vec{X: j.Board.LengthMM}}},
	}
	for i, r := range []layout.Role{layout.Round, layout.Slot} {
		if err := pins.Pins[i].play(j, p, r); err != nil {
			return c, nil, err
		}
	}
	return pins.causes(), pins.elsewhere(features), nil
}

// play is what the holes of a role will leave the pin.
func (q *Pin) play(j *job.Job, p part.Parts, r layout.Role) error {
	for _, in := range []part.Part{p.Carrier(), p.Bed} {
		h, err := in.Hole(p.Pin, r, 0, 0, 0)
		if err != nil {
			return j.Fault(in.Key+".make", err)
		}
		if h.ClearMaxMM > 0 {
			q.LeastMM += math.Max(0, h.ClearMinMM)
			q.MostMM += h.ClearMaxMM
		}
	}
	return nil
}

// Of errors spread evenly over a half width, and over a disc per axis: 1.96 standard
// deviations as a share of half width or radius. Derived.
var (
	evenHalf = fit.Normal95 / math.Sqrt(3)
	discHalf = fit.Normal95 / 2
)

// half is the half width of 95 % of the pin's usual play, of which share is taken.
func (q Pin) half(share float64) float64 {
	return share * math.Hypot((q.LeastMM+q.MostMM)/2, (q.MostMM-q.LeastMM)/2/fit.Normal95) / 2
}

func (c Case) causes() layout.Causes {
	p, machine := c.Parts, c.Job.Machine.PositionMM
	across := math.Hypot(p.Bed.PositionMM(machine), p.Carrier().PositionMM(machine))
	along := across
	if p.Together {
		// As it was bored nothing moves; turned over, hole and pin err alike along, and twice across.
		if along, across = 0, 0; c.Turned != nil {
			across = 2 * p.TogetherMM(machine)
		}
	}
	round, slot := c.Pins[0].half(discHalf), c.Pins[1].half(evenHalf)
	out := layout.Causes{
		AlongMM: math.Hypot(along, round), RoundMM: math.Hypot(across, round), SlotMM: math.Hypot(across, slot),
		Holds: c.Window, Held: c.board().Held(),
	}
	if !c.AllRound { // those grow from their middle, wherever two of them stand
		// The place that growth moves, moved along and across by itself.
		grown := c
		grown.Window = false
		vars := grown.growth().Vars
		out.GrowthAlong, out.GrowthAcross = half95(vars, geom.Vec{X: 1}), half95(vars, geom.Vec{Y: 1})
	}
	return out
}

// elsewhere is the error at each feature, 95 %, that does not come from the pins.
func (c Case) elsewhere(features []geom.Vec) (out []float64) {
	var all []budget.Var
	grows := c.growth().Name
	for _, s := range c.Sources() {
		if s.Name == grows || s.Name == "pin clearance" || strings.HasPrefix(s.Name, "hole position") {
			continue
		}
		all = append(all, s.Vars...)
		for _, axis := range []geom.Vec{{X: s.OwnHalf}, {Y: s.OwnHalf}} {
			all = append(all, budget.Var{Field: budget.Shift(axis), Half: 1})
		}
	}
	if t := c.Job.Template; c.Window && t.Push == "none" { // as far as it is known before the window is drawn
		for _, axis := range []geom.Vec{{X: 1}, {Y: 1}} {
			all = append(all, budget.Var{Field: budget.Shift(axis), Half: t.ClearanceMM, Law: budget.Uniform})
		}
	}
	for _, f := range features {
		out = append(out, half95(all, f))
	}
	return out
}

// half95 is the root of the squares of what the causes do at a place, mm: of each 1.96
// standard deviations, and a known one whole.
func half95(vars []budget.Var, at geom.Vec) float64 {
	sum := 0.0
	for _, v := range vars {
		half := math.Abs(v.Half) * v.Field.At(at).Norm()
		switch v.Law {
		case budget.Uniform:
			half *= evenHalf
		case budget.Sign:
			half *= fit.Normal95
		}
		sum += half * half
	}
	return math.Sqrt(sum)
}
