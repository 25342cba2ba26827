package geom

import "math"

// Prepared is a contour made ready for many distances: what Loop.Depth works out anew
// for every point is kept, and square roots are left to the end.
type Prepared struct{ pieces []piece }

// piece is one edge, prepared.
type piece struct {
	p, q, d Vec
	invLen2 float64 // 1/|d|^2; 0 for an edge without length
	arc     bool
	ccw     bool
	c       Vec
	r       float64
	mid     Vec     // unit vector from the centre to the arc's middle
	cosHalf float64 // of half the sweep
}

// Prepare makes l ready.
func Prepare(l Loop) *Prepared {
	r := &Prepared{pieces: make([]piece, len(l))}
	for i := range l {
		e := l.Edge(i)
		k := piece{p: e.P, q: e.Q, d: e.Q.Sub(e.P)}
		if n := k.d.Dot(k.d); n > 0 {
			k.invLen2 = 1 / n
		}
		if e.IsArc() {
			a := e.Arc()
			k.arc, k.ccw, k.c, k.r = true, e.Bulge > 0, a.C, a.R
			k.mid = Polar(1, a.Start+a.Sweep/2)
			k.cosHalf = math.Cos(a.Sweep / 2)
		}
		r.pieces[i] = k
	}
	return r
}

// Depth returns the same as Loop.Depth: how far p lies inside the contour,
// negative outside.
func (r *Prepared) Depth(p Vec) float64 {
	in := false
	least2, least := math.Inf(1), math.Inf(1)
	for i := range r.pieces {
		k := &r.pieces[i]
		w := p.Sub(k.p)
		c := chord{k.p, k.q, k.d.Cross(w)}
		if c.crossed(p) {
			in = !in
		}
		if !k.arc {
			t := max(0, min(1, w.Dot(k.d)*k.invLen2))
			x := w.Sub(k.d.Scale(t))
			least2 = min(least2, x.Dot(x))
			continue
		}
		v := p.Sub(k.c)
		n := v.Norm()
		if n < k.r && c.rightOf() == k.ccw {
			in = !in
		}
		if v.Dot(k.mid) >= n*k.cosHalf {
			least = min(least, math.Abs(n-k.r))
			continue
		}
		x := p.Sub(k.q)
		least2 = min(least2, min(w.Dot(w), x.Dot(x)))
	}
	d := min(least, math.Sqrt(least2))
	if in {
		return d
	}
	return -d
}
