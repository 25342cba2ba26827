package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/register"
)

// leastMissMM is the least miss in a wrong placement that counts as foolproof;
// fixed by the project's design.
const leastMissMM = 2.0

// patternSpec is what the search works from.
type patternSpec struct {
	ground   *ground
	count    int
	flip     string // "none", "long", "short"
	allRound bool   // every pin locates in a round hole; no slot, no clear holes
	length   float64
	features []geom.Vec
	errorMM  float64 // across error at either locating pin, for the objective
	travel   float64 // of the slot, centre to centre
}

// placed is one pin of the pattern.
type placed struct {
	role Role
	at   geom.Vec
}

// pattern is the answer of the search. It may hold fewer pins than asked for;
// the rules say so.
type pattern struct {
	pins        []placed // round, slot, then the clear ones; all round when asked
	misses      Foolproof
	objectiveMM float64 // worst error at any feature from the locating pair
	gaveWay     bool    // the best pair left no room for the other pins
	nearMiss    spot    // best refused spot, when nothing was allowed
	refusal     int     // the zone that refused it; -1 otherwise
}

// search finds the pattern. The same spec always gives the same pattern.
//
// Objective: the worst error at any feature (see pairError); within 2 % of the
// best found the longest useful baseline, the roomiest and tidiest pair; then
// clear pins that block every wrong placement, evenly spread. When the best pair
// leaves no room for that, other pairs are tried.
//
// With allRound every pin locates. The two that come first are chosen in the same
// way: more round holes can only hold the plate nearer, so the pair's error is an
// upper bound of what is left.
func (s patternSpec) search() pattern {
	if s.allRound {
		s.travel = 0
	}
	g := s.ground
	cols, best, by := g.columns(enoughSlackMM + s.travel/2)
	if len(cols) == 0 {
		return pattern{nearMiss: best, refusal: by}
	}
	f := s.finder()
	p, ok := s.choosePair(f, cols)
	if !ok {
		// A pin or two would stand, but no slot, or not two of them.
		near, zone := s.roomiestSpot(cols)
		return pattern{nearMiss: near, refusal: zone}
	}
	l := s.furnish(f, p, cols)
	return pattern{
		pins: l.pins, misses: l.misses, refusal: -1, gaveWay: l.pins[0].at != p.round.at || l.pins[1].at != p.slot.at,
		objectiveMM: s.errorMM * f.features.error(l.pins[0].at, l.pins[1].at),
	}
}

func (s patternSpec) finder() finder {
	return finder{
		step: s.ground.step, least: s.apart() + s.travel/2, travel: s.travel / 2,
		features: newGauge(s.features), ends: newGauge([]geom.Vec{{}, {X: s.length}}),
	}
}

// apart is the least distance between the centres of two round holes. One that
// has the slot for a neighbour stands off by half the slot's travel more.
func (s patternSpec) apart() float64 { return 2*s.ground.holeR + s.ground.web }

// roomiestSpot returns the spot that comes nearest to having room for the slot and
// the zone that stops it; -1 when it has the room.
func (s patternSpec) roomiestSpot(cols [][]spot) (spot, int) {
	best, by := spot{slack: math.Inf(-1)}, -1
	for _, c := range cols {
		for _, sp := range c {
			if sp.slack > best.slack {
				best = sp
			}
		}
	}
	if best.slack -= s.travel / 2; best.slack < 0 {
		_, by = s.ground.slack(best.at, s.ground.holeR)
	}
	return best, by
}

// layout is a pair with its clear pins.
type layout struct {
	pins    []placed
	misses  Foolproof
	blocked float64 // the least miss among the placements that must be blocked
}

// furnish adds the clear pins to the pair: as many as asked for, or as many as
// fit, which the rules then tell. When the best pair stands in their way, so that
// they do not fit or leave a wrong placement open, it tries others.
func (s patternSpec) furnish(f finder, p pair, cols [][]spot) layout {
	for n := s.count - 2; ; n-- {
		l, ok := s.addClear(p, cols, n)
		if n == 0 || ok && l.blocked >= leastMissMM {
			return l
		}
		for _, q := range s.otherPairs(f, p, cols) {
			m, fits := s.addClear(q, cols, n)
			if fits && (!ok || m.blocked > l.blocked) {
				l, ok = m, true
			}
			if ok && l.blocked >= leastMissMM {
				return l
			}
		}
		if ok {
			return l
		}
	}
}

// addClear tries the layouts with n clear pins, tidiest first, and keeps the first
// that blocks every wrong way well, or else the best; false when none fits.
func (s patternSpec) addClear(p pair, cols [][]spot, n int) (layout, bool) {
	best := layout{blocked: math.Inf(-1)}
	try := func(clear []spot) bool {
		pins := s.roles(p, clear)
		if m, blocked := s.judge(pins); best.pins == nil || blocked > best.blocked {
			best = layout{pins, m, blocked}
		}
		return best.blocked >= wantedMissMM
	}
	taken := standing(p.round.at, p.slot.at, s.travel/2)
	for _, clear := range s.rowLayouts(cols, n, taken) {
		if try(clear) {
			return best, true
		}
	}
	if best.blocked < leastMissMM && n > 0 {
		s.pack(cols, n, taken, try)
	}
	return best, best.pins != nil
}

// roles names the pins of a layout.
func (s patternSpec) roles(p pair, clear []spot) []placed {
	pins := []placed{{Round, p.round.at}, {Slot, p.slot.at}}
	for _, c := range clear {
		pins = append(pins, placed{Clear, c.at})
	}
	if s.allRound {
		for i := range pins {
			pins[i].role = Round
		}
	}
	return pins
}

// judge returns the three misses and the least of those that must block. A flip
// that must fit and does not makes the layout worthless.
func (s patternSpec) judge(pins []placed) (Foolproof, float64) {
	at := make([]geom.Vec, len(pins))
	holes := make([]register.HoleAt, len(pins))
	for i, p := range pins {
		at[i] = p.at
		holes[i] = register.HoleAt{At: p.at}
		if p.role == Slot {
			holes[i].Travel = s.travel
			d := p.at.Sub(pins[0].at)
			holes[i].Angle = math.Atan2(d.Y, d.X)
		}
	}
	miss := func(t register.Turn) float64 {
		m, err := register.LeastMiss(at, holes, t)
		if err != nil {
			return 0 // too few pins to block anything
		}
		return m
	}
	f := Foolproof{miss(register.HalfTurn), miss(register.FlipLong), miss(register.FlipShort)}
	blocked := f.HalfTurnMM
	for _, m := range []struct {
		flip string
		miss float64
	}{{"long", f.FlipLongMM}, {"short", f.FlipShortMM}} {
		switch {
		case m.flip != s.flip:
			blocked = math.Min(blocked, m.miss)
		case m.miss > flipFitsMM:
			blocked = math.Inf(-1)
		}
	}
	return f, blocked
}

// flipFitsMM is the largest miss at which a wanted flip counts as fitting: the
// accuracy to which the miss itself is computed, and well below any clearance.
const flipFitsMM = 1e-3
