package view

import (
	"cmp"
	"slices"
)

const (
	// insideTolMM widens a facet's outline on the page, so that an edge that runs
	// exactly along the border of two facets which together cover it does not slip
	// through. Far above float64's rounding of page coordinates (1e-13 mm), far
	// below what is seen.
	insideTolMM = 1e-7
	// leastGapMM is the shortest piece drawn or left out, on the page: a tenth of
	// a line's width. Shorter ones come from outlines that meet in a point.
	leastGapMM = 0.02
	// overlapMM is how long and how far inside a facet an edge must run before one
	// area is said to cover another: areas that only touch do not.
	overlapMM = 1e-4
)

// span is a piece of an edge: parameters from v[0] (0) to v[1] (1).
type span struct{ from, to float64 }

// covering says that an area lies in front of another somewhere on the page.
type covering struct{ over, under int32 }

// hiding is what comes of laying edges over facets.
type hiding struct {
	visible [][]span // of each candidate, rising
	covers  []covering
}

// hide clips every candidate against every facet near it. item names the area
// that a facet belongs to. Without visible only coverings are found.
func (s *scene) hide(c *cells, cand []candidate, item []int32, visible bool) hiding {
	var h hiding
	if visible {
		h.visible = make([][]span, len(cand))
	}
	items := int32(0)
	for _, i := range item {
		items = max(items, i+1)
	}
	// Of each item: the last candidate found before it and behind it.
	before, behind := make([]int32, items), make([]int32, items)
	var hidden []span
	for i, e := range cand {
		p, q := s.at[e.v[0]], s.at[e.v[1]]
		length := p.dist(q.point)
		if length == 0 {
			continue
		}
		mine := [2]int32{item[e.f[0]], item[e.f[1]]}
		farthest := min(p.near, q.near)
		id := int32(i + 1)
		note := func(cv *cover, sp span, last []int32, over bool) {
			k := item[cv.facet]
			if k == mine[0] || k == mine[1] || last[k] == id || (sp.to-sp.from)*length < overlapMM ||
				!cv.holds(between(p.point, q.point, (sp.from+sp.to)/2), overlapMM) {
				return
			}
			last[k] = id
			for j, m := range mine {
				switch {
				case m < 0 || j == 1 && m == mine[0]:
				case over:
					h.covers = append(h.covers, covering{m, k})
				default:
					h.covers = append(h.covers, covering{k, m})
				}
			}
		}
		hidden = hidden[:0]
		c.along(p.point, q.point, func(cv *cover) {
			if cv.facet == e.f[0] || cv.facet == e.f[1] {
				return
			}
			low := cv.nearest <= farthest+s.depthTol // cannot hide the edge
			if low && item[cv.facet] == mine[0] {
				return
			}
			in := cv.clip(p.point, q.point)
			if in.from >= in.to {
				return
			}
			d0, d1 := cv.plane.at(p.point)-p.near, cv.plane.at(q.point)-q.near
			if !low {
				if sp := above(in, d0, d1, s.depthTol); sp.from < sp.to {
					hidden = append(hidden, sp)
					note(cv, sp, behind, false)
				}
			}
			if sp := above(in, -d0, -d1, s.depthTol); sp.from < sp.to {
				note(cv, sp, before, true)
			}
		})
		if visible && e.kind != border {
			h.visible[i] = rest(hidden, leastGapMM/length)
		}
	}
	return h
}

// clip returns the part of the segment that the facet's outline holds.
func (cv *cover) clip(p, q point) span {
	in := span{0, 1}
	for k := range cv.side {
		in = above(in, cv.side[k].at(p), cv.side[k].at(q), -insideTolMM)
		if in.from >= in.to {
			break
		}
	}
	return in
}

// holds reports whether the point is inside the outline by the margin.
func (cv *cover) holds(p point, margin float64) bool {
	return cv.side[0].at(p) > margin && cv.side[1].at(p) > margin && cv.side[2].at(p) > margin
}

// above returns the part of a span where a value that runs evenly from d0 at 0 to
// d1 at 1 exceeds the limit.
func above(in span, d0, d1, limit float64) span {
	d0, d1 = d0-limit, d1-limit
	switch {
	case d0 > 0 && d1 > 0:
	case d0 <= 0 && d1 <= 0:
		in.to = in.from
	case d0 > 0:
		in.to = min(in.to, d0/(d0-d1))
	default:
		in.from = max(in.from, d0/(d0-d1))
	}
	return in
}

// rest returns what spans leave of 0 to 1. Pieces and gaps shorter than least go
// to their neighbours; the whole edge stays however short it is.
func rest(spans []span, least float64) []span {
	if len(spans) == 0 {
		return []span{{0, 1}}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []span
	at := 0.0
	add := func(to float64) {
		if to-at > least {
			out = append(out, span{at, to})
		}
	}
	for _, sp := range spans {
		if sp.from > at {
			add(sp.from)
		}
		at = max(at, sp.to)
	}
	add(1)
	k := 0
	for i := 1; i < len(out); i++ {
		if out[i].from-out[k].to < least {
			out[k].to = out[i].to
		} else {
			k++
			out[k] = out[i]
		}
	}
	if len(out) > 0 {
		out = out[:k+1]
	}
	return out
}
