package foolproof

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// told lists the ways that let a board in, as "90" or "over 180", whole degrees, in order.
func told(ways []WrongWay) string {
	var turned, over []int
	for _, w := range ways {
		deg := int(math.Round(w.Angle*180/math.Pi)) % 360
		if w.LackMM < 0.01 && w.Over {
			over = append(over, deg)
		} else if w.LackMM < 0.01 {
			turned = append(turned, deg)
		}
	}
	slices.Sort(turned)
	slices.Sort(over)
	return fmt.Sprint(turned, over)
}

// least is what the nearest way of a turn lacks.
func least(ways []WrongWay, t Misplacement) float64 {
	if i := slices.IndexFunc(ways, func(w WrongWay) bool { return w.Misplacement() == t }); i >= 0 {
		return ways[i].LackMM
	}
	return MostLackMM
}

// Outlines whose symmetry is known: what goes in does so with the clearance to spare at every
// wall, as when it lies right.
func TestWaysOfKnownOutlines(t *testing.T) {
	pts := func(xy ...float64) (l geom.Loop) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Vertex{Vec: geom.Vec{X: xy[i], Y: xy[i+1]}})
		}
		return l
	}
	var gear geom.Loop      // three lobes, the same turned by 120 degrees and turned over
	var propeller geom.Loop // three blades that lean, not the same turned over
	for k := range 3 {
		phi := 2 * math.Pi * float64(k) / 3
		gear = append(gear, geom.Vertex{Vec: geom.Polar(20, phi-0.4), Bulge: 0.7},
			geom.Vertex{Vec: geom.Polar(20, phi+0.4), Bulge: -0.2})
		propeller = append(propeller, geom.Vertex{Vec: geom.Polar(30, phi)}, geom.Vertex{Vec: geom.Polar(12, phi+0.3)})
	}
	for _, c := range []struct {
		name, want string // turned, then turned over
		board      geom.Loop
	}{
		{"square", "[90 180 270] [0 90 180 270]", pts(0, 0, 60, 0, 60, 60, 0, 60)},
		{"rectangle", "[180] [0 180]", pts(0, 0, 90, 0, 90, 60, 0, 60)},
		{"taper", "[] [0]", geom.Taper(478, 41.5, 55)},
		{"equal-sided triangle", "[120 240] [60 180 300]", geom.FromPoints([]geom.Vec{
			geom.Polar(40, math.Pi/2), geom.Polar(40, math.Pi*7/6), geom.Polar(40, math.Pi*11/6)})},
		{"parallelogram", "[180] []", pts(0, 0, 90, 0, 105, 40, 15, 40)},
		{"three lobes", "[120 240] [0 120 240]", gear},
		{"propeller", "[120 240] []", propeller},
		{"ell", "[] []", pts(0, 0, 120, 0, 120, 40, 50, 40, 50, 90, 0, 90)},
		{"ell of equal legs", "[] [90]", pts(0, 0, 90, 0, 90, 40, 40, 40, 40, 90, 0, 90)},
	} {
		t.Run(c.name, func(t *testing.T) {
			ways := WaysIn(offset.Grow([]geom.Loop{c.board}, 0.1, offset.Mitre)[0], c.board)
			if got := told(ways); got != c.want {
				t.Errorf("goes in turned %s, want %s: %+v", got, c.want, ways)
			}
			for _, w := range ways {
				if w.LackMM < 0.01 && math.Abs(w.LackMM+0.1) > 1e-3 {
					t.Errorf("%+v, want 0.1 to spare", w)
				}
			}
		})
	}
}

// A straight board lacks what the exact search over its straight walls says, but for the
// square of a small turn.
func TestWaysAgainstWalls(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 8 {
		board := geom.Taper(120+200*r.Float64(), 40, 40+12*r.Float64())
		window := offset.Grow([]geom.Loop{board}, 0.02+0.3*r.Float64(), offset.Mitre)[0]
		ways := WaysIn(window, board)
		for _, turn := range []Misplacement{HalfTurn, FlipLong, FlipShort} {
			want := math.Min(MostLackMM, Lack(window.Corners(), board, turn))
			if got := least(ways, turn); math.Abs(got-want) > 0.02 {
				t.Errorf("%v turned %d lacks %v, want %v", board, turn, got, want)
			}
		}
	}
}

