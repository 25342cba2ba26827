package register

import "math"

// The poses that a window allows form a convex polytope in three dimensions
// (du, dv, theta times a length). It is built by the double description method:
// start from a box, cut with one half-space after the other, keep for every
// vertex the list of planes it lies on.
//
// Reference: Fukuda and Prodon, Double description method revisited, 1996
// (recalled, not seen).

// halfspace is the set a.x <= b, in millimetres.
type halfspace struct {
	a [3]float64
	b float64
}

// corner is a vertex of the polytope with the planes it lies on, one bit each.
type corner struct {
	x  [3]float64
	on []uint64
}

// polytope is the list of vertices; empty when nothing is left.
type polytope struct {
	corners []corner
	words   int     // length of every corner's bit list
	eps     float64 // a vertex nearer than this to a plane lies on it, mm
}

// planeEps, times the size of the starting box, is the distance below which a
// vertex counts as lying on a plane. Vertices are found by at most a few dozen
// interpolations, each with a rounding error of some 1e-16 of the box, so 1e-12
// leaves two decades; for a 500 mm board it is about 2e-9 mm.
const planeEps = 1e-12

// enclose returns the part of the box |x_i| <= size that all cuts allow.
func enclose(size float64, cuts []halfspace) polytope {
	p := polytope{words: (len(cuts) + 6 + 63) / 64, eps: planeEps * size}
	for i := range 8 {
		c := corner{on: make([]uint64, p.words)}
		for k := range 3 {
			bit := i >> k & 1
			c.x[k] = size * float64(2*bit-1)
			c.mark(2*k + bit)
		}
		p.corners = append(p.corners, c)
	}
	for k, h := range cuts {
		p.cut(h, k+6)
		if len(p.corners) == 0 {
			break
		}
	}
	return p
}

func (c *corner) mark(plane int) { c.on[plane/64] |= 1 << (plane % 64) }

// shared returns how many planes v and w have in common, and writes them to out.
func shared(v, w, out []uint64) int {
	n := 0
	for i := range out {
		out[i] = v[i] & w[i]
		for m := out[i]; m != 0; m &= m - 1 {
			n++
		}
	}
	return n
}

// covers reports whether on holds every plane of part.
func covers(on, part []uint64) bool {
	for i := range part {
		if part[i]&^on[i] != 0 {
			return false
		}
	}
	return true
}

// cut removes what lies beyond h, which carries the number plane.
func (p *polytope) cut(h halfspace, plane int) {
	room := make([]float64, len(p.corners))
	outside := 0
	for i := range p.corners {
		c := &p.corners[i]
		room[i] = h.b - h.a[0]*c.x[0] - h.a[1]*c.x[1] - h.a[2]*c.x[2]
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
	var kept []corner
	for i, c := range p.corners {
		if room[i] >= -p.eps {
			kept = append(kept, c)
		}
	}
	common := make([]uint64, p.words)
	for i, v := range p.corners {
		if room[i] <= p.eps {
			continue
		}
		for j, w := range p.corners {
			if room[j] >= -p.eps || shared(v.on, w.on, common) < 2 || !p.edge(i, j, common) {
				continue
			}
			t := room[i] / (room[i] - room[j])
			n := corner{on: append([]uint64(nil), common...)}
			for k := range 3 {
				n.x[k] = v.x[k] + t*(w.x[k]-v.x[k])
			}
			n.mark(plane)
			kept = p.add(kept, n)
		}
	}
	p.corners = kept
}

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
		if math.Abs(c.x[0]-n.x[0]) <= p.eps && math.Abs(c.x[1]-n.x[1]) <= p.eps && math.Abs(c.x[2]-n.x[2]) <= p.eps {
			for k := range n.on {
				c.on[k] |= n.on[k]
			}
			return list
		}
	}
	return append(list, n)
}
