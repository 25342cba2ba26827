package layout

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"reseat/jig/geom"
)

// When the tidy rows find no room, or leave a wrong placement open, the clear pins
// are packed: spots are taken greedily in several orders, as close as they may
// stand, which fills narrow ground; the wanted number is picked from those, far
// apart; and single pins are moved about until every wrong placement is blocked.

// group is what is Pin at once: one spot, or a spot and its image.
type group []spot

// groups returns what a flip allows as one: every spot by itself, or those on the
// axis and the pairs of images.
func (s Spec) groups(cols [][]spot) []group {
	var out []group
	if s.Flip == NoFlip {
		for _, c := range cols {
			for i := range c {
				out = append(out, group(c[i:i+1]))
			}
		}
		return out
	}
	for _, c := range s.axisSpots(cols) {
		for i := range c {
			out = append(out, group(c[i:i+1]))
		}
	}
	for _, c := range cols {
		for _, a := range c {
			if !s.speaks(a.at) || 2*math.Abs(s.fromAxis(a.at)) < s.apart() {
				continue
			}
			if m, ok := s.imageOf(a); ok {
				out = append(out, group{a, m})
			}
		}
	}
	return out
}

// placed is a pin that stands already; more is what a hole beside it must keep
// beyond the usual distance.
type placed struct {
	at   geom.Vec
	more float64
}

// standing lists the locating pair; the slot takes up more.
func standing(round, slot geom.Vec, more float64) []placed {
	return []placed{{at: round}, {slot, more}}
}

func near(p geom.Vec, taken []placed, least float64) bool {
	for _, t := range taken {
		if p.Dist(t.at) < least+t.more {
			return true
		}
	}
	return false
}

// free reports whether all of the group keep their distance from taken.
func (g group) free(taken []placed, least float64) bool {
	for _, sp := range g {
		if near(sp.at, taken, least) {
			return false
		}
	}
	return true
}

func (g group) stand(taken []placed) []placed {
	for _, sp := range g {
		taken = append(taken, placed{at: sp.at})
	}
	return taken
}

// packer holds the groups in the orders in which ground is filled.
type packer struct {
	spec    Spec
	orders  [][]group
	singles bool // some group is one spot only
	stirred int
}

// newPacker makes the groups ready. Roomy ground is thinned: where there is so
// much of it, not every step of the grid is needed.
func (s Spec) newPacker(cols [][]spot) *packer {
	p := &packer{spec: s}
	all := s.groups(cols)
	stride := (len(all) + mostGroups - 1) / mostGroups
	var some []group
	for i := 0; i < len(all); i += max(1, stride) {
		some = append(some, all[i])
	}
	for _, g := range some {
		p.singles = p.singles || len(g) == 1
	}
	for _, order := range packOrders {
		in := slices.Clone(some)
		slices.SortStableFunc(in, func(a, b group) int { return order(a[0], b[0]) })
		p.orders = append(p.orders, in)
	}
	return p
}

// mostGroups bounds the work; narrow ground, where every spot counts, has fewer.
const mostGroups = 3000

// pack offers layouts of n clear pins to try until it is content.
func (p *packer) pack(n int, taken []placed, try func([]spot) grade) {
	if n%2 == 1 && !p.singles {
		return
	}
	least := p.spec.apart()
	p.stirred = 0
	seen := map[int]bool{}
	for _, all := range p.orders {
		filled := fill(all, taken, least)
		for skip := range pickTries {
			picked, ok := pick(filled, n, skip, taken)
			if !ok || seen[pickKey(picked)] {
				continue
			}
			seen[pickKey(picked)] = true
			if g := try(flat(picked)); g == plain || g < blocked && p.stir(all, picked, taken, try) {
				return
			}
		}
	}
}

// fill takes groups in their order, each that keeps its distance from those that stand.
func fill(all []group, taken []placed, least float64) []group {
	var filled []group
	have := slices.Clone(taken)
	for _, g := range all {
		if g.free(have, least) {
			filled, have = append(filled, g), g.stand(have)
		}
	}
	return filled
}

