package view

import (
	"cmp"
	"slices"
)

// area is a region of one grey on the page: its outline, filled by the nonzero
// rule. Holes run clockwise.
type area struct {
	grey  uint8
	loops []line
}

// paint returns the areas of one shade from far to near, so that painting them in
// order leaves what the eye sees. Areas that cover each other in a ring are taken
// apart into facets first; facets that still do are taken by their distance.
func (s *scene) paint(c *cells, cand []candidate, covers []covering) []area {
	item, grey := s.region, s.grey
	groups := ranked(len(grey), covers)
	if split := s.apart(groups); split != nil {
		item, grey = slices.Clone(s.region), slices.Clone(s.grey)
		for i, r := range s.region {
			if r >= 0 && split[r] {
				item[i] = int32(len(grey))
				grey = append(grey, s.grey[r])
			}
		}
		for _, e := range s.edges {
			if r := s.region[e.f[0]]; r >= 0 && split[r] && r == s.region[e.f[1]] {
				cand = append(cand, candidate{e, border})
			}
		}
		groups = ranked(len(grey), s.hide(c, cand, item, false).covers)
	}
	loops := s.outlines(cand, item, len(grey))
	var near []float64
	var out []area
	for _, g := range groups {
		if len(g) > 1 {
			if near == nil {
				near = s.nearness(item, len(grey))
			}
			slices.SortStableFunc(g, func(i, j int32) int { return cmp.Compare(near[i], near[j]) })
		}
		for _, i := range g {
			if len(loops[i]) > 0 {
				out = append(out, area{grey[i], loops[i]})
			}
		}
	}
	return out
}

// apart tells which regions are in rings; nil: none.
func (s *scene) apart(groups [][]int32) []bool {
	var split []bool
	for _, g := range groups {
		if len(g) > 1 {
			if split == nil {
				split = make([]bool, len(s.grey))
			}
			for _, i := range g {
				split[i] = true
			}
		}
	}
	return split
}

// nearness returns for each item how near its facets' corners are on average.
func (s *scene) nearness(item []int32, n int) []float64 {
	sum, count := make([]float64, n), make([]float64, n)
	for i, k := range item {
		if k >= 0 {
			for _, v := range s.facets[i].v {
				sum[k] += s.at[v].near
				count[k]++
			}
		}
	}
	for k := range sum {
		sum[k] /= max(count[k], 1)
	}
	return sum
}

// ranked puts items in groups, what is covered before what covers it. A group has
// more than one item when they cover each other in a ring.
//
// Reference: R. Tarjan, Depth-first search and linear graph algorithms, SIAM J.
// Comput. 1 (1972) 146 (recalled, not seen): strongly connected components come
// out with the last in rank first.
func ranked(n int, covers []covering) [][]int32 {
	t := &tarjan{over: make([][]int32, n), index: make([]int32, n), low: make([]int32, n), open: make([]bool, n)}
	for _, c := range covers {
		t.over[c.under] = append(t.over[c.under], c.over)
	}
	for i := range n {
		if t.index[i] == 0 {
			t.visit(int32(i))
		}
	}
	slices.Reverse(t.groups)
	return t.groups
}

type tarjan struct {
	over       [][]int32 // of each item: what covers it
	index, low []int32   // index 0: not visited
	open       []bool    // on the stack
	stack      []int32
	count      int32
	groups     [][]int32
}

func (t *tarjan) visit(i int32) {
	t.count++
	t.index[i], t.low[i] = t.count, t.count
	t.stack, t.open[i] = append(t.stack, i), true
	for _, j := range t.over[i] {
		if t.index[j] == 0 {
			t.visit(j)
			t.low[i] = min(t.low[i], t.low[j])
		} else if t.open[j] {
			t.low[i] = min(t.low[i], t.index[j])
		}
	}
	if t.low[i] < t.index[i] {
		return
	}
	k := slices.Index(t.stack, i)
	g := slices.Clone(t.stack[k:])
	t.stack = t.stack[:k]
	for _, j := range g {
		t.open[j] = false
	}
	slices.Sort(g)
	t.groups = append(t.groups, g)
}

// outlines returns the closed outlines of every item. Where several meet in a
// point any way to go on will do: the filling does not depend on it.
func (s *scene) outlines(cand []candidate, item []int32, n int) [][]line {
	type side struct{ item, from, to int32 }
	var sides []side
	for _, e := range cand {
		a, b := item[e.f[0]], item[e.f[1]]
		if a == b {
			continue
		}
		if a >= 0 {
			sides = append(sides, side{a, e.v[0], e.v[1]})
		}
		if b >= 0 {
			sides = append(sides, side{b, e.v[1], e.v[0]})
		}
	}
	order := func(x, y side) int {
		return cmp.Or(cmp.Compare(x.item, y.item), cmp.Compare(x.from, y.from), cmp.Compare(x.to, y.to))
	}
	slices.SortFunc(sides, order)
	used := make([]bool, len(sides))
	out := make([][]line, n)
	for i, first := range sides {
		if used[i] {
			continue
		}
		var l line
		for k := i; ; {
			used[k] = true
			l = append(l, s.at[sides[k].from].point)
			if sides[k].to == first.from {
				break
			}
			want := side{first.item, sides[k].to, -1}
			k, _ = slices.BinarySearchFunc(sides, want, order)
			for k < len(sides) && used[k] && sides[k].item == want.item && sides[k].from == want.from {
				k++
			}
			if k == len(sides) || sides[k].item != want.item || sides[k].from != want.from {
				break // cannot be: every outline closes
			}
		}
		if l = thinRing(l); len(l) > 2 {
			out[first.item] = append(out[first.item], l)
		}
	}
	return out
}
