package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// MostPins is the largest pattern.
const MostPins = 12

// Flip is the way in which the pattern must also fit turned over.
type Flip string

// The flips: none, about the datum line, about the line across the board's middle.
const (
	NoFlip    Flip = "none"
	FlipLong  Flip = "long"
	FlipShort Flip = "short"
)

// Role says what a pin does in the plate.
type Role string

// The three roles.
const (
	Round Role = "round" // locates both ways
	Slot  Role = "slot"  // locates across the line between the two locating pins
	Clear Role = "clear" // does not locate
)

// Spec is what the search works from.
type Spec struct {
	Region   *Region
	Count    int  // pins wanted, 2 to MostPins; 0: the fewest that block every wrong way
	Flip     Flip // how the pattern must also fit
	AllRound bool // every pin locates in a round hole: no slot, no clear holes
	LengthMM float64
	Features []geom.Vec
	Causes   Causes // of the error that the locating pins leave
	// ElsewhereMM is the error of each feature, 95 %, that does not depend on the pins' places;
	// what a place may cost is a share of the whole. nil: none.
	ElsewhereMM []float64
	TravelMM    float64 // of the slot, centre to centre
	PlayMM      float64 // how far a pin may stand off the middle of a clear hole
}

// Pin is one pin of the pattern.
type Pin struct {
	Role Role
	At   geom.Vec
}

// Pattern is the answer of the search.
type Pattern struct {
	Pins         []Pin    // round, slot, then the clear ones; nil when not all have a place
	ObjectiveMM  float64  // largest error at any feature from the locating pair alone, 95 %
	BestPairMM   float64  // what the best pair leaves, had the other pins not been
	PairReplaced bool     // by another, since the best one left no room for the other pins
	NoPair       bool     // single pins have a place, but no two that could locate
	Refusal      *Refusal // what stops the place that comes nearest, when no pin or no slot has one
	grade        grade
}

// Refusal tells why no pin may stand at a place.
type Refusal struct {
	At         geom.Vec // the best place on the grid
	LackMM     float64  // what it lacks
	Constraint Constraint
}

// search is a Spec on one grid, with what follows from it.
type search struct {
	Spec
	apart    float64   // least distance between the centres of two round holes
	half     float64   // half the slot's travel, which a slot needs more on every side
	any      bool      // any arrangement is as good as the best
	features objective // of the locating pair
	ends     objective // the like for the board's ends
	places   []place   // allowed ones
	axis     []place   // those on the flip's axis
	groups   []group   // what is placed at once
	sides    []row     // of clear pins, left and right; nil until needed
	orders   [][]group // the groups in the orders of packing, as far as needed
}

// on returns the search on the grid with the step divided by k.
func (s Spec) on(k float64) *search {
	g := *s.Region
	g.StepMM /= k
	s.Region = &g
	if s.AllRound {
		s.TravelMM = 0
	}
	q := &search{
		Spec: s, apart: 2*g.HoleRadiusMM + g.WebMM, half: s.TravelMM / 2,
		features: newObjective(s.Features, s.ElsewhereMM, s.Causes),
		ends:     newObjective([]geom.Vec{{}, {X: s.LengthMM}}, nil, s.Causes),
	}
	q.places = g.survey(enoughMM + q.half)
	q.makeGroups()
	return q
}

// finerGrids divide the step of the grid: half and quarter millimetres, 1/32 and
// 1/64 inch, which a rule or a dial still shows.
var finerGrids = []float64{2, 4}

// Place finds the pattern. The same spec always gives the same pattern.
//
// Objective: the error at the worst feature (see Causes); within 2 % of the best found
// pins on the datum line, the longest useful baseline, the roomiest and tidiest pair; then
// clear pins that block every wrong placement, evenly spread. When the best pair
// leaves no room for that, other pairs are tried.
//
// With AllRound every pin locates. The two that come first are chosen in the same
// way: more round holes can only hold the plate nearer, so the pair's error is an
// upper bound of what is left.
//
// Positions stand on the region's grid. Only where that leaves no room for every
// pin, as on a blank that is barely wide enough, finer grids are tried.
func (s Spec) Place() Pattern {
	q := s.on(1)
	out := q.pattern()
	enough := open // of a count that the job states
	if s.Count == 0 {
		enough = blocked
	}
	for _, k := range finerGrids {
		if out.grade >= enough {
			return out
		}
		if p := s.on(k).pattern(); p.grade > out.grade {
			out = p
		}
	}
	if out.Pins == nil {
		out.Refusal = q.refusal()
	}
	return out
}

// PlaceOnGrid is a quick form of Place: it tries the region's own grid alone, and gives
// up early.
func (s Spec) PlaceOnGrid() Pattern { return s.onGrid(false) }

// FitsOnGrid reports whether PlaceOnGrid finds any places.
func (s Spec) FitsOnGrid() bool { return s.onGrid(true).Pins != nil }

func (s Spec) onGrid(anyPlaces bool) Pattern {
	q := s.on(1)
	q.any = anyPlaces
	if s.Count > 0 && !q.hasRoom() {
		return Pattern{}
	}
	return q.pattern()
}

