package plan

import (
	"cmp"
	"math"
	"sort"

	"reseat/export/solid/cdt"
)

// nearVertices returns, for each edge that has any, the vertices other than its
// ends that lie within the weld distance of it. nil: none.
func (o *overlay) nearVertices() map[int][]int32 {
	order := sorted(o.points, func(p, q Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) })
	var cuts map[int][]int32
	for i, e := range o.edges {
		a, b := o.points[e.a], o.points[e.b]
		lo, hi := corners(a, b)
		first := sort.Search(len(order), func(k int) bool { return o.points[order[k]].X >= lo.X-o.weld })
		for _, v := range order[first:] {
			p := o.points[v]
			if p.X > hi.X+o.weld {
				break
			}
			if p.Y < lo.Y-o.weld || p.Y > hi.Y+o.weld || v == e.a || v == e.b || !o.passes(a, b, p) {
				continue
			}
			if cuts == nil {
				cuts = map[int][]int32{}
			}
			cuts[i] = append(cuts[i], v)
		}
	}
	return cuts
}

// passes reports whether the edge from a to b passes p, which is none of its
// ends, nearer than the weld distance.
func (o *overlay) passes(a, b, p Point) bool {
	dx, dy := b.X-a.X, b.Y-a.Y
	along := (p.X-a.X)*dx + (p.Y-a.Y)*dy
	length2 := dx*dx + dy*dy
	if along <= 0 || along >= length2 {
		return false // nearest to an end, and vertices keep their distance
	}
	// float64 is exact enough here: the quotient decides only whether to weld.
	off := math.Abs(float64(cdt.Orient(a, b, p))) / math.Sqrt(float64(length2))
	return off < float64(o.weld)
}

// crossings returns, for each edge that has any, the vertices where it crosses
// other edges. nil: none.
func (o *overlay) crossings() map[int][]int32 {
	order := make([]int, len(o.edges))
	for i := range order {
		order[i] = i
	}
	left := func(i int) int64 { return min(o.points[o.edges[i].a].X, o.points[o.edges[i].b].X) }
	sort.SliceStable(order, func(i, j int) bool { return left(order[i]) < left(order[j]) })
	var cuts map[int][]int32
	for k, i := range order {
		e := o.edges[i]
		a, b := o.points[e.a], o.points[e.b]
		lo, hi := corners(a, b)
		for _, j := range order[k+1:] {
			f := o.edges[j]
			c, d := o.points[f.a], o.points[f.b]
			l2, h2 := corners(c, d)
			if l2.X > hi.X {
				break
			}
			if l2.Y > hi.Y || h2.Y < lo.Y || !cross(a, b, c, d) {
				continue
			}
			if cuts == nil {
				cuts = map[int][]int32{}
			}
			v := o.vertex(meeting(a, b, c, d))
			cuts[i] = append(cuts[i], v)
			cuts[j] = append(cuts[j], v)
		}
	}
	return cuts
}

// cross reports whether the insides of the segments ab and cd cross. Exact.
func cross(a, b, c, d Point) bool {
	s, t := cdt.Orient(a, b, c), cdt.Orient(a, b, d)
	if s == 0 || t == 0 || (s > 0) == (t > 0) {
		return false
	}
	s, t = cdt.Orient(c, d, a), cdt.Orient(c, d, b)
	return s != 0 && t != 0 && (s > 0) != (t > 0)
}

// meeting returns the crossing of two segments that cross, to the nearest unit
// but for float64 rounding.
//
//	t = (c-a) x (d-c) / ((b-a) x (d-c))
func meeting(a, b, c, d Point) Point {
	s, t := float64(cdt.Orient(c, d, a)), float64(cdt.Orient(c, d, b))
	k := s / (s - t)
	return at(
		a.X+int64(math.Round(k*float64(b.X-a.X))),
		a.Y+int64(math.Round(k*float64(b.Y-a.Y))),
	)
}

// corners returns the lower left and upper right corners of the box of a segment.
func corners(a, b Point) (lo, hi Point) {
	return at(min(a.X, b.X), min(a.Y, b.Y)), at(max(a.X, b.X), max(a.Y, b.Y))
}
