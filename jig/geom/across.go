package geom

import "slices"

// Across returns where the line x = u crosses the contour, rising; arcs are laid in chords that
// stay within tol. There are as many ways in as out; none where the line passes beside it.
func (l Loop) Across(u, tol float64) (ys []float64) {
	pts := l.Flatten(tol)
	for i, p := range pts {
		if q := pts[(i+1)%len(pts)]; (p.X > u) != (q.X > u) {
			ys = append(ys, p.Y+float64((u-p.X)*(q.Y-p.Y)/(q.X-p.X)))
		}
	}
	slices.Sort(ys)
	return ys
}
