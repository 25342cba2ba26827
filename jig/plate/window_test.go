package plate

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

// TestCornerNeverHoldsTheBoardOff: a board pushed home stands inside the window, all
// of its rounded corner clear of the window's by more than a process rounds off.
func TestCornerNeverHoldsTheBoardOff(t *testing.T) {
	const clearance = 0.15
	for _, c := range []struct {
		name             string
		radius, rc, kerf float64
	}{
		{"print, small rounding", 2, 0, 0},
		{"laser", 4, 0, 0.2},
		{"rounding below what is drawn", 0.3, 0, 0.2},
		{"router, rounding below its cutter", 2, 1.9, 0},
		{"router, rounding above its cutter", 8, 3, 0},
		{"round end", 20, 0, 0.2},
		{"round end, router", 20, 3, 0},
	} {
		for _, push := range []string{"left", "right"} {
			t.Run(c.name+" "+push, func(t *testing.T) {
				board := Board(300, 40, 40, c.radius, Key{})
				window, _ := Window(Walls(geom.Taper(300, 40, 40), Gaps(clearance, push)), c.radius, c.rc, c.kerf)
				// The walls alone hold it: outside a strip along them it has room.
				side := 20.0
				if push == "right" {
					side = -20
				}
				for _, p := range board.Flatten(1e-4) {
					room := window.Depth(p)
					if room < -1e-3 {
						t.Fatalf("%v stands %.4f mm outside the window", p, -room)
					}
					in := math.Min(p.X, math.Abs(side-p.Y))
					if p.X < c.radius && math.Abs(side-p.Y) < c.radius && in > 0.29*c.radius && c.radius > 1 && room < 0.05 {
						t.Fatalf("the corner at %v leaves %.4f mm", p, room)
					}
				}
			})
		}
	}
}

// TestRoundEnds: roundings that meet leave no stray straight between them, whichever
// side of half the width the radius falls by rounding.
func TestRoundEnds(t *testing.T) {
	for _, r := range []float64{20, 19.999999, 19.99, 20.0000001, 25} {
		b := Board(300, 40, 40, r, Key{})
		for i := range b {
			if l := b.Edge(i).Length(); l < 0.05 {
				t.Errorf("radius %g: edge %d is %.6f mm long", r, i, l)
			}
		}
		if want := 260*40 + math.Pi*400; math.Abs(b.Area()-want) > 0.5 {
			t.Errorf("radius %g: area %.3f, want %.3f", r, b.Area(), want)
		}
	}
}
