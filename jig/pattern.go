package jig

import (
	"math"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
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

	all   bool // look for the full number of pins only
	quick bool // the same, on the ground's grid only, and giving up early
}

// placed is one pin of the pattern.
type placed struct {
	role Role
	at   geom.Vec
}

// pattern is the answer of the search. It may hold fewer pins than asked for;
// the rules say so.
type pattern struct {
	pins        []placed  // round, slot, then the clear ones; all round when asked
	misses      Foolproof // filled in by foolproof
	objectiveMM float64   // worst error at any feature from the locating pair
	gaveWay     bool      // the best pair left no room for the other pins
	aloneMM     float64   // the objective with the best pair
	nearMiss    spot      // best refused spot, when nothing was allowed
	refusal     int       // the zone that refused it; -1 otherwise
	lonely      bool      // single pins have a place, but no two that could locate
	advice      []advice
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
//
// Positions stand on the ground's grid. Only where that leaves no room for every
// pin, as on a blank that is barely wide enough, finer grids are tried.
func (s patternSpec) search() pattern {
	if s.allRound {
		s.travel = 0
	}
	out := s.searchOnGrid()
	for _, k := range finerGrids {
		if len(out.pins) == s.count || s.quick {
			break
		}
		f, g := s, *s.ground
		g.step /= k
		f.ground, f.all = &g, true
		if p := f.searchOnGrid(); len(p.pins) == s.count {
			return p
		}
	}
	return out
}

// finerGrids divide the step of the grid: half and quarter millimetres, 1/32 and
// 1/64 inch, which a rule or a dial still shows.
var finerGrids = []float64{2, 4}

func (s patternSpec) searchOnGrid() pattern {
	g := s.ground
	cols, best, by := g.columns(enoughSlackMM + s.travel/2)
	if len(cols) == 0 {
		return pattern{nearMiss: best, refusal: by}
	}
	f := s.finder()
	if s.quick && !s.hasRoom(cols) {
		return pattern{refusal: -1}
	}
	p, ok := s.choosePair(f, cols)
	if !ok {
		// A pin or two would stand, but no slot, or not two of them.
		near, zone := s.roomiestSpot(cols)
		return pattern{nearMiss: near, refusal: zone, lonely: true}
	}
	l := s.furnish(f, p, cols)
	if l.pins == nil {
		return pattern{refusal: -1} // not all have a place, and fewer were not asked for
	}
	return pattern{
		pins: l.pins, refusal: -1, gaveWay: l.pins[0].at != p.round.at || l.pins[1].at != p.slot.at,
		objectiveMM: s.errorMM * f.features.error(l.pins[0].at, l.pins[1].at), aloneMM: s.errorMM * p.err,
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
	pins  []placed
	grade grade
}

// grade tells how well a layout blocks the wrong placements.
type grade int

const (
	noLayout grade = iota
	open           // some wrong placement goes on
	blocked        // every one misses by leastMissMM
	plain          // every one misses by wantedMissMM
)

// furnish adds the clear pins to the pair: as many as asked for, or as many as
// fit, which the rules then tell. When the best pair stands in their way, so that
// they do not fit or leave a wrong placement open, it tries others.
func (s patternSpec) furnish(f finder, p pair, cols [][]spot) layout {
	var others []pair
	var pk *packer // made when the rows do not serve
	for n := s.count - 2; ; n-- {
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
func (s patternSpec) addClear(p pair, cols [][]spot, n int, pk **packer) layout {
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
	taken := standing(p.round.at, p.slot.at, s.travel/2)
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
func (s patternSpec) gradeOf(pins []placed, have grade) grade {
	switch {
	case !s.ownImage(pins):
		return noLayout
	case s.blocks(pins, wantedMissMM):
		return plain
	case have < blocked && s.blocks(pins, leastMissMM):
		return blocked
	}
	return open
}

// blocks reports whether every wrong placement misses by need.
func (s patternSpec) blocks(pins []placed, need float64) bool {
	at, holes := pinsAndHoles(pins, s.travel)
	for _, w := range wrongWays {
		if w.flip == s.flip {
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
	flip string
	turn foolproof.Turn
}{{"", foolproof.HalfTurn}, {"long", foolproof.FlipLong}, {"short", foolproof.FlipShort}}

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

// pinsAndHoles returns the pattern as package foolproof takes it, with the free
// travel of the slot.
func pinsAndHoles(pins []placed, travel float64) ([]geom.Vec, []foolproof.HoleAt) {
	at := make([]geom.Vec, len(pins))
	holes := make([]foolproof.HoleAt, len(pins))
	for i, p := range pins {
		at[i] = p.at
		holes[i] = foolproof.HoleAt{At: p.at}
		if p.role == Slot {
			holes[i].Travel = travel
			d := p.at.Sub(pins[0].at)
			holes[i].Angle = math.Atan2(d.Y, d.X)
		}
	}
	return at, holes
}

// settle adds what is told about the pattern once it is final.
func (b *builder) settle() {
	b.found.foolproof(b.travel)
	b.d.Pattern = b.spec().report(b.found)
	b.found.advice = b.advise()
}

// spec is what the pattern was searched with.
func (b *builder) spec() patternSpec {
	return patternSpec{
		allRound: b.allRound(),
		ground:   b.ground, count: b.job.Dowel.Count, flip: b.job.Template.Flip, length: b.job.Board.LengthMM,
		features: b.featurePoints(), errorMM: b.locatingError(), travel: b.travel,
	}
}

// locatingError is how far off the holes of a locating pin may be together: in the
// bed and in the part that the board is located by, along either axis, 95 %.
func (b *builder) locatingError() float64 {
	m := b.job.Machine.PositionMM
	return b.carrier().positionMM(m) + b.bd.positionMM(m)
}

// foolproof works out the misses of the three turns, once the pattern is final: it
// takes longer than to tell that they are large enough.
func (p *pattern) foolproof(travel float64) {
	at, holes := pinsAndHoles(p.pins, travel)
	miss := func(t foolproof.Turn) float64 {
		m, err := foolproof.LeastMiss(at, holes, t)
		if err != nil {
			return 0 // too few pins to block anything
		}
		return m
	}
	p.misses = Foolproof{miss(foolproof.HalfTurn), miss(foolproof.FlipLong), miss(foolproof.FlipShort)}
}

// flipFitsMM is the largest miss at which a wanted flip counts as fitting: the
// accuracy to which the miss itself is computed, and well below any clearance.
const flipFitsMM = 1e-3
