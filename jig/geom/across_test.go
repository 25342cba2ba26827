package geom

import (
	"math"
	"testing"
)

// A ring of two arcs about the origin is crossed at -+ sqrt(r^2 - u^2), and nowhere beside it.
func TestAcross(t *testing.T) {
	ring := Slot(Vec{}, 0, 0, 20)
	for _, u := range []float64{-9.9, -3, 0.5, 8} {
		ys := ring.Across(u, 1e-4)
		h := math.Sqrt(100 - u*u)
		if len(ys) != 2 || math.Abs(ys[0]+h) > 1e-2 || math.Abs(ys[1]-h) > 1e-2 {
			t.Errorf("at %g: %v, want -+%g", u, ys, h)
		}
	}
	if ys := ring.Across(11, 1e-4); len(ys) != 0 {
		t.Errorf("beside it: %v", ys)
	}
}
