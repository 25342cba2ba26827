package seat

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// cells cuts the convex hull of a seat's extreme poses into tetrahedra of known
// volume, so that a point of the unit cube can be carried to a pose uniformly.
//
// A flat hull (a pushed board's) is made the base of a pyramid, once for each
// dimension that it lacks: what is spread evenly over a pyramid is spread evenly over
// its base, seen from the apex.
type cells struct {
	list  []cell
	guide []int32 // guide[k] is the cell that holds the share k/len(guide)
}

// cell is one tetrahedron: corner indices, -1 for an apex, the share of all volume
// that lies before it and the inverse of its own share.
type cell struct {
	before, inv float64
	at          [4]int
}

// dissect cuts the hull of pts, which are all extreme (or within rounding of it).
// Hulls thinner than flat count as flat; flat is in the unit of pts.
//
// Start from one large tetrahedron; a further point is joined with every triangle of
// the surface that it sees. The new tetrahedra fill exactly what the hull gains.
//
// Reference: the placing triangulation, De Loera, Rambau and Santos,
// Triangulations, 2010, section 4.3 (recalled).
func dissect(pts []r3.Vec, flat float64) cells {
	n := len(pts)
	// Each corner is the farthest from the ones before, or the apex over them, at unit
	// distance square to all.
	first := [4]int{farthestFrom(pts, func(x r3.Vec) r3.Vec { return r3.Sub(x, pts[0]) })}
	o := pts[first[0]]
	var square []r3.Vec // unit vectors that span the corners so far
	rest := func(x r3.Vec) r3.Vec {
		for _, e := range square {
			x = r3.Sub(x, r3.Scale(r3.Dot(x, e), e))
		}
		return x
	}
	for k := 1; k < 4; k++ {
		off := func(x r3.Vec) r3.Vec { return rest(r3.Sub(x, o)) }
		first[k] = farthestFrom(pts[:n], off)
		d := off(pts[first[k]])
		if r3.Norm(d) <= flat {
			axes := []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
			d = rest(axes[farthestFrom(axes, rest)])
			first[k] = len(pts)
			pts = append(pts, r3.Add(o, r3.Unit(d)))
		}
		square = append(square, r3.Unit(d))
	}
	list, size := solid(pts, n, first)
	for i := range list {
		for k, at := range list[i].at {
			if at >= n {
				list[i].at[k] = -1
			}
		}
	}
	c := cells{list: list}
	c.share(size)
	return c
}

// farthestFrom returns the first of the points that lie farthest off, up to rounding.
func farthestFrom(pts []r3.Vec, off func(r3.Vec) r3.Vec) int {
	best, far := 0, 0.0
	for i, p := range pts {
		if d := r3.Norm(off(p)); d > far*(1+1e-9) {
			best, far = i, d
		}
	}
	return best
}

// seenShare is the volume, as a share of the first tetrahedron's, above which a
// point counts as lying before a triangle. Points of a common plane give some
// 1e-15; a volume left out by mistake is as small as this against the whole.
const seenShare = 1e-12

// solid cuts a hull, starting from the tetrahedron first; what follows the first n
// points are apexes.
func solid(pts []r3.Vec, n int, first [4]int) (list []cell, size []float64) {
	six := func(t [3]int, p int) float64 {
		o := pts[t[0]]
		return r3.Dot(r3.Cross(r3.Sub(pts[t[1]], o), r3.Sub(pts[t[2]], o)), r3.Sub(pts[p], o))
	}
	if six([3]int{first[0], first[1], first[2]}, first[3]) < 0 {
		first[1], first[2] = first[2], first[1]
	}
	a, b, c, d := first[0], first[1], first[2], first[3]
	least := six([3]int{a, b, c}, d)
	list, size = []cell{{at: first}}, []float64{least}
	least *= seenShare
	// Triangles of the surface, each seen counter-clockwise from outside; a point
	// outside gives a positive volume.
	surface := [][3]int{{a, c, b}, {a, b, d}, {b, c, d}, {c, a, d}}
	for p := range n {
		if slices.Contains(first[:], p) {
			continue
		}
		var kept, rim [][3]int
		for _, t := range surface {
			v := six(t, p)
			if v <= least {
				kept = append(kept, t)
				continue
			}
			list = append(list, cell{at: [4]int{t[0], t[1], t[2], p}})
			size = append(size, v)
			for k := range 3 {
				rim = meet(rim, [3]int{t[k], t[(k+1)%3], p})
			}
		}
		surface = append(kept, rim...)
	}
	return list, size
}

// meet adds the triangle t over the edge t[0] t[1] to the new surface, or removes
// the one over the same edge run the other way: both tetrahedra then share it.
func meet(rim [][3]int, t [3]int) [][3]int {
	for i, o := range rim {
		if o[0] == t[1] && o[1] == t[0] {
			return slices.Delete(rim, i, i+1)
		}
	}
	return append(rim, t)
}

// share turns sizes into shares and lays out the guide.
func (c *cells) share(size []float64) {
	var sum, run float64
	for _, s := range size {
		sum += s
	}
	for i, s := range size {
		c.list[i].before, c.list[i].inv = run/sum, sum/s
		run += s
	}
	n := len(c.list)
	c.guide = make([]int32, 2*n)
	k := 0
	for i := range c.guide {
		for k+1 < n && c.list[k+1].before <= float64(i)/float64(len(c.guide)) {
			k++
		}
		c.guide[i] = int32(k)
	}
}

// place carries u, each coordinate at least 0 and below 1, to a pose of the hull of
// poses, uniformly for uniform u.
//
// The rest of u0 within the cell serves as its first coordinate. The gaps that
// three uniform numbers leave in 0..1 are uniform weights of four corners.
//
// Reference: Devroye, Non-Uniform Random Variate Generation, 1986, section V.2
// (uniform spacings; recalled).
func (c *cells) place(poses []Pose, u [3]float64) (q Pose) {
	i := int(c.guide[int(u[0]*float64(len(c.guide)))])
	for i+1 < len(c.list) && c.list[i+1].before <= u[0] {
		i++
	}
	l := &c.list[i]
	s, t, w := min((u[0]-l.before)*l.inv, 1), u[1], u[2]
	// Sorted, so that 0 <= lo <= mid <= hi <= 1; without branches, since nobody
	// can foresee them.
	lo, hi := min(s, t), max(s, t)
	lo, mid := min(lo, w), max(lo, w)
	mid, hi = min(mid, hi), max(mid, hi)
	var sum float64
	for k, weight := range [4]float64{1 - hi, hi - mid, mid - lo, lo} {
		if at := l.at[k]; at >= 0 {
			p := &poses[at]
			q.DU += float64(weight * p.DU)
			q.DV += float64(weight * p.DV)
			q.Theta += float64(weight * p.Theta)
			sum += weight
		}
	}
	if sum > 0 && l.flat() {
		q = Pose{q.DU / sum, q.DV / sum, q.Theta / sum}
	}
	return q
}

// flat reports whether a corner is an apex.
func (l *cell) flat() bool { return min(l.at[0], l.at[1], l.at[2], l.at[3]) < 0 }
