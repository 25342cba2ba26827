package seat

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// anyOutline draws a contour round the origin of lines and arcs, hollow ones too.
func anyOutline(t *rapid.T) geom.Loop {
	n := rapid.IntRange(2, 9).Draw(t, "edges")
	var l geom.Loop
	for i := range n {
		r := rapid.Float64Range(20, 150).Draw(t, "radius")
		bulge := 0.0
		if n == 2 || rapid.Bool().Draw(t, "arc") {
			// In thousandths: flatter arcs have centres that are too far off for the oracle's differences.
			bulge = float64(rapid.IntRange(-100, 400).Draw(t, "bulge")) / 1000
		}
		l = append(l, geom.Vertex{Vec: geom.Polar(r, 2*math.Pi*(float64(i)+0.3*rapid.Float64Range(0, 1).Draw(t, "turn"))/float64(n)), Bulge: bulge})
	}
	return l
}

// TestContourAny: of whatever outline, no pose that is drawn lies beyond a wall by more than the
// tolerance, the seat reaches as far as any of them, the place of rest lies within the walls,
// and the stops carry the push. Or it is told that nothing holds the board.
func TestContourAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyOutline(t)
		if !(l.Area() > 0) {
			t.Skip("run the other way round")
		}
		gap := rapid.Float64Range(0.01, 0.5).Draw(t, "gap")
		c := Contour{Outline: l, Gaps: []float64{gap}}
		s, err := c.Seat()
		if errors.As(err, new(Unheld)) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		q := newTrueNest(c, 3)
		linear := newLPContour(c, 0.05)
		beyond := func(x Pose) (most float64) {
			m := x.Motion(linear.middle)
			for i := range linear.h {
				e := linear.g[3*i]*m.X + linear.g[3*i+1]*m.Y + linear.g[3*i+2]*x.Theta*linear.l - linear.h[i]
				most = math.Max(most, e)
			}
			return most
		}
		// A slender board slides far in its window's tips, and the oracle's walls turn by its noise.
		noise := func(x Pose) float64 {
			return lpNoise * (math.Hypot(x.DU, x.DV) + math.Abs(x.Theta)*linear.l)
		}
		at, dir := q.places[0], geom.Polar(1, rapid.Float64Range(0, 6).Draw(t, "way"))
		reach := s.Reach(at, dir)
		draw := rapid.Float64Range(0, 0.999)
		for range 20 {
			x := s.Place([3]float64{draw.Draw(t, "a"), draw.Draw(t, "b"), draw.Draw(t, "c")})
			if e := beyond(x); e > ContourTolerance*gap+1e-7+noise(x) {
				t.Fatalf("a pose lies %.3g beyond a wall", e)
			}
			if d := x.Motion(at).Dot(dir); d > reach+1e-9 || math.Abs(x.Theta) > s.Turn()*(1+1e-9) {
				t.Fatalf("a pose moves by %.6g, the reach is %.6g", d, reach)
			}
		}
		push, h, err := c.Toward(1)
		if err != nil {
			t.Fatal(err)
		}
		if e := beyond(h.Rest); e > 1e-6+noise(h.Rest) && h.Stops != nil {
			t.Errorf("the place of rest lies %.3g beyond a wall", e)
		}
		var sum geom.Vec
		for _, k := range h.Stops {
			bears := k.PerMM.Motion(q.middle).Dot(push)
			if bears < -0.02 || l.Distance(k.At) > oneWallShare*q.l {
				t.Errorf("a stop bears %.3f: %+v", bears, k)
			}
			sum = sum.Add(k.Normal.Scale(bears))
		}
		if h.Stops != nil && sum.Dist(push) > 0.02 {
			t.Errorf("the stops bear %v of the push %v", sum, push)
		}
	})
}
