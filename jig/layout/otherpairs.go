package layout

import "slices"

// When the best pair stands in the way of the other pins, other pairs are tried.

const (
	// otherGroups thins the groups whose pairs are compared, and mostOthers bounds how
	// many of those are tried.
	otherGroups = 90
	mostOthers  = 6
)

// pairsOf returns the legal pairs of the given groups, best first: two single ones, or a
// place and its image.
func (s *search) pairsOf(groups []group) []pair {
	var all []pair
	var singles []place
	add := func(a, b place) {
		if s.isPlaceable(a, b) {
			all = append(all, s.measure(a, b))
		}
	}
	for _, g := range groups {
		if len(g) == 2 {
			add(g[0], g[1])
			continue
		}
		for _, p := range singles {
			add(p, g[0])
		}
		singles = append(singles, g[0])
	}
	sortPairs(all)
	return all
}

// otherPairs returns pairs besides p, best first, no two alike: the best of a thinned
// region, those that leave the axis room for a single pin, and those of dense fillings.
func (s *search) otherPairs(p pair) []pair {
	some := append(slices.Clip(every(s.groups[:len(s.axis)], otherGroups)), every(s.groups[len(s.axis):], otherGroups)...)
	out := s.unlike([]pair{p}, s.pairsOf(some), mostOthers)
	out = append(out, s.reserved()...)
	for order := range s.ordered {
		out = s.unlike(out, s.pairsOf(every(s.fill(order, nil), otherGroups)), 1)
	}
	sortPairs(out[1:])
	return out[1:]
}

// unlike appends up to n pairs to out that differ from those in it.
func (s *search) unlike(out, from []pair, n int) []pair {
	for _, q := range from {
		alike := false
		for _, o := range out {
			alike = alike || q.round.at.Dist(o.round.at)+q.slot.at.Dist(o.slot.at) <= (s.apart+s.half)/2
		}
		if alike {
			continue
		}
		if out = append(out, q); n == 1 {
			break
		}
		n--
	}
	return out
}

// reserved returns the best pairs on and beside the flip's axis when one pin of an
// odd number must stand on the axis as well: the room for that one is taken out at
// each end of every stretch of the axis, and the pair is searched in what is left.
func (s *search) reserved() []pair {
	if s.Flip == NoFlip || s.Count%2 == 0 {
		return nil
	}
	var all []pair
	if q, ok := s.bestImages(); ok {
		all = append(all, q)
	}
	for i, single := range s.axis {
		beside := func(k int) bool {
			return k >= 0 && k < len(s.axis) && s.axis[k].at.Dist(single.at) < 1.5*s.Region.StepMM
		}
		if beside(i-1) && beside(i+1) {
			continue
		}
		var left []place
		for _, p := range s.axis {
			if p.at.Dist(single.at) >= s.apart+s.half {
				left = append(left, p)
			}
		}
		if q, ok := s.bestPair(left); ok {
			all = append(all, q)
		}
	}
	return all
}
