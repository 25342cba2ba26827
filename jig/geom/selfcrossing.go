package geom

// sameMM is how near two places of an outline must be to count as one: far below what any
// cutter tells apart and far above rounding.
const sameMM = 1e-3

// Crossing returns the first two edges of the contour that meet anywhere but at the corner
// between neighbours, and where; ok is false for a contour that never does.
func (l Loop) Crossing() (i, k int, at Vec, ok bool) {
	n := len(l)
	for i := range l {
		e := l.Edge(i)
		box := e.Bounds().Grow(sameMM)
		for k := i + 1; k < n; k++ {
			f := l.Edge(k)
			if !box.Meets(f.Bounds()) {
				continue
			}
			for _, p := range Intersect(e, f) {
				if !(k == i+1 && p.Dist(e.Q) < sameMM || (k+1)%n == i && p.Dist(e.P) < sameMM) {
					return i, k, p, true
				}
			}
		}
	}
	return 0, 0, Vec{}, false
}
