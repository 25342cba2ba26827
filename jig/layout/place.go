package layout

import (
	"math"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

// LeastMissMM is the least miss in a wrong placement that counts as foolproof: a
// person who tries it feels that the plate does not go on. Practice, no source.
const LeastMissMM = 2.0

// FlipFitsMM is the largest miss at which a wanted flip counts as fitting: the
// accuracy to which the miss itself is computed, and well below any clearance.
const FlipFitsMM = 1e-3

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

// Spec is what the search works from. Points are in the board frame.
type Spec struct {
	Region   *Region
	Count    int  // pins wanted, 2 to MostPins
	Flip     Flip // how the pattern must also fit; NoFlip: not at all
	AllRound bool // every pin locates in a round hole: no slot, no clear holes
	LengthMM float64
	Features []geom.Vec
	ErrorMM  float64 // across error at either locating pin, for the objective
	TravelMM float64 // of the slot, centre to centre

	all   bool // look for the full number of pins only
	quick bool // the same, on the region's grid only, and giving up early
}

// Role says what a pin does in the plate.
type Role string

// The three roles.
const (
	Round Role = "round" // locates both ways
	Slot  Role = "slot"  // locates across the line between the two locating pins
	Clear Role = "clear" // does not locate
)

// Pin is one pin of the pattern.
type Pin struct {
	Role Role
	At   geom.Vec
}

// Pattern is the answer of the search. It may hold fewer pins than wanted.
type Pattern struct {
	Pins        []Pin    // round, slot, then the clear ones; all round when asked
	ObjectiveMM float64  // worst error at any feature from the locating pair
	AloneMM     float64  // the objective with the best pair, had the other pins not been
	GaveWay     bool     // the best pair left no room for the other pins
	Lonely      bool     // single pins have a place, but no two that could locate
	Refusal     *Refusal // nil unless no pin, or no pair, has a place
}

// Refusal tells why no pin has a place.
type Refusal struct {
	At         geom.Vec // the best place on the grid
	LackMM     float64  // what it lacks
	Constraint Constraint
}

// Place finds the pattern. The same spec always gives the same pattern.
//
// Objective: the worst error at any feature (see PairError); within 2 % of the
// best found the longest useful baseline, the roomiest and tidiest pair; then
// clear pins that block every wrong placement, evenly spread. When the best pair
// leaves no room for that, other pairs are tried.
//
// With allRound every pin locates. The two that come first are chosen in the same
// way: more round holes can only hold the plate nearer, so the pair's error is an
// upper bound of what is left.
//
// Positions stand on the ground's grid. Only where that leaves no room for every
// pin, as on a blank that is barely wide enough, finer grids are tried.
func (s Spec) Place() Pattern {
	if s.AllRound {
		s.TravelMM = 0
	}
	out := s.searchOnGrid()
	for _, k := range finerGrids {
		if len(out.Pins) == s.Count || s.quick {
			break
		}
		f, g := s, *s.Region
		g.StepMM /= k
		f.Region, f.all = &g, true
		if p := f.searchOnGrid(); len(p.Pins) == s.Count {
			return p
		}
	}
	return out
}

// Fits is a quick form of Place: it reports whether the full number of pins has a
// place on the region's own grid, and may give up early.
func (s Spec) Fits() bool {
	s.quick = true
	return len(s.Place().Pins) == s.Count
}

// finerGrids divide the step of the grid: half and quarter millimetres, 1/32 and
// 1/64 inch, which a rule or a dial still shows.
var finerGrids = []float64{2, 4}

func (s Spec) searchOnGrid() Pattern {
	g := s.Region
	cols, best, by := g.columns(enoughSlackMM + s.TravelMM/2)
	if len(cols) == 0 {
		return Pattern{Refusal: g.refusal(best, by)}
	}
	f := s.finder()
	if s.quick && !s.hasRoom(cols) {
		return Pattern{}
	}
	p, ok := s.choosePair(f, cols)
	if !ok {
		// A pin or two would stand, but no slot, or not two of them.
		near, zone := s.roomiestSpot(cols)
		return Pattern{Refusal: g.refusal(near, zone), Lonely: true}
	}
	l := s.furnish(f, p, cols)
	if l.pins == nil {
		return Pattern{} // not all have a place, and fewer were not asked for
	}
	return Pattern{
		Pins: l.pins, GaveWay: l.pins[0].At != p.round.at || l.pins[1].At != p.slot.at,
		ObjectiveMM: s.ErrorMM * f.features.error(l.pins[0].At, l.pins[1].At), AloneMM: s.ErrorMM * p.err,
	}
}

func (s Spec) finder() finder {
	return finder{
		step: s.Region.StepMM, least: s.apart() + s.TravelMM/2, travel: s.TravelMM / 2,
		features: newGauge(s.Features), ends: newGauge([]geom.Vec{{}, {X: s.LengthMM}}),
	}
}

// apart is the least distance between the centres of two round holes. One that
// has the slot for a neighbour stands off by half the slot's travel more.
func (s Spec) apart() float64 { return 2*s.Region.HoleRadiusMM + s.Region.WebMM }

// roomiestSpot returns the spot that comes nearest to having room for the slot and
// the zone that stops it; -1 when it has the room.
func (s Spec) roomiestSpot(cols [][]spot) (spot, int) {
	best, by := spot{slack: math.Inf(-1)}, -1
	for _, c := range cols {
		for _, sp := range c {
			if sp.slack > best.slack {
				best = sp
			}
		}
	}
	if best.slack -= s.TravelMM / 2; best.slack < 0 {
		_, by = s.Region.clearance(best.at, s.Region.HoleRadiusMM)
	}
	return best, by
}

// layout is a pair with its clear pins.
type layout struct {
	pins  []Pin
	grade grade
}

// grade tells how well a layout blocks the wrong placements.
type grade int

const (
	noLayout grade = iota
	open           // some wrong placement goes on
	blocked        // every one misses by LeastMissMM
	plain          // every one misses by wantedMissMM
)

// furnish adds the clear pins to the pair: as many as asked for, or as many as
// fit, which the rules then tell. When the best pair stands in their way, so that
// they do not fit or leave a wrong placement open, it tries others.
func (s Spec) furnish(f finder, p pair, cols [][]spot) layout {
	var others []pair
	var pk *packer // made when the rows do not serve
	for n := s.Count - 2; ; n-- {
		l := s.addClear(p, cols, n, &pk)
		if n == 0 || l.grade >= blocked {
			return l
		}
		if others == nil {
			if pk == nil {
				pk = s.newPacker(cols)
			}
			others = s.otherPairs(f, p, cols, pk)
		}
		for _, q := range others {
			if m := s.addClear(q, cols, n, &pk); m.grade > l.grade {
				l = m
			}
			if l.grade >= blocked {
				return l
			}
		}
		if m := s.exhaust(f, l.grade, n, pk); m.grade > l.grade {
			l = m
		}
		if l.grade > noLayout || s.all || s.quick {
			return l
		}
	}
}

// addClear tries the layouts with n clear pins, tidiest first, and keeps the first
// that blocks every wrong way well, or else the best; none when none fits.
func (s Spec) addClear(p pair, cols [][]spot, n int, pk **packer) layout {
	var best layout
	try := func(clear []spot) grade {
		pins := s.roles(p, clear)
		if g := s.gradeOf(pins, best.grade); g > best.grade {
			best = layout{pins, g}
		}
		return best.grade
	}
	if n == 0 {
		try(nil)
		return best
	}
	taken := standing(p.round.at, p.slot.at, s.TravelMM/2)
	for _, clear := range s.rowLayouts(cols, n, taken) {
		if try(clear) == plain {
			return best
		}
	}
	if best.grade < blocked {
		if *pk == nil {
			*pk = s.newPacker(cols)
		}
		(*pk).pack(n, taken, try)
	}
	return best
}

// gradeOf grades a layout; it need only be told when it is better than have. One
// that does not fit the way that the job asks for is worthless.
func (s Spec) gradeOf(pins []Pin, have grade) grade {
	switch {
	case !s.ownImage(pins):
		return noLayout
	case s.blocks(pins, wantedMissMM):
		return plain
	case have < blocked && s.blocks(pins, LeastMissMM):
		return blocked
	}
	return open
}

// blocks reports whether every wrong placement misses by need.
func (s Spec) blocks(pins []Pin, need float64) bool {
	at, holes := pinsAndHoles(pins, s.TravelMM)
	for _, w := range wrongWays {
		if w.flip == s.Flip {
			continue
		}
		if ok, err := foolproof.Misses(at, holes, w.turn, need); err != nil || !ok {
			return false
		}
	}
	return true
}

// wrongWays are the placements that must be blocked, except for the wanted flip.
var wrongWays = []struct {
	flip Flip
	turn foolproof.Turn
}{{"", foolproof.HalfTurn}, {FlipLong, foolproof.FlipLong}, {FlipShort, foolproof.FlipShort}}

// roles names the pins of a layout.
func (s Spec) roles(p pair, clear []spot) []Pin {
	pins := []Pin{{Round, p.round.at}, {Slot, p.slot.at}}
	for _, c := range clear {
		pins = append(pins, Pin{Clear, c.at})
	}
	if s.AllRound {
		for i := range pins {
			pins[i].Role = Round
		}
	}
	return pins
}

// pinsAndHoles returns the pattern as package foolproof takes it, with the free
// travel of the slot.
func pinsAndHoles(pins []Pin, travel float64) ([]geom.Vec, []foolproof.HoleAt) {
	at := make([]geom.Vec, len(pins))
	holes := make([]foolproof.HoleAt, len(pins))
	for i, p := range pins {
		at[i] = p.At
		holes[i] = foolproof.HoleAt{At: p.At}
		if p.Role == Slot {
			holes[i].Travel = travel
			d := p.At.Sub(pins[0].At)
			holes[i].Angle = math.Atan2(d.Y, d.X)
		}
	}
	return at, holes
}

// Foolproof holds, for each wrong way to put the plate on the pins, the largest
// miss of a pin from its hole in the best possible placement, mm.
type Foolproof struct{ HalfTurnMM, FlipLongMM, FlipShortMM float64 }

// Misses works out the misses of the three wrong ways; zero when there are too few
// pins to block anything. It takes longer than to tell that they are large enough.
func Misses(pins []Pin, travelMM float64) Foolproof {
	at, holes := pinsAndHoles(pins, travelMM)
	miss := func(t foolproof.Turn) float64 {
		m, err := foolproof.LeastMiss(at, holes, t)
		if err != nil {
			return 0
		}
		return m
	}
	return Foolproof{miss(foolproof.HalfTurn), miss(foolproof.FlipLong), miss(foolproof.FlipShort)}
}