func (s *search) pattern() Pattern {
	p, ok := s.choosePair()
	if !ok {
		return Pattern{NoPair: len(s.places) > 0}
	}
	var all arrangement
	if s.Count == 0 {
		all = s.fewest(p)
	} else {
		all = s.addClearPins(p)
	}
	if all.pins == nil {
		return Pattern{}
	}
	a, b := all.pins[0].At, all.pins[1].At
	ofPins := newObjective(s.Features, nil, s.Causes)
	return Pattern{
		Pins: all.pins, grade: all.grade, PairReplaced: a != p.round.at || b != p.slot.at,
		ObjectiveMM: ofPins.error(a, b), BestPairMM: ofPins.error(p.round.at, p.slot.at),
	}
}

// refusal tells what stops the place that comes nearest to being allowed, or to having
// room for the slot; nil when that one has it.
func (s *search) refusal() *Refusal {
	if len(s.places) == 0 {
		best, by := s.Region.nearest()
		if by < 0 {
			return nil
		}
		return &Refusal{best.at, -best.clearance, s.Region.Constraints[by]}
	}
	best := slices.MaxFunc(s.places, func(a, b place) int { return cmp.Compare(a.clearance, b.clearance) })
	if best.clearance >= s.half-roundingMM {
		return nil
	}
	_, by := s.Region.clearance(best.at, math.Inf(-1))
	return &Refusal{best.at, s.half - best.clearance, s.Region.Constraints[by]}
}

// arrangement is a pair with its clear pins.
type arrangement struct {
	pins  []Pin
	grade grade
}

// grade tells how well an arrangement blocks the wrong placements.
type grade int

const (
	none      grade = iota
	open            // some wrong placement goes on
	blocked         // every one misses by LeastMissMM
	wellClear       // every one misses by wantedMissMM
)

const (
	// FewestBlocking is the least number of pins that can block every wrong way: two
	// change places when the plate is turned end for end, and go in.
	FewestBlocking = 3
	// mostUnasked is how many pins are tried when the job states no number. Practice.
	mostUnasked = 6
)

// fewest adds to the pair as few clear pins as block every wrong way. When no number of
// them does, other pairs are tried as well, and the fewest pins kept of those that come
// nearest; the pair alone when no more have a place.
func (s *search) fewest(p pair) (best arrangement) {
	for _, add := range []func(pair) arrangement{s.arrange, s.addClearPins} {
		for s.Count = FewestBlocking; s.Count <= mostUnasked; s.Count++ {
			if a := add(p); a.grade > best.grade {
				best = a
			}
			if best.grade >= blocked {
				return best
			}
		}
	}
	if best.pins == nil {
		s.Count = 2
		best = s.arrange(p)
	}
	return best
}

// addClearPins adds the clear pins to the pair. When the pair stands in their way, so
// that they do not fit or leave a wrong placement open, it tries others.
func (s *search) addClearPins(p pair) arrangement {
	best := s.arrange(p)
	if s.Count == 2 {
		return best
	}
	var others []pair
	if best.grade < blocked {
		others = s.otherPairs(p)
	}
	for _, q := range others {
		if a := s.arrange(q); a.grade > best.grade {
			best = a
		}
		if best.grade >= blocked {
			return best
		}
	}
	return best
}

// arrange tries the arrangements of a pair with the clear pins, tidiest first, and keeps
// the first that blocks every wrong way well, or else the best; none when none fits.
func (s *search) arrange(p pair) (best arrangement) {
	try := func(clear []group) grade {
		if a := s.judge(p, clear, best.grade); a.grade > best.grade {
			best = a
		}
		return best.grade
	}
	if s.Count == 2 {
		try(nil)
		return best
	}
	taken := []occupied{{place: p.round}, {p.slot, s.half}} // the slot takes up more
	for _, clear := range s.rows(s.Count-2, taken) {
		if try(clear) == wellClear {
			return best
		}
	}
	if best.grade < blocked {
		s.pack(taken, try)
	}
	return best
}

// judge grades an arrangement; it need only be told when it is better than have.
func (s *search) judge(p pair, clear []group, have grade) arrangement {
	pins := []Pin{{Round, p.round.at}, {Slot, p.slot.at}}
	for _, g := range clear {
		for _, c := range g {
			pins = append(pins, Pin{Clear, c.at})
		}
	}
	slices.SortStableFunc(pins[2:], func(a, b Pin) int { // left ones first, each side from the start end
		return cmp.Or(cmp.Compare(cmp.Compare(b.At.Y, 0), cmp.Compare(a.At.Y, 0)), cmp.Compare(a.At.X, b.At.X))
	})
	if s.AllRound {
		for i := range pins {
			pins[i].Role = Round
		}
	}
	switch {
	case s.any || s.blocks(pins, wantedMissMM-sameMM):
		return arrangement{pins, wellClear}
	case have < blocked && s.blocks(pins, LeastMissMM):
		return arrangement{pins, blocked}
	}
	return arrangement{pins, open}
}
