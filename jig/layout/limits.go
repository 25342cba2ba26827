package layout

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// Limit is what keeps the locating pins from better places: one constraint, or
// several together.
type Limit struct {
	Constraints []Constraint // each was moved away by its GiveMM for the figures below
	Pins        []int        // those that it stops: 0 and 1
	GainMM      float64      // by how much the worst error at a feature would then fall
	WouldMM     float64      // to what
	Apart       bool         // the pins would then stand farther apart
}

// leastGain is the least share of the error by which more room must lower it to be
// worth telling; below it, the choice between nearly equal pairs does as much.
const leastGain = 0.005

// Limits tells what would let the locating pins of a pattern do better, the most
// helpful first: for each constraint by itself, and for all edges together when none by
// itself helps, the pair walks to better places with the constraint moved away. It walks
// with the same strides without, so that the difference is the constraint's alone.
func (s Spec) Limits(pins []Pin) []Limit {
	w := s.walker(pins[0].At, pins[1].At)
	_, _, now := w.walk(w.a, w.b, nil)
	floor := leastGain * now
	var out []Limit
	try := func(off map[int]bool) {
		a, b, e := w.walk(w.a, w.b, off)
		if p, ok := s.anew(off); ok {
			// The best places may lie where no short way leads.
			v := s.walker(p.round.at, p.slot.at)
			if p, q, f := v.walk(v.a, v.b, off); f < e {
				a, b, e = p, q, f
			}
		}
		if now-e < floor {
			return
		}
		l := Limit{GainMM: s.ErrorMM * (now - e), WouldMM: s.ErrorMM * e}
		for i, z := range s.Region.Constraints {
			if off[i] {
				l.Constraints = append(l.Constraints, z)
			}
		}
		l.Apart = a.Dist(b) > w.a.Dist(w.b)+s.Region.StepMM
		for i, p := range []geom.Vec{a, b} {
			if w.broken(p, off) {
				l.Pins = append(l.Pins, i)
			}
		}
		at := len(out)
		for at > 0 && out[at-1].GainMM < l.GainMM {
			at--
		}
		out = append(out[:at], append([]Limit{l}, out[at:]...)...)
	}
	every := map[int]bool{}
	for i, z := range s.Region.Constraints {
		every[i] = z.GiveMM > 0
	}
	if try(every); len(out) == 0 {
		return nil // not even all of it together
	}
	out = nil
	edges := map[int]bool{}
	for i, z := range s.Region.Constraints {
		if z.GiveMM == 0 {
			continue
		}
		try(map[int]bool{i: true})
		if z.Edge {
			edges[i] = true
		}
	}
	if len(out) == 0 && len(edges) > 1 {
		try(edges)
	}
	return out
}

// walker moves a pair about to lower its error at the features.
type walker struct {
	spec Spec
	f    finder
	a, b geom.Vec
	// with a flip, the second pin's move follows from the first's
	images bool
	axis   bool
}

func (s Spec) walker(a, b geom.Vec) walker {
	w := walker{spec: s, f: s.finder(), a: a, b: b}
	if s.Flip != NoFlip {
		w.images = s.image(w.a).Dist(w.b) < pointEqualMM
		w.axis = !w.images
	}
	return w
}

// room returns the slack at p when some zones are moved away.
func (w walker) room(p geom.Vec, off map[int]bool) float64 {
	least := math.Inf(1)
	for i := range w.spec.Region.Constraints {
		s := w.spec.Region.Constraints[i].clearance(p, w.spec.Region.HoleRadiusMM)
		if off[i] {
			s += w.spec.Region.Constraints[i].GiveMM
		}
		if least = math.Min(least, s); least < 0 {
			break
		}
	}
	return least
}

// broken reports whether a zone that was moved away would stop a pin at p.
func (w walker) broken(p geom.Vec, off map[int]bool) bool {
	for i, z := range w.spec.Region.Constraints {
		if off[i] && z.clearance(p, w.spec.Region.HoleRadiusMM) < 0 {
			return true
		}
	}
	return false
}

// anew searches the pair on a coarse grid with some zones moved away.
func (s Spec) anew(off map[int]bool) (pair, bool) {
	g := *s.Region
	g.Constraints = slices.Clone(g.Constraints)
	for i := range g.Constraints {
		if off[i] {
			g.Constraints[i].NeedMM -= g.Constraints[i].GiveMM
			g.Box = g.Box.Grow(g.Constraints[i].GiveMM)
		}
	}
	g.StepMM *= anewSteps
	s.Region = &g
	cols := g.survey(enoughSlackMM + s.TravelMM/2)
	f := s.finder()
	if s.Flip != NoFlip {
		return s.choosePair(f, cols)
	}
	var all []spot
	for _, c := range cols {
		all = append(all, c...)
	}
	if len(all) < 2 {
		return pair{}, false
	}
	search := &pairSearch{root: newBlock(all), least: f.least, travel: f.travel, aim: f.features}
	p, _ := search.run(nil)
	if p == nil {
		return pair{}, false
	}
	return f.measure(p[0], p[1]), true
}

// anewSteps is how much coarser that grid is; the walk from there is on the fine one.
const anewSteps = 4

// walk returns the places to which the pair comes from a and b, and its error for
// an error of 1 at a pin.
func (w walker) walk(a, b geom.Vec, off map[int]bool) (_, _ geom.Vec, err float64) {
	err = w.f.features.error(a, b)
	for range tidyRounds {
		before := err
		for _, k := range tidyReach {
			d := k * w.f.step
			for moved := true; moved; {
				moved = false
				for _, m := range w.moves(d) {
					p, q := a.Add(m[0]), b.Add(m[1])
					if p.Dist(q) < w.f.least {
						continue
					}
					e := w.f.features.error(p, q)
					if e >= err*(1-walkGain) {
						continue
					}
					rp, rq := w.room(p, off), w.room(q, off)
					if rp >= 0 && rq >= 0 && math.Max(rp, rq) >= w.f.travel {
						a, b, err, moved = p, q, e, true
					}
				}
			}
		}
		if err == before {
			break
		}
	}
	return a, b, err
}

// walkGain is the least share of the error that a step must gain, so that a walk
// along a valley of rounding ends.
const walkGain = 1e-6

// moves returns the moves of both pins by d that the flip allows.
func (w walker) moves(d float64) [][2]geom.Vec {
	dirs := []geom.Vec{{}, {X: d}, {X: -d}, {Y: d}, {Y: -d}}
	if w.axis {
		dirs = []geom.Vec{{}, {X: d}, {X: -d}}
		if w.spec.Flip == FlipShort {
			dirs = []geom.Vec{{}, {Y: d}, {Y: -d}}
		}
	}
	var out [][2]geom.Vec
	for _, p := range dirs {
		if w.images {
			q := w.spec.image(p).Sub(w.spec.image(geom.Vec{}))
			out = append(out, [2]geom.Vec{p, q})
			continue
		}
		for _, q := range dirs {
			out = append(out, [2]geom.Vec{p, q})
		}
	}
	return out
}
