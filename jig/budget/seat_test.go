package budget

import (
	"math"
	"math/rand"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// The seats of jig/seat are plays.
var _ Play = seat.Seat(nil)

// namedPlay is a play of a test.
type namedPlay struct {
	name string
	play Play
}

// seatsUnderTest are the plays of a job, from two pins to a window with rounded
// corners.
func seatsUnderTest(t testing.TB) []namedPlay {
	board := geom.Taper(480, 42, 56)
	rounded := geom.RoundCorners(board, 3)
	nest := seat.Nest{Window: board.Offset(0.1).Corners(), Board: board.Corners()}
	pushed := nest
	pushed.Push = []seat.Wall{nest.WallToward(geom.Vec{Y: 1})}
	var out []namedPlay
	for _, s := range []struct {
		name string
		of   interface {
			Seat() (seat.Seat, error)
		}
	}{
		{"pins", seat.PinPair{Slot: geom.Vec{X: 400}, RoundClearance: 0.03, SlotClearance: 0.05}},
		{"nest", nest},
		{"pushed", pushed},
		{"rounded", seat.Nest{Window: rounded.Offset(0.1).Flatten(1e-3), Board: rounded.Flatten(1e-3)}},
	} {
		made, err := s.of.Seat()
		if err != nil {
			t.Fatal(s.name, err)
		}
		out = append(out, namedPlay{s.name, made})
	}
	return out
}

// TestSeatMoments holds the lattice against plain sampling of the same seat.
func TestSeatMoments(t *testing.T) {
	// 0.5 % as latticePoints promises, and four standard deviations of 400 000
	// samples, 0.11 % each.
	const tol = 0.005 + 4*0.0011
	for _, p := range seatsUnderTest(t) {
		t.Run(p.name, func(t *testing.T) {
			m, err := moments("x", p.play)
			if err != nil {
				t.Fatal(err)
			}
			r := rand.New(rand.NewSource(8))
			var s poseMoments
			const n = 400_000
			for range n {
				if err := s.add("x", p.play.Place([3]float64{r.Float64(), r.Float64(), r.Float64()})); err != nil {
					t.Fatal(err)
				}
			}
			for i := range 3 {
				s.mean[i] /= n
				for j := range i + 1 {
					s.product[i][j] /= n
					s.product[j][i] = s.product[i][j]
				}
			}
			for _, at := range []geom.Vec{{}, {X: 240, Y: 10}, {X: 480, Y: -20}} {
				for _, c := range [][3]float64{{1, 0, -at.Y}, {0, 1, at.X}} {
					m1, v1 := m.along(c)
					m2, v2 := s.along(c)
					if d := math.Sqrt(v2); math.Abs(math.Sqrt(v1)-d) > tol*d || math.Abs(m1-m2) > tol*(d+math.Abs(m2)) {
						t.Errorf("at %v: mean %.3g deviation %.5g, sampled %.3g %.5g", at, m1, math.Sqrt(v1), m2, d)
					} else {
						t.Logf("at %v: deviation off by %.2g", at, math.Sqrt(v1)/d-1)
					}
				}
			}
		})
	}
}
