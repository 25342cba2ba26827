package layout

import (
	"math"

	"reseat/jig/geom"
)

// A job that turns the board over wants the pattern to be its own image: about the
// datum line (FlipLong) or about the line across through the board's middle
// (FlipShort). The locating pair then either stands on that axis, or its two pins
// are each other's image and change places. The other pins come as single ones on
// the axis or as pairs of images.

// group is what is placed at once: one pin, or a pin and its image.
type group []place

// image returns where the wanted flip takes p.
func (s *Spec) image(p geom.Vec) geom.Vec {
	if s.Flip == FlipShort {
		return geom.Vec{X: s.LengthMM - p.X, Y: p.Y}
	}
	return geom.Vec{X: p.X, Y: -p.Y}
}

// axisPlaces returns the allowed places on the flip's axis, in order. The middle of the
// board need not be on the grid.
func (s *search) axisPlaces() []place {
	var out []place
	lo, hi := s.Region.numbers()
	d := 0
	if s.Flip == FlipShort {
		d = 1
	}
	for k := lo[d]; k <= hi[d]; k++ {
		p := s.Region.point(k, 0)
		if s.Flip == FlipShort {
			p = geom.Vec{X: s.LengthMM / 2, Y: s.Region.point(0, k).Y}
		}
		if a, ok := s.Region.allowed(p); ok {
			out = append(out, a)
		}
	}
	return out
}

// makeGroups lists what the flip allows as one: every place by itself, or those on the
// axis and the pairs of images.
func (s *search) makeGroups() {
	if s.Flip == NoFlip {
		s.groups = make([]group, len(s.places))
		for i := range s.places {
			s.groups[i] = s.places[i : i+1]
		}
		return
	}
	s.axis = s.axisPlaces()
	for i := range s.axis {
		s.groups = append(s.groups, group(s.axis[i:i+1]))
	}
	for _, a := range s.places {
		m := s.image(a.at)
		if a.at.X > m.X || a.at.Y < m.Y || a.at.Dist(m) < s.apart-roundingMM {
			continue // its image stands for both, or they stand in each other's way
		}
		b, ok := place{}, false
		if s.Flip == FlipLong { // the image stands on the grid
			b, ok = find(s.places, m, s.Region.StepMM)
		} else {
			b, ok = s.Region.allowed(m)
		}
		if ok {
			s.groups = append(s.groups, group{a, b})
		}
	}
}

// choosePair returns the best pair that the flip allows.
func (s *search) choosePair() (pair, bool) {
	if s.Flip == NoFlip {
		return s.bestPair(s.places)
	}
	var both []pair
	if p, ok := s.bestPair(s.axis); ok {
		both = append(both, p)
	}
	if p, ok := s.bestImages(); ok {
		both = append(both, p)
	}
	if sortPairs(both); len(both) == 0 {
		return pair{}, false
	}
	for _, p := range both {
		if p.onLine() && p.err <= both[0].err*(1+lineCost) {
			return p, true
		}
	}
	return both[0], true
}

// bestImages returns the best pair of two pins that change places, by the same steps as
// bestPair.
func (s *search) bestImages() (best pair, found bool) {
	var all, line []pair
	least, onLine := math.Inf(1), math.Inf(1)
	for _, g := range s.groups {
		if len(g) == 2 && s.isPlaceable(g[0], g[1]) {
			p := s.measure(g[0], g[1])
			all, least = append(all, p), min(least, p.err)
			if p.onLine() {
				line, onLine = append(line, p), min(onLine, p.err)
			}
		}
	}
	if len(all) == 0 {
		return pair{}, false
	}
	best = breakImageTies(all, least*(1+pairEqual))
	if onLine <= best.err*(1+lineCost) {
		best = breakImageTies(line, max(onLine, least*(1+lineCost+pairEqual)))
	}
	return best, true
}

// breakImageTies returns, of those whose error is at most limit, the tidiest of the pairs with
// about the least error at the board's ends.
func breakImageTies(all []pair, limit float64) (best pair) {
	ends, found := math.Inf(1), false
	for _, p := range all {
		if p.err <= limit {
			ends = min(ends, p.ends)
		}
	}
	for _, p := range all {
		if p.err <= limit && p.ends <= ends*(1+endsEqual) && (!found || p.isPreferredTo(best)) {
			best, found = p, true
		}
	}
	return best
}
