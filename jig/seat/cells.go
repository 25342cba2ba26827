package seat

import (
	"math"
	"slices"
)

// cells cuts the convex hull of a seat's extreme poses into simplices of known
// volume, so that a point of the unit cube can be carried to a pose uniformly.
// A hull that is flat (a pushed board's) is cut into triangles, segments or a
// point instead.
type cells struct {
	dim   int // of the hull, 0 to 3
	list  []cell
	guide []int32 // guide[k] is the cell that holds the share k/len(guide)
}

// cell is one simplex: corner indices, the share of all volume that lies before
// it and the inverse of its own share.
type cell struct {
	before, inv float64
	at          [4]int32
}

// dissect cuts the hull of pts, which are all extreme (or within rounding of it).
// Hulls thinner than flat count as flat; flat is in the unit of pts.
//
// In three dimensions: start from one large tetrahedron; a further point is
// joined with every triangle of the surface that it sees. The new tetrahedra
// fill exactly what the hull gains.
//
// Reference: the placing triangulation, De Loera, Rambau and Santos,
// Triangulations, 2010, section 4.3 (recalled, not seen).
func dissect(pts [][3]float64, flat float64) cells {
	var c cells
	var size []float64
	a := farthestFrom(pts, func(x [3]float64) float64 { return norm3(sub3(x, pts[0])) })
	b := farthestFrom(pts, func(x [3]float64) float64 { return norm3(sub3(x, pts[a])) })
	ab := sub3(pts[b], pts[a])
	if norm3(ab) <= flat {
		c.list = []cell{{at: [4]int32{int32(a), int32(a), int32(a), int32(a)}}}
		c.share([]float64{1})
		return c
	}
	offLine := func(x [3]float64) float64 { return norm3(cross3(ab, sub3(x, pts[a]))) / norm3(ab) }
	d := farthestFrom(pts, offLine)
	if offLine(pts[d]) <= flat {
		c.dim = 1
		c.list = []cell{{at: [4]int32{int32(a), int32(b), int32(a), int32(a)}}}
		c.share([]float64{1})
		return c
	}
	n := cross3(ab, sub3(pts[d], pts[a]))
	n = scale3(n, 1/norm3(n))
	offPlane := func(x [3]float64) float64 { return math.Abs(dot3(n, sub3(x, pts[a]))) }
	e := farthestFrom(pts, offPlane)
	if offPlane(pts[e]) <= flat {
		c.dim = 2
		c.list, size = polygon(pts, n)
	} else {
		c.dim = 3
		c.list, size = solid(pts, [4]int32{int32(a), int32(b), int32(d), int32(e)})
	}
	c.share(size)
	return c
}

func farthestFrom(pts [][3]float64, how func([3]float64) float64) int {
	best, far := 0, -1.0
	for i, p := range pts {
		if d := how(p); d > far {
			best, far = i, d
		}
	}
	return best
}

// polygon sorts pts round their mean as seen along n and cuts the polygon into a
// fan of triangles from its first corner.
func polygon(pts [][3]float64, n [3]float64) (list []cell, size []float64) {
	var mean [3]float64
	for _, p := range pts {
		mean = add3(mean, scale3(p, 1/float64(len(pts))))
	}
	// x and y span the plane: x along the widest coordinate that n leaves.
	x := [3]float64{}
	k := 0
	for i := range n {
		if math.Abs(n[i]) < math.Abs(n[k]) {
			k = i
		}
	}
	x[k] = 1
	y := cross3(n, x)
	x = cross3(y, n)
	order := make([]int32, len(pts))
	turn := make([]float64, len(pts))
	for i, p := range pts {
		d := sub3(p, mean)
		order[i], turn[i] = int32(i), math.Atan2(dot3(d, y), dot3(d, x))
	}
	slices.SortStableFunc(order, func(i, j int32) int {
		switch {
		case turn[i] < turn[j]:
			return -1
		case turn[i] > turn[j]:
			return 1
		}
		return 0
	})
	o := order[0]
	for i := 1; i+1 < len(order); i++ {
		p, q := order[i], order[i+1]
		if a := norm3(cross3(sub3(pts[p], pts[o]), sub3(pts[q], pts[o]))); a > 0 {
			list = append(list, cell{at: [4]int32{o, p, q, o}})
			size = append(size, a)
		}
	}
	return list, size
}

