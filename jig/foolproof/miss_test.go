package foolproof

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"

	"pgregory.net/rapid"
)

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

func roundHoles(pts []geom.Vec) []HoleAt {
	out := make([]HoleAt, len(pts))
	for i, p := range pts {
		out[i].At = p
	}
	return out
}

func gridPins(nx, ny int, dx, dy float64) []geom.Vec {
	var out []geom.Vec
	for i := range nx {
		for k := range ny {
			out = append(out, vec(dx*float64(i), dy*float64(k)))
		}
	}
	return out
}

// Cases whose answer can be worked out by hand.
func TestLeastMissByHand(t *testing.T) {
	pair := []geom.Vec{vec(0, 0), vec(100, 0)}
	row := []geom.Vec{vec(0, 0), vec(100, 0), vec(220, 0)}
	triangle := []geom.Vec{vec(0, 0), vec(200, 0), vec(0, 80)}
	for _, c := range []struct {
		name  string
		pins  []geom.Vec
		holes []HoleAt
		turn  Misplacement
		want  float64
	}{
		{"two pins always go in the other way round", pair, roundHoles(pair), HalfTurn, 0},
		{"two holes 3 mm closer leave half of it at each", pair, roundHoles([]geom.Vec{{}, vec(97, 0)}), HalfTurn, 1.5},
		{"two clear holes 3 mm closer, pins with 0.4 of play", pair,
			[]HoleAt{{Play: 0.4}, {At: vec(97, 0), Play: 0.4}}, HalfTurn, 1.1},
		{"one close and one clear hole share what the play leaves", pair,
			[]HoleAt{{}, {At: vec(97, 0), Play: 1}}, HalfTurn, 1},
		{"more play than they lack", pair, []HoleAt{{Play: 1}, {At: vec(97, 0), Play: 2.5}}, HalfTurn, 0},
		{"a slot that takes up those 3 mm", pair, []HoleAt{{}, {At: vec(97, 0), Travel: 6}}, HalfTurn, 0},
		{
			"a slot across the line does not help but by its slant", pair,
			[]HoleAt{{}, {At: vec(97, 0), Travel: 6, Angle: math.Pi / 2}}, HalfTurn, (100 - math.Hypot(97, 3)) / 2,
		},
		// Gaps 100 and 120 meet 120 and 100: middle pin off by 20, shared by all three.
		{"row of three, 20 mm uneven", row, roundHoles(row), HalfTurn, 10},
		{"row of three turned over about its own line", row, roundHoles(row), FlipLong, 0},
		{"row of three turned over endwise", row, roundHoles(row), FlipShort, 10},
		{"rectangle of six, half turn", gridPins(3, 2, 250, 80), roundHoles(gridPins(3, 2, 250, 80)), HalfTurn, 0},
		{"rectangle of six, flip long", gridPins(3, 2, 250, 80), roundHoles(gridPins(3, 2, 250, 80)), FlipLong, 0},
		{"rectangle of six, flip short", gridPins(3, 2, 250, 80), roundHoles(gridPins(3, 2, 250, 80)), FlipShort, 0},
		{"a spare hole lets the turned pair in", pair, roundHoles([]geom.Vec{{}, vec(90, 0), vec(100, 0)}), HalfTurn, 0},
		// The same miss at every angle.
		{
			"two pins in one place", []geom.Vec{vec(5, 5), vec(5, 5)}, roundHoles([]geom.Vec{{}, vec(10, 30)}), HalfTurn,
			math.Hypot(5, 15),
		},
		// Once came out 0.007 too large: facets on the straight part of a slot have equal normals.
		{
			"two parallel slots that the pair goes into", []geom.Vec{vec(30, 0), vec(120, 0)},
			[]HoleAt{{vec(90, 0), 2, math.Pi / 4, 0}, {At: vec(10, 0)}, {vec(0, 10), 6, math.Pi / 4, 0}}, HalfTurn, 0,
		},
		// Legs 200 and 80: the longest side (hypotenuse) fixes which hole is which.
		{
			"right triangle turned over about its long leg", triangle, roundHoles(triangle), FlipLong,
			slowMiss(triangle, roundHoles(triangle), FlipLong),
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := LeastMiss(c.pins, c.holes, c.turn)
			if err != nil {
				t.Fatal(err)
			}
			if got < c.want-MissTolerance || got > c.want+2*MissTolerance {
				t.Errorf("miss %.6f, want %.6f", got, c.want)
			}
		})
	}
}