// No placement of a grid of angles and shifts, moved on from the best of them, lacks less
// than the ways that are found.
func TestWaysAgainstGrid(t *testing.T) {
	cases := 1
	if checks, err := strconv.Atoi(os.Getenv("RAPID_CHECKS")); err == nil && checks > 100 {
		cases = checks / 10
	}
	r := rand.New(rand.NewPCG(7, 1))
	for range cases {
		var board geom.Loop
		n := 3 + r.IntN(4)
		for i := range n {
			phi := 2 * math.Pi * (float64(i) + 0.3*r.Float64()) / float64(n)
			board = append(board, geom.Vertex{Vec: geom.Polar(12+3*r.Float64(), phi), Bulge: 0.4 * (r.Float64() - 0.4)})
		}
		window := offset.Grow([]geom.Loop{board}, 0.2, offset.Mitre)[0]
		got := WaysIn(window, board)
		least := MostLackMM
		if len(got) > 0 {
			least = got[0].LackMM
		}
		if grid := gridLack(window, board); least > grid+0.01 {
			t.Errorf("%v: %+v, but a placement lacks %v", board, got, grid)
		}
	}
}

// gridLack is the least lack of placements away from the right one, by brute force.
func gridLack(window, board geom.Loop) float64 {
	pts := geom.FromPoints(board.Flatten(0.01))
	depth := geom.Prepare(window)
	lack := func(angle, x, y float64, over bool) float64 {
		far := math.Inf(-1)
		s, c := math.Sincos(angle)
		for i := range pts {
			for _, p := range []geom.Vec{pts[i].Vec, pts.Edge(i).At(0.5)} {
				if over {
					p.Y = -p.Y
				}
				far = math.Max(far, -depth.Depth(geom.Vec{X: c*p.X - s*p.Y + x, Y: s*p.X + c*p.Y + y}))
			}
		}
		return far
	}
	best := math.Inf(1)
	for _, over := range []bool{false, true} {
		for k := 3; k < 58; k++ {
			angle := 6 * float64(k) * math.Pi / 180
			if over {
				angle += math.Pi
			}
			at := [3]float64{angle, 0, 0}
			low := math.Inf(1)
			for x := -3.0; x <= 3; x++ {
				for y := -3.0; y <= 3; y++ {
					if v := lack(angle, x, y, over); v < low {
						low, at = v, [3]float64{angle, x, y}
					}
				}
			}
			// Moves at random, ever smaller.
			r := rand.New(rand.NewPCG(uint64(k), 2))
			for size := 1.0; low < best+1 && size > 1e-3; size *= 0.97 {
				v := [3]float64{at[0] + size*r.NormFloat64()/15, at[1] + size*r.NormFloat64(), at[2] + size*r.NormFloat64()}
				if !over && math.Abs(math.Remainder(v[0], 2*math.Pi)) < 15*math.Pi/180 {
					continue
				}
				if w := lack(v[0], v[1], v[2], over); w < low {
					low, at = w, v
				}
			}
			best = math.Min(best, low)
		}
	}
	return best
}

func BenchmarkWays(b *testing.B) {
	at := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Vec: geom.Vec{X: x, Y: y}, Bulge: bulge} }
	curved := geom.Loop{at(0, -25, 0.24), at(140, -25, 0), at(140, 25, 0.24), at(0, 25, 0)}
	for name, board := range map[string]geom.Loop{
		"curved sides": curved, "chords": geom.FromPoints(curved.Flatten(0.005)),
		"square": geom.Rect(geom.Box{Max: geom.Vec{X: 200, Y: 200}}),
	} {
		window := offset.Grow([]geom.Loop{board}, 0.06, offset.Mitre)[0]
		b.Run(fmt.Sprint(name, " of ", len(window), " edges"), func(b *testing.B) {
			for b.Loop() {
				WaysIn(window, board)
			}
		})
	}
}
