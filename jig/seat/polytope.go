package seat

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// The poses that a window allows form a convex polytope in three dimensions
// (du, dv, theta times a length). It is built by the double description method:
// start from a box, cut with one half-space after the other, keep for every
// vertex the list of planes it lies on.
//
// Reference: Fukuda and Prodon, Double description method revisited, 1996
// (recalled).

// halfspace is the set a.x <= b, in millimetres.
type halfspace struct {
	a r3.Vec
	b float64
}

// excess returns how far x lies beyond h; negative inside.
func (h halfspace) excess(x r3.Vec) float64 { return r3.Dot(h.a, x) - h.b }

// corner is a vertex of the polytope with the planes it lies on, one bit each.
type corner struct {
	x  r3.Vec
	on []uint64
	ok bool // no wall cuts it off
}

// polytope is the list of vertices; empty when nothing is left.
type polytope struct {
	corners []corner
	planes  int     // cut so far, the box included
	eps     float64 // a vertex nearer than this to a plane lies on it, mm
}

// planeEps, times the size of the starting box, is the distance below which a
// vertex counts as lying on a plane. Vertices are found by at most a few dozen
// interpolations, each with a rounding error of some 1e-16 of the box, so 1e-12
// leaves two decades; for a 500 mm board it is about 2e-9 mm.
const planeEps = 1e-12

// cube returns the box |x_i| <= size.
func cube(size float64) polytope {
	p := polytope{planes: 6, eps: planeEps * size}
	for i := range 8 {
		var c corner
		for k, x := range []*float64{&c.x.X, &c.x.Y, &c.x.Z} {
			bit := i >> k & 1
			*x = size * float64(2*bit-1)
			c.mark(2*k + bit)
		}
		p.corners = append(p.corners, c)
	}
	return p
}

func (c *corner) mark(plane int) {
	for len(c.on) <= plane/64 {
		c.on = append(c.on, 0)
	}
	c.on[plane/64] |= 1 << (plane % 64)
}

// shared returns the planes that v and w have in common, and how many.
func shared(v, w, room []uint64) ([]uint64, int) {
	n := 0
	room = room[:0]
	for i := range min(len(v), len(w)) {
		both := v[i] & w[i]
		room = append(room, both)
		n += bits.OnesCount64(both)
	}
	return room, n
}

// covers reports whether on holds every plane of part.
func covers(on, part []uint64) bool {
	for i, m := range part {
		if i < len(on) {
			m &^= on[i]
		}
		if m != 0 {
			return false
		}
	}
	return true
}

// cut removes what lies beyond h.
func (p *polytope) cut(h halfspace) {
	plane := p.planes
	p.planes++
	room := make([]float64, len(p.corners))
	outside := 0
	for i := range p.corners {
		c := &p.corners[i]
		room[i] = -h.excess(c.x)
		switch {
		case room[i] < -p.eps:
			outside++
		case room[i] <= p.eps:
			c.mark(plane)
		}
	}
	if outside == 0 {
		return
	}
	kept := make([]corner, 0, len(p.corners)+outside)
	gone := make([]int, 0, outside)
	for i, c := range p.corners {
		if room[i] >= -p.eps {
			kept = append(kept, c)
		} else {
			gone = append(gone, i)
		}
	}
	var common []uint64
	for i, v := range p.corners {
		if room[i] <= p.eps {
			continue
		}
		for _, j := range gone {
			w := p.corners[j]
			var n int
			if common, n = shared(v.on, w.on, common); n < 2 || !p.edge(i, j, common) {
				continue
			}
			t := room[i] / (room[i] - room[j])
			c := corner{x: r3.Add(v.x, r3.Scale(t, r3.Sub(w.x, v.x))), on: slices.Clone(common)}
			c.mark(plane)
			kept = p.add(kept, c)
		}
	}
	p.corners = kept
}

// sorted returns corners of p in an order that does not hang on the last digits of
// their places, nor on the order of the cuts.
func (p *polytope) sorted(corners []corner) []corner {
	grid := gridShare / planeEps * p.eps // mm
	at := func(x float64) float64 { return math.Round(x / grid) }
	return slices.SortedFunc(slices.Values(corners), func(a, b corner) int {
		return cmp.Or(cmp.Compare(at(a.x.X), at(b.x.X)), cmp.Compare(at(a.x.Y), at(b.x.Y)),
			cmp.Compare(at(a.x.Z), at(b.x.Z)))
	})
}

// gridShare, times the size of the starting box, is how closely places are told apart
// in an order: a decade more than vertices may be off their planes.
const gridShare = 100 * planeEps

// edge reports whether corners i and j are joined by an edge: no third corner
// lies on all the planes that they share.
func (p *polytope) edge(i, j int, common []uint64) bool {
	for k := range p.corners {
		if k != i && k != j && covers(p.corners[k].on, common) {
			return false
		}
	}
	return true
}

// add appends n, or joins it with a corner in the same place.
func (p *polytope) add(list []corner, n corner) []corner {
	for i := range list {
		c := &list[i]
		if d := r3.Sub(c.x, n.x); math.Max(math.Abs(d.X), math.Max(math.Abs(d.Y), math.Abs(d.Z))) <= p.eps {
			for k, m := range n.on {
				if k < len(c.on) {
					c.on[k] |= m
				} else {
					c.on = append(c.on, m)
				}
			}
			return list
		}
	}
	return append(list, n)
}
