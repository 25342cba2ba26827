package layout

import (
	"cmp"
	"math"
	"slices"
)

// When the tidy rows find no room, or leave a wrong placement open, the clear pins
// are packed: groups are taken greedily in several orders, as close as they may
// stand, which fills a narrow region; and the wanted number is picked from those, far
// apart.

// occupied is a pin that has its place; more is what a hole beside it must keep
// beyond the usual distance.
type occupied struct {
	place
	more float64
}

// free reports whether all of the group keep their distance from taken.
func (g group) free(taken []occupied, least float64) bool {
	for _, p := range g {
		for _, t := range taken {
			w, d := p.at.Sub(t.at), least+t.more-roundingMM
			if w.Dot(w) < d*d {
				return false
			}
		}
	}
	return true
}

// occupy returns taken with the group added; taken itself stays.
func (g group) occupy(taken []occupied) []occupied { return occupy(taken, []group{g}) }

func occupy(taken []occupied, groups []group) []occupied {
	taken = slices.Clip(taken)
	for _, g := range groups {
		for _, p := range g {
			taken = append(taken, occupied{place: p})
		}
	}
	return taken
}

// packOrders are the orders in which a region is filled: from each end and side.
var packOrders = []func(a, b place) int{
	fromStart,
	func(a, b place) int { return cmp.Compare(a.at.Y, b.at.Y) },
	func(a, b place) int { return fromStart(b, a) },
	func(a, b place) int { return cmp.Compare(b.at.Y, a.at.Y) },
}

func fromStart(a, b place) int {
	if a.at.X != b.at.X {
		return cmp.Compare(a.at.X, b.at.X)
	}
	return cmp.Compare(a.at.Y, b.at.Y)
}

// ordered yields the groups in the orders of packing. A roomy region is thinned:
// where there is so much of it, not every step of the grid is needed.
func (s *search) ordered(yield func(order []group) bool) {
	for i, order := range packOrders {
		if i == len(s.orders) {
			in := slices.Clone(every(s.groups, mostGroups))
			slices.SortFunc(in, func(a, b group) int {
				if c := order(a[0], b[0]); c != 0 {
					return c
				}
				return fromStart(a[0], b[0])
			})
			s.orders = append(s.orders, in)
		}
		if !yield(s.orders[i]) {
			return
		}
	}
}

// mostGroups bounds the work; a narrow region, where every place counts, has fewer.
const mostGroups = 3000

// every thins groups evenly to at most the given number.
func every(groups []group, most int) []group {
	if len(groups) <= most {
		return groups
	}
	var out []group
	for i := range most {
		out = append(out, groups[i*len(groups)/most])
	}
	return out
}

// pack offers arrangements of the clear pins to try until it is content.
func (s *search) pack(taken []occupied, try func([]group) grade) {
	for order := range s.ordered {
		picked := s.pick(s.fill(order, taken), s.Count-2, taken)
		if picked == nil {
			continue
		}
		if g := try(picked); g == wellClear || g < blocked && s.perturb(order, picked, taken, try) {
			return
		}
	}
}

// fill takes groups in their order, each that keeps its distance from those taken.
func (s *search) fill(order []group, taken []occupied) []group {
	var filled []group
	taken = slices.Clip(taken)
	for _, g := range order {
		if !g.free(taken, s.apart) {
			continue
		}
		filled = append(filled, g)
		for _, p := range g {
			taken = append(taken, occupied{place: p})
		}
	}
	return filled
}

// hasRoom reports whether some filling of the region holds as many pins as wanted.
func (s *search) hasRoom() bool {
	for order := range s.ordered {
		n := 0
		for _, g := range s.fill(order, nil) {
			n += len(g)
		}
		if n >= s.Count {
			return true
		}
	}
	return false
}

// pick takes groups with n pins in all, each as far as can be from those taken; nil when
// they do not add up.
func (s *search) pick(from []group, n int, taken []occupied) (out []group) {
	singles := 0
	for _, g := range from {
		singles += len(g) % 2
	}
	for n > 0 {
		g := s.farthest(from, taken, func(g group) bool {
			rest, left := n-len(g), singles-len(g)%2
			return rest >= 0 && (rest%2 == 0 || left > 0) // an odd rest needs a single one
		})
		if g == nil {
			return nil
		}
		out, taken = append(out, g), g.occupy(taken)
		n -= len(g)
		singles -= len(g) % 2
	}
	return out
}

// farthest returns the group that stands farthest from those taken, the first among
// equals; nil when none is allowed.
func (s *search) farthest(from []group, taken []occupied, allowed func(group) bool) (best group) {
	far := 0.0
	for _, g := range from {
		if !allowed(g) || !g.free(taken, s.apart) {
			continue
		}
		d := math.Inf(1)
		for _, p := range g {
			for _, t := range taken {
				d = min(d, p.at.Dist(t.at))
			}
		}
		if d > far+sameMM {
			best, far = g, d
		}
	}
	return best
}

// perturb moves one group at a time to other places, spread over the region, until
// every wrong placement is blocked.
func (s *search) perturb(all, picked []group, taken []occupied, try func([]group) grade) bool {
	for i, old := range picked {
		others := slices.Delete(slices.Clone(picked), i, i+1)
		have := occupy(taken, others)
		var free []group
		for _, g := range all {
			if len(g) == len(old) && g.free(have, s.apart) {
				free = append(free, g)
			}
		}
		for _, g := range every(free, perturbTries) {
			if try(append(slices.Clip(others), g)) >= blocked {
				return true
			}
		}
	}
	return false
}

// perturbTries is how many places one group is tried at.
const perturbTries = 12
