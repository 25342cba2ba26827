package jig

import (
	"math"
	"slices"

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
	pins     []placed // round, slot, then the clear ones
	misses   Foolproof
	nearMiss spot // best refused spot, when nothing was allowed
	refusal  int  // the zone that refused it; -1 otherwise
}

// search finds the pattern. The same spec always gives the same pattern.
//
// Objective: the worst error at any feature (see pairError); within 1.8 % of the
// best found the longest useful baseline, the roomiest and tidiest pair; then
// clear pins that block every wrong placement, evenly spread.
func (s patternSpec) search() pattern {
	g := s.ground
	cols, best, by := g.columns()
	// The slot reaches further along than a round hole does.
	locCols := tighter(cols, s.travel/2)
	if len(locCols) == 0 {
		best.slack -= s.travel / 2
		return pattern{nearMiss: best, refusal: by}
	}
	least := 2*g.holeR + s.travel + g.web
	spots, allowed := s.locatingSpots(locCols)
	ends := []geom.Vec{{}, {X: s.length}}
	p, ok := choosePair(spots, s.errorMM, least, s.features, ends, allowed)
	if !ok {
		return pattern{nearMiss: best, refusal: -1}
	}
	out := pattern{
		pins:    []placed{{Round, p.round.at}, {Slot, p.slot.at}},
		refusal: -1,
	}
	s.addClear(&out, cols, least)
	return out
}

// locatingSpots returns the spots for the pair and which pairs a flip allows.
// Turned over about the long axis, round and slot must come down on themselves:
// both stand on the datum line. About the short axis they change places.
func (s patternSpec) locatingSpots(cols [][]spot) ([]spot, func(a, b geom.Vec) bool) {
	any := func(a, b geom.Vec) bool { return true }
	switch s.flip {
	case "long":
		var on [][]spot
		for _, col := range cols {
			for _, sp := range col {
				if sp.at.Y == 0 {
					on = append(on, []spot{sp})
				}
			}
		}
		return pairCandidates(on, s.ground.step), any
	case "short":
		r := s.ground.holeR + s.travel/2
		base := pairCandidates(cols, s.ground.step)
		spots := base
		for _, sp := range base {
			m := s.mirrorShort(sp.at)
			if sl, _ := s.ground.slack(m, r); sl >= 0 {
				spots = append(spots, spot{m, sl})
			}
		}
		return spots, func(a, b geom.Vec) bool { return s.mirrorShort(a).Dist(b) < slackEqual }
	}
	return pairCandidates(cols, s.ground.step), any
}

// mirrorShort turns p over about the short axis through the board's middle.
func (s patternSpec) mirrorShort(p geom.Vec) geom.Vec { return geom.Vec{X: s.length - p.X, Y: p.Y} }

// addClear adds the clear pins to the locating pair in out: as many as asked for,
// or as many as fit, which the rules then tell.
func (s patternSpec) addClear(out *pattern, cols [][]spot, least float64) {
	for n := s.count - 2; n >= 0; n-- {
		if s.addSome(out, cols, least, n) {
			return
		}
	}
}

// addSome tries the layouts with n clear pins, tidiest first, and keeps the first
// that blocks every wrong way well, or else the best; false when none fits.
func (s patternSpec) addSome(out *pattern, cols [][]spot, least float64, n int) bool {
	pair := out.pins[:2]
	taken := []geom.Vec{pair[0].at, pair[1].at}
	bestMiss := math.Inf(-1)
	try := func(clear []spot) bool {
		pins := append([]placed(nil), pair...)
		for _, c := range clear {
			pins = append(pins, placed{Clear, c.at})
		}
		if m, blocked := s.judge(pins); blocked > bestMiss {
			bestMiss, out.pins, out.misses = blocked, pins, m
		}
		return bestMiss >= wantedMissMM
	}
	for _, clear := range s.rowLayouts(cols, n, least, taken) {
		if try(clear) {
			return true
		}
	}
	if bestMiss < leastMissMM && s.flip == "none" {
		pool := pairCandidates(cols, s.ground.step)
		for skip := range spreadTries {
			if clear, ok := spread(pool, n, skip, least, taken); ok && try(clear) {
				return true
			}
		}
	}
	return !math.IsInf(bestMiss, -1)
}

// spreadTries is how many of the farthest places the fallback starts from.
const spreadTries = 12

// rowLayouts returns the layouts of n clear pins in two rows, tidiest first.
func (s patternSpec) rowLayouts(cols [][]spot, n int, least float64, taken []geom.Vec) [][]spot {
	if n == 0 {
		return [][]spot{nil}
	}
	paired := s.flip == "long"
	left := findRow(cols, 1, s.length, paired)
	right := findRow(cols, -1, s.length, paired)
	if paired {
		right = row{-left.v, mirrored(left.spots)}
	}
	nl := (n + 1) / 2
	nr := n - nl
	if s.flip == "short" && n == 2 {
		// One on either side would stand in the middle of both rows, and the
		// plate could be turned.
		nl, nr = 2, 0
	}
	if paired && nl != nr || len(left.spots) == 0 || (nr > 0 && len(right.spots) == 0) {
		return nil
	}
	var out [][]spot
	for _, sc := range schemes(s.flip) {
		l, ok1 := left.stations(nl, s.length, sc.shiftLeft, 1, least, taken)
		r, ok2 := right.stations(nr, s.length, sc.shiftRight, sc.squeezeRight, least, taken)
		if s.flip == "short" {
			l, ok1 = s.symmetric(l, ok1, least, taken)
			r, ok2 = s.symmetric(r, ok2, least, taken)
		}
		if ok1 && ok2 {
			out = append(out, append(append([]spot(nil), l...), r...))
		}
	}
	return out
}

// symmetric makes a row its own image under the flip about the short axis by
// mirroring its first half; false when the mirrored pins do not fit.
func (s patternSpec) symmetric(row []spot, ok bool, least float64, taken []geom.Vec) ([]spot, bool) {
	if !ok {
		return nil, false
	}
	n := len(row)
	out := append([]spot(nil), row...)
	if n%2 == 1 {
		out[n/2].at.X = s.length / 2
	}
	for i := range n / 2 {
		out[n-1-i].at = s.mirrorShort(out[i].at)
	}
	have := slices.Clone(taken)
	for _, sp := range out {
		if sl, _ := s.ground.slack(sp.at, s.ground.holeR); sl < 0 {
			return nil, false
		}
		if near(sp.at, have, least) {
			return nil, false
		}
		have = append(have, sp.at)
	}
	return out, true
}

func mirrored(row []spot) []spot {
	out := make([]spot, len(row))
	for i, s := range row {
		out[i] = spot{geom.Vec{X: s.at.X, Y: -s.at.Y}, s.slack}
	}
	return out
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
