package account

import (
	"math"
	"slices"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/part"
	"reseat/jig/seat"
)

// Causes are what the search for the places of the locating pins is given: what errs at pins
// and plate, and at each feature what errs whatever the pins' places. The sources are those of
// the budget, asked with the pins at the ends of the datum line; holes of a kind are made
// alike. turned and stops as in Case. The error is that of a hole that cannot be made.
func Causes(
	j *job.Job, p part.Parts, turned func(geom.Vec) geom.Vec, features []geom.Vec, stops []seat.Stop,
) (c layout.Causes, elsewhereMM []float64, err error) {
	pins := Case{
		Job: j, Parts: p, AllRound: j.Dowel.Locate == "all round", Window: j.Template.Seat == "nest", Turned: turned, Stops: stops,
		Pins: []Pin{{}, {At: geom.Vec{X: j.Board.LengthMM}}}, Features: features,
	}
	for i, r := range []layout.Role{layout.Round, layout.Slot} {
		if err := pins.Pins[i].play(j, p, r); err != nil {
			return c, nil, err
		}
	}
	_, others := pins.parted()
	for _, f := range features {
		elsewhereMM = append(elsewhereMM, half95(others, f))
	}
	return pins.causes(), elsewhereMM, nil
}

// play is what the holes of a role will leave the pin.
func (q *Pin) play(j *job.Job, p part.Parts, r layout.Role) error {
	for _, in := range []part.Part{p.Carrier(), p.Bed} {
		h, err := in.Hole(p.Pin, r, 0, 0, 0)
		if err != nil {
			return j.Fault(in.Key+".make", err)
		}
		q.Enters(h, p.Pin)
	}
	return nil
}

// Enters adds the play of the pin in a hole. Limits add as they are, the spreads of hole and
// pin as squares do.
func (q *Pin) Enters(h part.Hole, pin dowel.Pin) {
	if h.ClearMaxMM <= 0 {
		return
	}
	least := math.Max(0, h.ClearMinMM)
	q.LeastMM += least
	q.MostMM += h.ClearMaxMM
	q.HalfMM += math.Min(math.Hypot(h.MaxMM-h.MinMM, pin.MaxMM-pin.MinMM), h.ClearMaxMM-least) / 2
}

// Of errors spread evenly over a half width, and over a disc per axis: 1.96 standard
// deviations as a share of half width or radius. Derived.
var (
	evenHalf = fit.Normal95 / math.Sqrt(3)
	discHalf = fit.Normal95 / 2
)

// half is the half width of 95 % of the pin's usual play, of which share is taken.
func (q Pin) half(share float64) float64 {
	return share * math.Hypot((q.LeastMM+q.MostMM)/2, q.HalfMM/fit.Normal95) / 2
}

// plays are the half widths of what play round hole and slot leave, in both cuts where the
// first was made on the same pins.
func (c Case) plays() (round, slot float64) {
	share := 1.0
	if c.Parts.Together {
		share = math.Sqrt2
	}
	return c.Pins[0].half(share * discHalf), c.Pins[1].half(share * evenHalf)
}

// causes tells what errs at the pins by what the sources of the pins do at both and halfway
// between them, a quarter of the whole turn's square less:
//
//	E^2 = A^2 + R^2,  A^2 + S^2,  A^2 + (R^2 + S^2)/4
func (c Case) causes() layout.Causes {
	vars, _ := c.parted()
	a, b := c.Pins[0].At, c.Pins[1].At
	at := func(p geom.Vec) float64 { h := half95(vars, p); return h * h }
	ra, rb := at(a), at(b)
	turn := 2 * (ra + rb - 2*at(a.Add(b).Scale(0.5)))
	along := (ra + rb - turn) / 2
	// The play of a pin in its holes is drawn, not listed.
	root := func(sq, play float64) float64 { return math.Sqrt(math.Max(0, sq) + play*play) }
	round, slot := c.plays()
	out := layout.Causes{
		AlongMM: root(along, round), RoundMM: root(ra-along, round), SlotMM: root(rb-along, slot),
		Holds: c.Window, Held: c.board().Held(),
	}
	if !c.AllRound { // those grow from their middle, wherever two of them stand
		c.Window = false // a place by itself, a unit from the round pin
		grows := c.growth().Vars
		out.GrowthAlong, out.GrowthAcross = half95(grows, a.Add(geom.Vec{X: 1})), half95(grows, a.Add(geom.Vec{Y: 1}))
	}
	return out
}

// parted are the causes of the sources, those of the pins and those from elsewhere; the growth
// that goes out from the round pin is neither.
func (c Case) parted() (pins, elsewhere []budget.Var) {
	for _, s := range c.ofPins() {
		pins = append(pins, s.Vars...)
	}
	for _, s := range slices.Concat(c.ofWindow(), c.ofWood(), c.ofMachine()) {
		elsewhere = append(append(elsewhere, s.Vars...), eachWay(s.OwnHalf, budget.Normal)...)
	}
	if t := c.Job.Template; c.Window && t.Push == "none" { // as far as it is known before the window is drawn
		elsewhere = append(elsewhere, eachWay(t.ClearanceMM, budget.Uniform)...)
	}
	return pins, elsewhere
}

// eachWay shift by half along and across.
func eachWay(half float64, law budget.Law) []budget.Var {
	return []budget.Var{
		{Field: budget.Shift(geom.Vec{X: 1}), Half: half, Law: law},
		{Field: budget.Shift(geom.Vec{Y: 1}), Half: half, Law: law},
	}
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
