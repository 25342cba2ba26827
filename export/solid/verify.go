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

// verify compares the mesh with the field: at vertices, edge middles and facet
// middles the distance must be small, and the body must lie on the inner side of
// each facet. It returns the largest distance found, in millimetres.
func verify(m *Mesh, f sdf.SDF3, tol float64) (float64, error) {
	worst, where := 0.0, [3]float64{}
	see := func(p [3]float64) {
		if d := f.Evaluate(v3.Vec{X: p[0], Y: p[1], Z: p[2]}); math.Abs(d) > math.Abs(worst) || math.IsNaN(d) {
			worst, where = d, p
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
		n := m.normal(t)
		s := probeMM / length(n)
		out := f.Evaluate(v3.Vec{X: middle[0] + s*n[0], Y: middle[1] + s*n[1], Z: middle[2] + s*n[2]})
		in := f.Evaluate(v3.Vec{X: middle[0] - s*n[0], Y: middle[1] - s*n[1], Z: middle[2] - s*n[2]})
		if !(out > -tol && in < tol) {
			return math.Abs(worst), &DeviationError{At: middle, Sideways: true}
		}
	}
	if !(math.Abs(worst) <= tol) {
		return math.Abs(worst), &DeviationError{At: where, GotMM: worst, LimitMM: tol}
	}
	return math.Abs(worst), nil
}

func mix(a, b, c [3]float64, s, t, u float64) (out [3]float64) {
	for k := range 3 {
		out[k] = s*a[k] + t*b[k] + u*c[k]
	}
	return out
}