// Where the holes stand in one place every angle is as good as any other, and a few tell so: hundreds of
// thousands were once tried one by one, for half a minute.
func TestHolesInOnePlace(t *testing.T) {
	for _, c := range []struct {
		pins  []geom.Vec
		plays []float64
		want  float64
	}{
		{[]geom.Vec{vec(60, 20), vec(10, 0)}, []float64{0.5, 1.5}, (math.Hypot(50, 20) - 2) / 2},
		{[]geom.Vec{vec(0, 0), vec(60, 0), vec(30, 52)}, []float64{0, 0, 0}, 30*30/52./2 + 52/2.},
		{[]geom.Vec{vec(70, 0), vec(40, 0), vec(50, 20), vec(10, 0)}, []float64{1.5, 1, 1.5, 0.5, 1.5}, 30 - 1.5},
	} {
		holes := make([]HoleAt, len(c.plays))
		for i, play := range c.plays {
			holes[i].Play = play
		}
		s, err := newSearch(c.pins, holes, HalfTurn)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.least(); math.Abs(got-c.want) > MissTolerance {
			t.Errorf("%v: miss %.6f, want %.6f", c.pins, got, c.want)
		}
		if n := cap(s.turns.open); n > 100 {
			t.Errorf("%v: up to %d ranges of angles were open at a time", c.pins, n)
		}
	}
}

// A turn means the placements within a quarter turn of it and no others: a
// pattern that comes to itself by a rotation of 120 degrees fits under HalfTurn
// (120 is within 90 of 180), one that needs exactly 0 does not.
func TestTurnRange(t *testing.T) {
	var ring []geom.Vec
	for i := range 3 {
		ring = append(ring, geom.Polar(60, 2*math.Pi*float64(i)/3))
	}
	if m, err := LeastMiss(ring, roundHoles(ring), HalfTurn); err != nil || m > MissTolerance {
		t.Errorf("three-fold ring, half turn: %g, %v; want 0", m, err)
	}
	// An isosceles triangle with its axis along u mirrors onto itself about u
	// only: flip long fits, the other turns do not.
	arrow := []geom.Vec{vec(0, 20), vec(0, -20), vec(90, 0)}
	for turn, fits := range map[Misplacement]bool{HalfTurn: false, FlipLong: true, FlipShort: false} {
		m, err := LeastMiss(arrow, roundHoles(arrow), turn)
		if err != nil || (m <= MissTolerance) != fits {
			t.Errorf("arrow, %v: %g, %v; fits should be %v", turn, m, err, fits)
		}
	}
}

func TestLeastMissRefuses(t *testing.T) {
	pins := gridPins(2, 2, 100, 50)
	thirteen := gridPins(13, 1, 10, 0)
	for _, c := range []struct {
		name  string
		pins  []geom.Vec
		holes []HoleAt
		turn  Misplacement
	}{
		{"no pins", nil, nil, HalfTurn},
		{"one pin turns on the spot", pins[:1], roundHoles(pins), HalfTurn},
		{"thirteen pins", thirteen, roundHoles(thirteen), HalfTurn},
		{"fewer holes than pins", pins, roundHoles(pins[:3]), HalfTurn},
		{"pin not a number", []geom.Vec{{}, vec(math.NaN(), 0)}, roundHoles(pins), HalfTurn},
		{"hole at infinity", pins[:2], roundHoles([]geom.Vec{{}, vec(math.Inf(-1), 0)}), HalfTurn},
		{"negative play", pins[:2], []HoleAt{{}, {At: vec(100, 0), Play: -1}}, HalfTurn},
		{"negative travel", pins[:2], []HoleAt{{}, {At: vec(100, 0), Travel: -1}}, HalfTurn},
	} {
		t.Run(c.name, func(t *testing.T) {
			if m, err := LeastMiss(c.pins, c.holes, c.turn); err == nil {
				t.Errorf("LeastMiss: %g", m)
			}
			if ok, err := Misses(c.pins, c.holes, c.turn, 2); err == nil {
				t.Errorf("Misses: %v", ok)
			}
		})
	}
}

// drawPins draws n points on a coarse lattice, so that equal distances, points on
// one line and coincident points are common: the cases in which the search ties.
func drawPins(t *rapid.T, n int, name string) []geom.Vec {
	out := make([]geom.Vec, n)
	for i := range out {
		out[i] = vec(10*float64(rapid.IntRange(0, 24).Draw(t, name+" u")),
			10*float64(rapid.IntRange(0, 6).Draw(t, name+" v")))
	}
	return out
}

