package solid

import (
	"fmt"
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
)

// verify returns an error with the worst place when the mesh strays from the
// field's surface: at a vertex or the middle of an edge by more than surfaceTolMM, at
// walls of marks by more than markTolMM.
func (m *Mesh) verify(f sdf.SDF3) error {
	var at v3.Vec
	worst, limit := 0.0, surfaceTolMM
	marked, _ := f.(*body)
	see := func(p v3.Vec) {
		d := math.Abs(f.Evaluate(p))
		if !(d <= math.Max(worst, surfaceTolMM)) {
			most := surfaceTolMM
			if marked != nil && marked.byMark(p) {
				most = markTolMM
			}
			if !(d <= most) {
				worst, limit, at = d, most, p
			}
		}
	}
	for i := range m.Vertices {
		see(vec(m.corner(int32(i))))
	}
	for _, t := range m.Facets {
		a, b, c := vec(m.corner(t[0])), vec(m.corner(t[1])), vec(m.corner(t[2]))
		for k, e := range [3][2]v3.Vec{{a, b}, {b, c}, {c, a}} {
			if t[k] < t[(k+1)%3] { // each edge once
				see(e[0].Add(e[1]).MulScalar(0.5))
			}
		}
	}
	if worst > 0 {
		return fmt.Errorf("mesh at (%.3f, %.3f, %.3f) is %.4f mm from the surface, limit %.4f",
			at.X, at.Y, at.Z, worst, limit)
	}
	return nil
}

func vec(p [3]float64) v3.Vec { return v3.Vec{X: p[0], Y: p[1], Z: p[2]} }
