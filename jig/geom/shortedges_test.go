package geom

import (
	"math"
	"testing"
)

// TestWithoutShort: a contour with strays becomes the one that was meant, arcs on their circles.
func TestWithoutShort(t *testing.T) {
	plain := Rect(Box{Vec{}, Vec{40, 20}})
	plain[2].Bulge = 0.2 // the top bulges out
	bulgeAt := plain.Edge(2).Arc()
	cut := Loop{plain[0], plain[1], {Vec: Vec{40, 19.99}}, {Vec: bulgeAt.At(0.0005), Bulge: math.Tan(bulgeAt.Sweep * 0.9995 / 4)}, plain[3]}
	got := cut.WithoutShort()
	if len(got) != 4 {
		t.Fatalf("%d edges left of %v", len(got), got)
	}
	near(t, "area", got.Area(), plain.Area(), 1e-6)
	near(t, "radius of the arc", got.Edge(2).Arc().R, bulgeAt.R, 1e-9)
	for i := range got {
		near(t, "corner", got[i].Dist(plain[i].Vec), 0, 1e-6)
	}
	if l := plain.WithoutShort(); len(l) != 4 || l[2] != plain[2] {
		t.Errorf("a contour without strays became %v", l)
	}
}
