package geom

import "math"

// Prepared is a contour made ready for many distances: what Loop.Depth works out anew
// for every point is kept, square roots are left to the end, and what is plainly farther than
// the nearest piece so far is passed over.
type Prepared struct {
	lines []line
	arcs  []arc
}

// line is a straight edge, prepared.
type line struct {
	p, q, d Vec
	invLen2 float64 // 1/|d|^2; 0 for an edge without length
}

// arc is a curved edge, prepared.
type arc struct {
	line
	ccw     bool
	c       Vec
	r       float64
	mid     Vec     // unit vector from the centre to the arc's middle
	cosHalf float64 // of half the sweep
}

// Prepare makes l ready.
func Prepare(l Loop) *Prepared {
	r := &Prepared{}
	for i := range l {
		e := l.Edge(i)
		k := line{p: e.P, q: e.Q, d: e.Q.Sub(e.P)}
		if n := k.d.Dot(k.d); n > 0 {
			k.invLen2 = 1 / n
		}
		if !e.IsArc() {
			r.lines = append(r.lines, k)
			continue
		}
		a := e.Arc()
		r.arcs = append(r.arcs, arc{
			line: k, ccw: e.Bulge > 0, c: a.C, r: a.R, mid: Polar(1, a.Start+a.Sweep/2), cosHalf: math.Cos(a.Sweep / 2),
		})
	}
	return r
}

// plainly is by how much more a square must be than another to be larger whatever rounding did.
const plainly = 1 + 1e-9

// Depth returns the same as Loop.Depth: how far p lies inside the contour,
// negative outside.
func (r *Prepared) Depth(p Vec) float64 {
	in := false
	least2 := math.Inf(1)
	for i := range r.lines {
		k := &r.lines[i]
		w := p.Sub(k.p)
		side := k.d.Cross(w)
		if (chord{k.p, k.q, side}).crossed(p) {
			in = !in
		}
		if side*side*k.invLen2 > least2*plainly {
			continue // so far from the whole line already
		}
		t := max(0, min(1, w.Dot(k.d)*k.invLen2))
		x := w.Sub(k.d.Scale(t))
		least2 = min(least2, x.Dot(x))
	}
	least := math.Sqrt(least2)
	for i := range r.arcs {
		k := &r.arcs[i]
		w, v := p.Sub(k.p), p.Sub(k.c)
		c := chord{k.p, k.q, k.d.Cross(w)}
		if c.crossed(p) {
			in = !in
		}
		if far := k.r + least; v.Dot(v) > far*far*plainly {
			continue
		}
		n := v.Norm()
		if n < k.r && c.rightOf() == k.ccw {
			in = !in
		}
		if v.Dot(k.mid) >= n*k.cosHalf {
			least = min(least, math.Abs(n-k.r))
			continue
		}
		x := p.Sub(k.q)
		least = min(least, math.Sqrt(min(w.Dot(w), x.Dot(x))))
	}
	if in {
		return least
	}
	return -least
}
