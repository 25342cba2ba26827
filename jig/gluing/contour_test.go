package gluing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// A straight-sided board given as an outline with rails all round lies as it does without: the
// rails' clearance counts the same to 2 %, and its edges farthest out are those at its wide end.
func TestContourOfStraightBoard(t *testing.T) {
	p := bouzouki()
	p.Hold, p.Features[0].At.Y = Free, 5
	straight, _, err := p.Budget()
	if err != nil {
		t.Fatal(err)
	}
	p.Contour = &seat.Contour{Outline: geom.Taper(p.LengthMM, p.WidthStartMM, p.WidthEndMM),
		Gaps: []float64{0.15, 0.15, 0.15, 0.15}}
	outline, edges, err := p.Budget()
	if err != nil {
		t.Fatal(err)
	}
	a, b := straight.Features[0].Contributions[0], outline.Features[0].Contributions[0]
	if a.Source != b.Source || !near(b.SDMM, a.SDMM, 0.02) || !near(b.WorstMM, a.WorstMM, 0.02) {
		t.Errorf("%+v, as an outline %+v", a, b)
	}
	if len(edges) != 2 || edges[0].StationMM != 478 || edges[1].StationMM != 478 {
		t.Errorf("%+v", edges)
	}
}

// On lands alone a board that skates across stops at a land of that side and goes into none; what
// no land stops across stays where it was.
func TestSkatesToLand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(100, 600).Draw(t, "length")
		share := func(name string) float64 { return rapid.Float64Range(0.15, 0.4).Draw(t, name) }
		// A hollow right side; the left one straight, with two lands on either.
		l := geom.Loop{{Vec: geom.Vec{Y: -20}, Bulge: -0.05}, {Vec: geom.Vec{X: length, Y: -20}},
			{Vec: geom.Vec{X: length, Y: 25}}, {Vec: geom.Vec{Y: 20}}}
		var c seat.Contour
		for i := range l {
			e, at := l.Edge(i), 0.0
			cut := func(to, gap float64) {
				bulge := math.Tan(math.Atan(e.Bulge) * (to - at))
				c.Outline, c.Gaps = append(c.Outline, geom.Vertex{Vec: e.At(at), Bulge: bulge}), append(c.Gaps, gap)
				at = to
			}
			if i%2 == 1 { // an end
				cut(1, 0.1)
				continue
			}
			from := share("from")
			cut(from, math.Inf(1))
			cut(from+0.05, 0.1)
			cut(1-share("to"), math.Inf(1))
			cut(at+0.05, 0.1)
			cut(1, math.Inf(1))
		}
		p := PlacedBoard{LengthMM: length, Contour: &c}
		s, err := p.between()
		if err != nil {
			t.Fatal(err)
		}
		draw := [3]float64{rapid.Float64Range(0, 0.999).Draw(t, "a"), rapid.Float64Range(0, 0.999).Draw(t, "b"),
			rapid.Float64Range(0, 0.999).Draw(t, "c")}
		q := skated{s, p.touches(true), p.touches(false)}.Place(draw)
		side := p.touches(draw[0] < 0.5)
		least := math.Inf(1)
		for _, k := range side {
			least = min(least, k.room-k.normal.Dot(q.Motion(k.at)))
		}
		if math.Abs(least) > 1e-3*0.1 { // seat.ContourTolerance
			t.Fatalf("%g is left to the lands", least)
		}
	})
}
