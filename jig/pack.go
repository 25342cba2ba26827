package jig

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

// group is what is placed at once: one spot, or a spot and its image.
type group []spot

// groups returns what a flip allows as one: every spot by itself, or those on the
// axis and the pairs of images.
func (s patternSpec) groups(cols [][]spot) []group {
	var out []group
	if s.flip == "none" {
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
			if d := s.fromAxis(a.at); d <= 0 || 2*d < s.apart() {
				continue
			}
			if m, ok := s.imageOf(a); ok {
				out = append(out, group{a, m})
			}
		}
	}
	return out
}

// stood is a pin that stands already; more is what a hole beside it must keep
// beyond the usual distance.
type stood struct {
	at   geom.Vec
	more float64
}

// standing lists the locating pair; the slot takes up more.
func standing(round, slot geom.Vec, more float64) []stood {
	return []stood{{at: round}, {slot, more}}
}

func near(p geom.Vec, taken []stood, least float64) bool {
	for _, t := range taken {
		if p.Dist(t.at) < least+t.more {
			return true
		}
	}
	return false
}

// free reports whether all of the group keep their distance from taken.
func (g group) free(taken []stood, least float64) bool {
	for _, sp := range g {
		if near(sp.at, taken, least) {
			return false
		}
	}
	return true
}

func (g group) stand(taken []stood) []stood {
	for _, sp := range g {
		taken = append(taken, stood{at: sp.at})
	}
	return taken
}

// pack offers layouts of n clear pins to try until it is content.
func (s patternSpec) pack(cols [][]spot, n int, taken []stood, try func([]spot) grade) {
	all := s.groups(cols)
	least := s.apart()
	seen := map[int]bool{}
	for _, order := range packOrders {
		sort.SliceStable(all, func(i, k int) bool { return order(all[i][0].at, all[k][0].at) < 0 })
		var filled []group
		have := slices.Clone(taken)
		for _, g := range all {
			if g.free(have, least) {
				filled, have = append(filled, g), g.stand(have)
			}
		}
		for skip := range pickTries {
			picked, ok := pick(filled, n, skip, taken)
			if !ok || seen[pickKey(picked)] {
				continue
			}
			seen[pickKey(picked)] = true
			if g := try(flat(picked)); g == plain || g < blocked && s.stir(all, picked, taken, try) {
				return
			}
		}
	}
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

// packOrders are the orders in which ground is filled.
var packOrders = []func(a, b geom.Vec) int{
	func(a, b geom.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) },
	func(a, b geom.Vec) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) },
	func(a, b geom.Vec) int { return cmp.Or(cmp.Compare(b.X, a.X), cmp.Compare(b.Y, a.Y)) },
	func(a, b geom.Vec) int { return cmp.Or(cmp.Compare(b.Y, a.Y), cmp.Compare(a.X, b.X)) },
}

// pickTries is how many different picks are made from one filling.
const pickTries = 4

// pick takes groups with n pins in all, each as far as can be from those that
// stand, the first being the skip-th farthest; false when they do not add up.
func pick(from []group, n, skip int, taken []stood) ([]group, bool) {
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
func (s patternSpec) stir(all, picked []group, taken []stood, try func([]spot) grade) bool {
	for i, old := range picked {
		have := slices.Clone(taken)
		for k, g := range picked {
			if k != i {
				have = g.stand(have)
			}
		}
		stride := max(1, len(all)/stirTries)
		// An odd start keeps the stride from walking along one side only.
		for k := (i * stride / max(1, len(picked))); k < len(all); k += stride {
			g := all[k]
			if len(g) != len(old) || !g.free(have, s.apart()) {
				continue
			}
			changed := slices.Clone(picked)
			changed[i] = g
			if try(flat(changed)) >= blocked {
				return true
			}
		}
	}
	return false
}

// stirTries is how many places one pin is tried at.
const stirTries = 24
