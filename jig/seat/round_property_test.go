package seat

import (
	"math"
	"testing"

	"pgregory.net/rapid"
	"reseat/jig/geom"
)

func drawRound(t *rapid.T) (s RoundSet) {
	n := rapid.IntRange(2, 6).Draw(t, "pins")
	x, c := rapid.Float64Range(-300, 300), rapid.Float64Range(0, 0.5)
	for i := range n {
		// Steps of 700 keep the pins apart; the last one may be back among them.
		s.Holes = append(s.Holes, vec(700*float64(i)+x.Draw(t, "u"), x.Draw(t, "v")))
		s.Clearances = append(s.Clearances, c.Draw(t, "clearance"))
	}
	return s
}

func mapRound(s RoundSet, at func(geom.Vec) geom.Vec, c func(float64) float64) (o RoundSet) {
	for i := range s.Holes {
		o.Holes, o.Clearances = append(o.Holes, at(s.Holes[i])), append(o.Clearances, c(s.Clearances[i]))
	}
	return o
}

func floatRound(t *rapid.T, s RoundSet, at []geom.Vec) Float {
	f, err := s.Float(at)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range append(f.At, Motion{f.ThetaMax, 0, 0}) {
		for _, x := range []float64{m.Along, m.Across, m.Worst} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
				t.Fatalf("float %+v", f)
			}
		}
	}
	return f
}

// roundPropertyTol is what two computations of one worst move may differ by,
// relative.
const roundPropertyTol = 2 * RoundWorstTolerance

func TestRoundProperties(t *testing.T) {
	leave := func(c float64) float64 { return c }
	stay := func(p geom.Vec) geom.Vec { return p }
	atMost := func(a, b float64) bool { return a <= b*(1+roundPropertyTol)+floor }
	alike := func(a, b float64) bool { return atMost(a, b) && atMost(b, a) }
	rapid.Check(t, func(t *rapid.T) {
		s, at := drawRound(t), drawFeatures(t)
		f := floatRound(t, s, at)
		for i, m := range f.At {
			if !atMost(math.Max(m.Along, m.Across), m.Worst) || !atMost(m.Worst, math.Hypot(m.Along, m.Across)) {
				t.Fatalf("feature %d: worst does not lie between the parts and their sum: %+v", i, m)
			}
		}

		more := rapid.Float64Range(0, 0.2)
		compare(t, "a larger clearance made a smaller float", atMost, f,
			floatRound(t, mapRound(s, stay, func(c float64) float64 { return c + more.Draw(t, "looser") }), at))

		if n := len(s.Holes); n > 2 {
			fewer := RoundSet{s.Holes[:n-1], s.Clearances[:n-1]}
			compare(t, "a further pin made a larger float", atMost, f, floatRound(t, fewer, at))
		}

		k := rapid.Float64Range(1, 3).Draw(t, "longer")
		spread := func(p geom.Vec) geom.Vec { return s.Holes[0].Lerp(p, k) }
		g := floatRound(t, mapRound(s, spread, leave), at)
		if math.Abs(g.ThetaMax*k-f.ThetaMax) > 1e-12*f.ThetaMax {
			t.Fatalf("a pattern %g times as long turns by %g instead of %g", k, g.ThetaMax, f.ThetaMax)
		}

		scale := func(p geom.Vec) geom.Vec { return p.Scale(k) }
		g = floatRound(t, mapRound(s, scale, func(c float64) float64 { return k * c }), []geom.Vec{scale(at[0]), scale(at[1])})
		for i := range g.At {
			m := &g.At[i]
			m.Along, m.Across, m.Worst = m.Along/k, m.Across/k, m.Worst/k
		}
		compare(t, "all lengths scaled", alike, f, g)

		q := geom.Rigid{Angle: math.Pi / 2}
		g = floatRound(t, mapRound(s, q.Apply, leave), movedPoints(at, q))
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = g.At[i].Across, g.At[i].Along
		}
		compare(t, "a quarter turn of the frame", alike, f, g)

		q = geom.Rigid{Angle: rapid.Float64Range(-3, 3).Draw(t, "angle"), Shift: vec(200, -70)}
		g = floatRound(t, mapRound(s, q.Apply, leave), movedPoints(at, q))
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = f.At[i].Along, f.At[i].Across
		}
		compare(t, "a move of the frame", alike, f, g)
	})
}

// In a template on round pins the moves of both seats add.
func TestFloatOnRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n, at := drawRound(t), drawNest(t), drawFeatures(t)
		both, err := FloatOn(s, &n, at)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := FloatOn(s, nil, at)
		if err != nil {
			t.Fatal(err)
		}
		window, err := FloatOn(n, nil, at)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range both.At {
			a, b := alone.At[i], window.At[i]
			if !alikeTo(m.Along, a.Along+b.Along) || !alikeTo(m.Across, a.Across+b.Across) {
				t.Fatalf("feature %d: %+v is not the sum of %+v and %+v", i, m, a, b)
			}
			if m.Worst > (a.Worst+b.Worst)*(1+roundPropertyTol) || m.Worst < math.Max(a.Worst, b.Worst)*(1-roundPropertyTol) {
				t.Fatalf("feature %d: worst %g of %g and %g", i, m.Worst, a.Worst, b.Worst)
			}
		}
		if !alikeTo(both.ThetaMax, alone.ThetaMax+window.ThetaMax) {
			t.Fatalf("theta %g is not the sum of %g and %g", both.ThetaMax, alone.ThetaMax, window.ThetaMax)
		}
	})
}