// seenShare is the volume, as a share of the first tetrahedron's, above which a
// point counts as lying before a triangle. Points of a common plane give some
// 1e-15; a volume left out by mistake is as small as this against the whole.
const seenShare = 1e-12

// solid cuts a hull of three dimensions, starting from the tetrahedron first.
func solid(pts [][3]float64, first [4]int32) (list []cell, size []float64) {
	six := func(t [3]int32, p int32) float64 {
		o := pts[t[0]]
		return dot3(cross3(sub3(pts[t[1]], o), sub3(pts[t[2]], o)), sub3(pts[p], o))
	}
	if six([3]int32{first[0], first[1], first[2]}, first[3]) < 0 {
		first[1], first[2] = first[2], first[1]
	}
	a, b, c, d := first[0], first[1], first[2], first[3]
	least := six([3]int32{a, b, c}, d)
	list, size = []cell{{at: first}}, []float64{least}
	least *= seenShare
	// Triangles of the surface, each seen counter-clockwise from outside; a point
	// outside gives a positive volume.
	surface := [][3]int32{{a, c, b}, {a, b, d}, {b, c, d}, {c, a, d}}
	for i := range pts {
		p := int32(i)
		if slices.Contains(first[:], p) {
			continue
		}
		var kept, rim [][3]int32
		for _, t := range surface {
			v := six(t, p)
			if v <= least {
				kept = append(kept, t)
				continue
			}
			list = append(list, cell{at: [4]int32{t[0], t[1], t[2], p}})
			size = append(size, v)
			for k := range 3 {
				rim = meet(rim, [3]int32{t[k], t[(k+1)%3], p})
			}
		}
		surface = append(kept, rim...)
	}
	return list, size
}

// meet adds the triangle t over the edge t[0] t[1] to the new surface, or removes
// the one over the same edge run the other way: both tetrahedra then share it.
func meet(rim [][3]int32, t [3]int32) [][3]int32 {
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

// place carries u to a pose of the hull of poses, uniformly for uniform u.
//
// The rest of u0 within the cell serves as its first coordinate. The gaps that
// three uniform numbers leave in 0..1 are uniform weights of four corners.
//
// Reference: Devroye, Non-Uniform Random Variate Generation, 1986, section V.2
// (uniform spacings; recalled, not seen).
func (c *cells) place(poses []Pose, u [3]float64) Pose {
	x := unit(u[0])
	k := int(x * float64(len(c.guide)))
	if k == len(c.guide) {
		k--
	}
	i := int(c.guide[k])
	for i+1 < len(c.list) && c.list[i+1].before <= x {
		i++
	}
	l := &c.list[i]
	s := min((x-l.before)*l.inv, 1)
	var t, w float64
	if c.dim > 1 {
		t = unit(u[1])
	}
	if c.dim > 2 {
		w = unit(u[2])
	}
	// Sorted, so that 0 <= lo <= mid <= hi <= 1; without branches, since nobody
	// can foresee them.
	lo, hi := min(s, t), max(s, t)
	lo, mid := min(lo, w), max(lo, w)
	mid, hi = min(mid, hi), max(mid, hi)
	o := 1 - hi
	s, t, w = hi-mid, mid-lo, lo
	p, q, m, n := &poses[l.at[0]], &poses[l.at[1]], &poses[l.at[2]], &poses[l.at[3]]
	return Pose{
		o*p.DU + s*q.DU + t*m.DU + w*n.DU,
		o*p.DV + s*q.DV + t*m.DV + w*n.DV,
		o*p.Theta + s*q.Theta + t*m.Theta + w*n.Theta,
	}
}

// unit clamps x to 0..1; what is not a number counts as 0.
func unit(x float64) float64 {
	switch {
	case !(x > 0):
		return 0
	case x > 1:
		return 1
	}
	return x
}

func sub3(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func add3(a, b [3]float64) [3]float64 { return [3]float64{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func dot3(a, b [3]float64) float64    { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func norm3(a [3]float64) float64      { return math.Sqrt(dot3(a, a)) }

func scale3(a [3]float64, k float64) [3]float64 { return [3]float64{k * a[0], k * a[1], k * a[2]} }

func cross3(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