// hasRoom reports whether some filling of the ground holds as many pins as are
// wanted.
func (s Spec) hasRoom(cols [][]spot) bool {
	all := s.groups(cols)
	for _, order := range packOrders {
		slices.SortStableFunc(all, func(a, b group) int { return order(a[0], b[0]) })
		n := 0
		var have []placed
		for _, g := range all {
			if n+len(g) <= s.Count && g.free(have, s.apart()) {
				n, have = n+len(g), g.stand(have)
			}
			if n == s.Count {
				return true
			}
		}
	}
	return false
}

// pickKey tells picks apart that were tried already: rounded sums of places serve,
// since a pick that is taken for another costs no more than one try.
func pickKey(picked []group) int {
	k := 0
	for _, sp := range flat(picked) {
		k += int(math.Round(16*sp.at.X))*1009 + int(math.Round(16*sp.at.Y))*7919
	}
	return k
}

// packOrders are the orders in which ground is filled: from each end and side, and
// along its edges first, or from where there is most room, which a slot may need.
var packOrders = []func(a, b spot) int{
	func(a, b spot) int { return cmp.Or(cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y)) },
	func(a, b spot) int { return cmp.Or(cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X)) },
	func(a, b spot) int { return cmp.Or(cmp.Compare(b.at.X, a.at.X), cmp.Compare(b.at.Y, a.at.Y)) },
	func(a, b spot) int { return cmp.Or(cmp.Compare(b.at.Y, a.at.Y), cmp.Compare(a.at.X, b.at.X)) },
	func(a, b spot) int {
		return cmp.Or(cmp.Compare(math.Floor(a.slack), math.Floor(b.slack)),
			cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y))
	},
	func(a, b spot) int {
		return cmp.Or(cmp.Compare(math.Floor(4*b.slack), math.Floor(4*a.slack)),
			cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y))
	},
}

// pickTries is how many different picks are made from one filling.
const pickTries = 4

// pick takes groups with n pins in all, each as far as can be from those that
// stand, the first being the skip-th farthest; false when they do not add up.
func pick(from []group, n, skip int, taken []placed) ([]group, bool) {
	singles := 0
	for _, g := range from {
		if len(g) == 1 {
			singles++
		}
	}
	var out []group
	have := slices.Clone(taken)
	used := make([]bool, len(from))
	for n > 0 {
		type far struct {
			i int
			d float64
		}
		var cands []far
		for i, g := range from {
			// An odd rest needs a single one, which may not come later.
			if used[i] || len(g) > n || n%2 == 1 && len(g) == 2 && singles == 0 {
				continue
			}
			d := math.Inf(1)
			for _, sp := range g {
				for _, t := range have {
					d = math.Min(d, sp.at.Dist(t.at))
				}
			}
			cands = append(cands, far{i, d})
		}
		if len(cands) == 0 {
			return nil, false
		}
		sort.SliceStable(cands, func(i, k int) bool { return cands[i].d > cands[k].d+slackEqual })
		i := cands[min(skip, len(cands)-1)].i
		skip, used[i] = 0, true
		if len(from[i]) == 1 {
			singles--
		}
		out, have = append(out, from[i]), from[i].stand(have)
		n -= len(from[i])
	}
	return out, true
}

func flat(groups []group) []spot {
	var out []spot
	for _, g := range groups {
		out = append(out, g...)
	}
	return out
}

// stir moves one group at a time to other places, spread over the ground, until
// every wrong placement is blocked.
func (p *packer) stir(all, picked []group, taken []placed, try func([]spot) grade) bool {
	for i, old := range picked {
		have := slices.Clone(taken)
		for k, g := range picked {
			if k != i {
				have = g.stand(have)
			}
		}
		var places []group
		for _, g := range all {
			if len(g) == len(old) && g[0].at != old[0].at && g.free(have, p.spec.apart()) {
				places = append(places, g)
			}
		}
		for k := 0; k < len(places); k += 1 + len(places)/stirTries {
			if p.stirred++; p.stirred > mostStirred {
				return false
			}
			changed := slices.Clone(picked)
			changed[i] = places[k]
			if try(flat(changed)) >= blocked {
				return true
			}
		}
	}
	return false
}

const (
	// stirTries is how many places one pin is tried at.
	stirTries = 12
	// mostStirred bounds the tries for one pair.
	mostStirred = 150
)
