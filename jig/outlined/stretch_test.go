package outlined

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

// Stretches of either side: from u to u, and v at the first.
func TestStretches(t *testing.T) {
	at := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Vec: geom.Vec{X: x, Y: y}, Bulge: bulge} }
	bay := geom.Loop{at(0, 0, 0), at(100, 0, 0), at(100, 40, 0), at(70, 40, 0), at(70, 25, 0), at(30, 25, 0),
		at(30, 40, 0), at(0, 40, 0)}
	under := geom.Loop{at(0, 0, 0), at(100, 0, 0), at(100, 40, 0), at(40, 40, 0), at(40, 30, 0), at(60, 30, 0),
		at(60, 20, 0), at(0, 20, 0)}
	for _, c := range []struct {
		name        string
		outline     geom.Loop
		left, right [][3]float64
	}{
		{"straight sides taper", geom.Taper(200, 40, 60), [][3]float64{{0, 200, 20}}, [][3]float64{{0, 200, -20}}},
		{"a curved right side", geom.Loop{at(0, -20, 0.2), at(150, -20, 0), at(150, 20, 0), at(0, 20, 0)},
			[][3]float64{{0, 150, 20}}, nil},
		{"the floor of a bay counts", bay, [][3]float64{{0, 30, 40}, {30, 70, 25}, {70, 100, 40}}, [][3]float64{{0, 100, 0}}},
		{"what lies under a tongue does not", under, [][3]float64{{40, 100, 40}}, [][3]float64{{0, 100, 0}}},
		{"ends of under 10 mm",
			geom.Loop{at(0, 0, 0), at(60, 0, 0), at(60, 30, 0), at(51, 30, 0), at(35, 55, 0), at(0, 30, 0)},
			[][3]float64{{0, 35, 30}}, [][3]float64{{0, 60, 0}}},
		{"steeper than 45 degrees", geom.Loop{at(0, 0, 0), at(40, 0, 0), at(25, 60, 0)}, nil, [][3]float64{{0, 40, 0}}},
		{"a disc", geom.Loop{at(0, 0, 1), at(60, 0, 1)}, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for side, want := range [][][3]float64{c.right, c.left} {
				got := Stretches(c.outline, side == 1)
				if len(got) != len(want) {
					t.Fatalf("left %v: %+v, want %v", side == 1, got, want)
				}
				for i, w := range want {
					s := got[i]
					first := s.At(s.FromMM).Y
					if math.Abs(s.FromMM-w[0])+math.Abs(s.ToMM-w[1])+math.Abs(first-w[2]) > 1e-9 {
						t.Errorf("left %v: %+v, want %v", side == 1, s, w)
					}
					if middle := (w[0] + w[1]) / 2; !s.Covers(middle, 5) || s.Covers(w[0]+4, 5) {
						t.Errorf("%+v holds what it does not, or not its middle", s)
					}
				}
			}
		})
	}
}
