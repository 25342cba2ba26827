package setup

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestLying: a place of the board, on its top, in its middle or on its underside, lies
// where half a turn in space takes it, seen from above. The turn is made here in three
// dimensions, by Rodrigues' formula about the axis that the job names.
func TestLying(t *testing.T) {
	for _, c := range []struct {
		about string
		axis  r3.Vec
	}{{"long", r3.Vec{X: 1}}, {"short", r3.Vec{Y: 1}}} {
		t.Run(c.about, rapid.MakeCheck(func(t *rapid.T) {
			num := func(name string) float64 { return rapid.Float64Range(-900, 900).Draw(t, name) }
			turn := Turn{c.about, num("middle")}
			p := r3.Vec{X: num("u"), Y: num("v"), Z: num("w")}
			pivot := r3.Vec{X: turn.MiddleMM, Z: num("height of the axis")}
			if c.about == "long" {
				pivot.X = num("any station") // every point of the datum line serves
			}
			want := r3.Add(pivot, r3.Rotate(r3.Sub(p, pivot), math.Pi, c.axis))
			got := turn.Lying(Under, geom.Vec{X: p.X, Y: p.Y})
			if got.Dist(geom.Vec{X: want.X, Y: want.Y}) > 1e-9 {
				t.Errorf("%v lies at %v, want %v", p, got, want)
			}
			if back := turn.Lying(Under, got); back.Dist(geom.Vec{X: p.X, Y: p.Y}) > 1e-9 {
				t.Errorf("turned over twice it lies at %v, was at %v", back, p)
			}
			if same := turn.Lying(Top, got); same != got {
				t.Errorf("top up it lies at %v, not %v", same, got)
			}
		}))
	}
	if p := (geom.Vec{X: 3, Y: 4}); (Turn{About: "none"}).Lying(Under, p) != p {
		t.Error("a part that is not turned over moved")
	}
}