func drawHoles(t *rapid.T, n int) []HoleAt {
	out := roundHoles(drawPins(t, n, "hole"))
	for i := range out {
		if rapid.IntRange(0, 3).Draw(t, "slot") == 0 {
			out[i].Travel = float64(rapid.IntRange(1, 8).Draw(t, "travel"))
			out[i].Angle = math.Pi / 4 * float64(rapid.IntRange(0, 3).Draw(t, "angle"))
		}
		out[i].Play = 0.5 * float64(rapid.IntRange(0, 3).Draw(t, "play"))
	}
	return out
}

func mustMiss(t *rapid.T, pins []geom.Vec, holes []HoleAt, turn Misplacement) float64 {
	m, err := LeastMiss(pins, holes, turn)
	if err != nil {
		t.Fatal(err)
	}
	if math.IsNaN(m) || m < 0 {
		t.Fatalf("miss %g", m)
	}
	return m
}

// missSlack is what two searches for the same miss may differ by: each may lie
// MissTolerance above the truth, and moved coordinates carry rounding besides.
const missSlack = 1.1 * MissTolerance

func TestMissProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "pins")
		pins := drawPins(t, n, "pin")
		holes := drawHoles(t, n+rapid.IntRange(0, 1).Draw(t, "spare holes"))
		turn := Misplacement(rapid.IntRange(0, 2).Draw(t, "turn"))
		m := mustMiss(t, pins, holes, turn)

		// Shifting pins and holes apart changes nothing: every shift is allowed.
		shifted := make([]geom.Vec, n)
		for i, p := range pins {
			shifted[n-1-i] = p.Add(vec(31.7, -12.9)) // and in another order
		}
		if d := mustMiss(t, shifted, holes, turn); math.Abs(d-m) > missSlack {
			t.Fatalf("miss %g, with the pins shifted %g", m, d)
		}

		// Twice the size, twice the miss.
		big, bigHoles := make([]geom.Vec, n), make([]HoleAt, len(holes))
		for i, p := range pins {
			big[i] = p.Scale(2)
		}
		for i, h := range holes {
			bigHoles[i] = HoleAt{h.At.Scale(2), 2 * h.Travel, h.Angle, 2 * h.Play}
		}
		if d := mustMiss(t, big, bigHoles, turn); math.Abs(d-2*m) > 3*MissTolerance {
			t.Fatalf("miss %g, at twice the size %g", m, d)
		}

		// More room never makes a larger miss.
		longer := append([]HoleAt{}, holes...)
		longer[0].Travel += 3
		if d := mustMiss(t, pins, longer, turn); d > m+missSlack {
			t.Fatalf("miss %g, with a longer slot %g", m, d)
		}

		// Misses agrees with LeastMiss away from the limit.
		for _, c := range []struct {
			need float64
			want bool
		}{{m - 2*MissTolerance, true}, {m + 2*MissTolerance, false}} {
			got, err := Misses(pins, holes, turn, c.need)
			if err != nil || got != c.want {
				t.Fatalf("miss %g: Misses(%g) = %v, %v", m, c.need, got, err)
			}
		}
	})
}

// A pattern that the turn maps onto itself fits, wherever it lies.
func TestSymmetricPatternFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := drawPins(t, rapid.IntRange(1, 6).Draw(t, "half"), "pin")
		turn := Misplacement(rapid.IntRange(0, 2).Draw(t, "turn"))
		move := geom.Rigid{Angle: rapid.Float64Range(-0.7, 0.7).Draw(t, "angle"), Shift: vec(40, 9)}
		pins := half
		pins = append(pins, place(half, turn, 0)...)
		for i, p := range pins {
			pins[i] = move.Apply(p)
		}
		if m := mustMiss(t, pins, roundHoles(pins), turn); m > MissTolerance {
			t.Fatalf("%v: miss %g", turn, m)
		}
	})
}

func BenchmarkMiss(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	nearly := gridPins(6, 2, 100, 80)
	nearly[0].X += 5
	var ring, scatter []geom.Vec
	for i := range 12 {
		ring = append(ring, geom.Polar(200, 2*math.Pi*float64(i)/12))
		scatter = append(scatter, vec(600*r.Float64(), 110*r.Float64()))
	}
	for name, pins := range map[string][]geom.Vec{
		"six anywhere": scatter[:6], "twelve in two rows, one moved": nearly, "ring": ring, "twelve anywhere": scatter,
	} {
		b.Run(name+"/least", func(b *testing.B) {
			for b.Loop() {
				if _, err := LeastMiss(pins, roundHoles(pins), HalfTurn); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(name+"/misses 2 mm", func(b *testing.B) {
			for b.Loop() {
				if _, err := Misses(pins, roundHoles(pins), HalfTurn, 2); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
