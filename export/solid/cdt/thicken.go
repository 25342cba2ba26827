package cdt

import "math"

// Thicken flips edges that are not fixed to get rid of needles: where a triangle
// is less than least units high over its longest edge, and the other diagonal of
// the quadrilateral across that edge gives two triangles whose thinner one is
// thicker, it takes that diagonal.
//
// A Delaunay triangulation has the greatest least angle, not the greatest least
// height: of three corners nearly on a line that lie close together it may well
// make a triangle. Afterwards edges near such corners need no longer be locally
// Delaunay. Each flip raises the lower of two heights, so it ends.
func (t *Triangulation) Thicken(least float64) {
	work := make([]int32, len(t.tris))
	for f := range work {
		work[f] = int32(f)
	}
	for len(work) > 0 {
		f := work[len(work)-1]
		work = work[:len(work)-1]
		h, i := t.height(f)
		n := t.tris[f].Next[i]
		if h >= least || n == none || t.tris[f].Fixed[i] {
			continue
		}
		j := t.corner(n, f)
		v := t.tris[f].V
		a, b, c, d := t.points[v[i]], t.points[v[(i+1)%3]], t.points[v[(i+2)%3]], t.points[t.tris[n].V[j]]
		if Orient(a, b, d) <= 0 || Orient(a, d, c) <= 0 {
			continue
		}
		other, _ := t.height(n)
		if math.Min(altitude(a, b, d), altitude(a, d, c)) <= math.Min(h, other) {
			continue
		}
		t.flip(f, i)
		work = append(work, f, n)
	}
}

// height returns how high triangle f stands over its longest edge, and the
// corner opposite that edge.
func (t *Triangulation) height(f int32) (float64, int) {
	v := t.tris[f].V
	longest, at := -1.0, 0
	for i := range 3 {
		if l := distance(t.points[v[(i+1)%3]], t.points[v[(i+2)%3]]); l > longest {
			longest, at = l, i
		}
	}
	return float64(Orient(t.points[v[0]], t.points[v[1]], t.points[v[2]])) / longest, at
}

// altitude returns the height of a counter-clockwise triangle over its longest edge.
func altitude(a, b, c Point) float64 {
	return float64(Orient(a, b, c)) / math.Max(distance(a, b), math.Max(distance(b, c), distance(c, a)))
}

// distance is rounded once, from a whole number, so that all machines choose alike.
func distance(a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return math.Sqrt(float64(dx*dx + dy*dy))
}
