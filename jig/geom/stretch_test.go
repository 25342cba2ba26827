package geom

import (
	"math"
	"testing"
)

// TestStretch: every place of a stretched contour, stretched back, lies on the contour, arcs of
// more than half a circle and straight edges too, and the area is the product of both.
func TestStretch(t *testing.T) {
	loop := Loop{{Vec{0, -20}, 0}, {Vec{200, -30}, 1.6}, {Vec{200, 20}, -0.2}, {Vec{30, 18}, 0.5}, {Vec{0, 15}, 0}}
	const kx, ky = 1.0005, 1.012
	out, far := loop.Stretch(kx, ky), 0.0
	for i := range out {
		e := out.Edge(i)
		for k := 0.0; k < 1; k += 0.1 {
			p := e.P.Lerp(e.Q, k)
			if e.IsArc() {
				p = e.Arc().At(k)
			}
			far = math.Max(far, loop.Distance(Vec{p.X / kx, p.Y / ky}))
		}
	}
	if far > 1e-3 {
		t.Errorf("stretched back it lies %.5f mm off", far)
	}
	if want := loop.Area() * kx * ky; math.Abs(out.Area()/want-1) > 1e-6 {
		t.Errorf("area %.3f, want %.3f", out.Area(), want)
	}
	if Loop(nil).Stretch(kx, ky) != nil {
		t.Error("no contour became one")
	}
}
