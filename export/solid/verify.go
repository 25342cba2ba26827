package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
)

// probeMM is how far to either side of a facet's middle the field is asked
// whether that is outside and inside. A facet may have strayed sideways over an
// edge by the surface tolerance, which the answers are therefore allowed; twice
// that is enough to tell a facet that faces the wrong way, and thinner than
// anything printed.
const probeMM = 2 * SurfaceTolMM

// deviation is the largest distance found between mesh and field, in
// millimetres: anywhere but at the walls of marks, and there.
type deviation struct{ plain, marks float64 }

// verify compares the mesh with the field: at vertices, edge middles and facet
// middles the distance must be small, and the body must lie on the inner side of
// each facet. Walls of marks may stray by MarkTolMM, anything else by tol; which way
// they face follows from the facets next to them.
func verify(m *Mesh, f sdf.SDF3, tol float64) (deviation, error) {
	var worst deviation
	var off *DeviationError
	marked, _ := f.(*carved)
	see := func(p [3]float64) {
		at := v3.Vec{X: p[0], Y: p[1], Z: p[2]}
		d := f.Evaluate(at)
		limit, seen := tol, &worst.plain
		if math.Abs(d) > worst.plain && marked != nil && marked.byMark(at) {
			limit, seen = MarkTolMM, &worst.marks
		}
		if *seen = math.Max(*seen, math.Abs(d)); !(math.Abs(d) <= limit) && (off == nil || math.Abs(d) > math.Abs(off.GotMM)) {
			off = &DeviationError{At: p, GotMM: d, LimitMM: limit}
		}
	}
	for v := range m.Vertices {
		see(m.corner(int32(v)))
	}
	for _, t := range m.Facets {
		a, b, c := m.corner(t[0]), m.corner(t[1]), m.corner(t[2])
		for k, e := range [3][2][3]float64{{a, b}, {b, c}, {c, a}} {
			if t[k] < t[(k+1)%3] { // each edge once
				see(mix(e[0], e[1], e[0], 0.5, 0.5, 0))
			}
		}
		middle := mix(a, b, c, 1./3, 1./3, 1./3)
		see(middle)
		if marked != nil && marked.byMark(v3.Vec{X: middle[0], Y: middle[1], Z: middle[2]}) {
			continue // strokes may leave land between them that is thinner than a probe
		}
		n := m.normal(t)
		s := probeMM / length(n)
		out := f.Evaluate(v3.Vec{X: middle[0] + s*n[0], Y: middle[1] + s*n[1], Z: middle[2] + s*n[2]})
		in := f.Evaluate(v3.Vec{X: middle[0] - s*n[0], Y: middle[1] - s*n[1], Z: middle[2] - s*n[2]})
		if !(out > -tol && in < tol) {
			return worst, &DeviationError{At: middle, Sideways: true}
		}
	}
	if off != nil {
		return worst, off
	}
	return worst, nil
}

func mix(a, b, c [3]float64, s, t, u float64) (out [3]float64) {
	for k := range 3 {
		out[k] = s*a[k] + t*b[k] + u*c[k]
	}
	return out
}
