package seat

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestContourIsNest: a straight-sided board in a window that stands off each edge by its own
// gap has the same float as a Nest, free and pushed.
func TestContourIsNest(t *testing.T) {
	const relative = 1e-9
	r := rand.New(rand.NewPCG(3, 13))
	rapid.Check(t, func(t *rapid.T) {
		w, c := rapid.Float64Range(20, 120), rapid.Float64Range(0.01, 0.3)
		board := geom.Taper(rapid.Float64Range(60, 900).Draw(t, "length"), w.Draw(t, "start"), w.Draw(t, "far"))
		for range rapid.IntRange(0, 3).Draw(t, "cut corners") {
			board = geom.FromPoints(cutCorner(board.Corners(), rapid.IntRange(0, 3).Draw(t, "corner"), 0.2, 0.3))
		}
		var gaps []float64
		for range board {
			gaps = append(gaps, c.Draw(t, "gap"))
		}
		i := -1
		nest := Nest{Board: board.Corners(), Window: standOff(board.Corners(), func() float64 { i++; return gaps[i] })}
		contour := Contour{Outline: board, Gaps: gaps}
		if rapid.Bool().Draw(t, "pushed") {
			nest.Push = []Wall{nest.WallToward(vec(-1, 0)), nest.WallToward(vec(0, 1))}
			for _, k := range nest.Push {
				contour.Push = contour.Push.Add(outward(nest.wall(k)))
			}
		}
		at := []geom.Vec{vec(900*r.Float64(), 80*r.Float64()-40)}
		want, got := floatOf(t, at, nest), floatOf(t, at, contour)
		same := func(what string, a, b float64) {
			if math.Abs(a-b) > relative*(1+math.Abs(b)) {
				t.Errorf("%s %.12g, nest %.12g\n%+v", what, a, b, contour)
			}
		}
		same("theta", got.ThetaMax, want.ThetaMax)
		same("along", got.At[0].Along, want.At[0].Along)
		same("across", got.At[0].Across, want.At[0].Across)
		same("worst", got.At[0].Worst, want.At[0].Worst)
	})
}

// curved are outlines of our own: all parts convex and hollow arcs, lines, sharp and smooth joints.
func curved() map[string]geom.Loop {
	v := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Vec: vec(x, y), Bulge: bulge} }
	rect := geom.Taper(180, 28, 28)
	bridge := append(geom.Loop{}, rect...)
	bridge[0].Bulge, bridge[2].Bulge = -0.03, 0.05 // one long side hollow, the other round
	return map[string]geom.Loop{
		"bridge":       bridge,
		"rounded":      geom.RoundCorners(geom.Taper(480, 42, 56), 3),
		"body":         {v(0, -60, 0.3), v(150, -70, -0.2), v(240, -50, 0.35), v(380, 0, 0.4), v(240, 60, -0.25), v(150, 65, 0.4)},
		"notched":      {v(0, -30, 0), v(120, -30, 0.2), v(120, 30, 0), v(80, 30, -1), v(40, 30, 0), v(0, 30, -0.15)},
		"quarter disc": {v(0, 0, 0), v(90, 0, math.Tan(math.Pi/8)), v(0, 90, 0)},
		"oval":         {v(0, 0, 0.6), v(140, 0, 0.5)},
	}
}

// lpContour is the second method: gonum's simplex over places of the outline, close to each
// other, of which normal and gap are taken by finite differences of the outline itself.
type lpContour struct {
	g, h   []float64
	middle geom.Vec
	l      float64
}

func newLPContour(c Contour, stepRad float64) *lpContour {
	box := c.Outline.Bounds()
	q := &lpContour{middle: box.Center(), l: math.Max(box.Size().X, box.Size().Y)}
	for i := range c.Outline {
		e, n := c.Outline.Edge(i), 1
		at := func(x float64) geom.Vec { return e.P.Lerp(e.Q, x) }
		if e.IsArc() {
			a := e.Arc()
			at, n = a.At, 2+int(math.Abs(a.Sweep)/stepRad)
		}
		for k := range n + 1 {
			x, d := float64(k)/float64(n), 1e-6
			p := at(x)
			along := at(x + d).Sub(at(x - d)).Unit()
			normal := vec(along.Y, -along.X)
			q.g = append(q.g, normal.X, normal.Y, normal.Dot(p.Sub(q.middle).Left())/q.l)
			q.h = append(q.h, c.Gaps[i%len(c.Gaps)])
		}
	}
	return q
}

// most starts from every 20th place and adds the one that the answer violates most, until
// none is violated by more than a millionth of a gap: the programme over all places.
func (q *lpContour) most(t *testing.T, c [3]float64) float64 {
	t.Helper()
	var g, h []float64
	add := func(i int) { g, h = append(g, q.g[3*i:3*i+3]...), append(h, q.h[i]) }
	for i := range q.h {
		if i%20 == 0 || i < 8 {
			add(i)
		}
	}
	for range 100 {
		cNew, aNew, bNew := lp.Convert([]float64{-c[0], -c[1], -c[2]}, mat.NewDense(len(h), 3, g), h, nil, nil)
		v, x, err := lp.Simplex(cNew, aNew, bNew, 1e-10, nil)
		if err == lp.ErrUnbounded {
			for i := range q.h {
				if i%7 == len(h)%7 {
					add(i)
				}
			}
			continue
		}
		if err != nil {
			t.Fatal("simplex gave up:", err)
		}
		worst, most := 0, math.Inf(-1)
		for i := range q.h {
			if e := q.g[3*i]*(x[0]-x[3]) + q.g[3*i+1]*(x[1]-x[4]) + q.g[3*i+2]*(x[2]-x[5]) - q.h[i]; e > most {
				worst, most = i, e
			}
		}
		if most < 1e-7 {
			return -v
		}
		add(worst)
	}
	t.Fatal("the simplex does not end")
	return 0
}

// TestContourAgainstSimplex: theta, along and across of curved outlines are those of a linear
// programme over sampled places, to ContourTolerance and what the sampling leaves.
func TestContourAgainstSimplex(t *testing.T) {
	const sampled = 2e-5 // of normals a hundredth of a radian apart: step^2/8, relative
	for name, l := range curved() {
		t.Run(name, func(t *testing.T) {
			c := Contour{Outline: l, Gaps: []float64{0.1}}
			p := newLPContour(c, 0.01)
			at := vec(70, 12)
			f := floatOf(t, []geom.Vec{at}, c)
			both := func(c [3]float64) float64 { return math.Max(p.most(t, c), p.most(t, [3]float64{-c[0], -c[1], -c[2]})) }
			r := at.Sub(p.middle)
			for _, q := range []struct {
				name      string
				got, want float64
			}{
				{"theta x length", f.ThetaMax * p.l, both([3]float64{0, 0, 1})},
				{"along", f.At[0].Along, both([3]float64{1, 0, -r.Y / p.l})},
				{"across", f.At[0].Across, both([3]float64{0, 1, r.X / p.l})},
			} {
				if q.got < q.want*(1-sampled) || q.got > q.want*(1+ContourTolerance) {
					t.Errorf("%s = %.6g, simplex %.6g (%.4f %%)", q.name, q.got, q.want, 100*(q.got/q.want-1))
				}
			}
			t.Logf("%d vertices, theta %.3g", len(must(t, c).(*nestSeat).poses), f.ThetaMax)
		})
	}
}

// TestContourUnheld: what nothing holds is told, not given a pose.
func TestContourUnheld(t *testing.T) {
	disc := geom.Loop{{Vec: vec(30, 0), Bulge: 1}, {Vec: vec(90, 0), Bulge: 1}}
	flat := geom.Loop{{Vec: vec(32, -4)}, {Vec: vec(32, 4), Bulge: -40}}.Reverse()
	for _, c := range []struct {
		name  string
		c     Contour
		turns bool
		about geom.Vec
	}{
		{"disc", Contour{Outline: disc, Gaps: []float64{0.1}}, true, vec(60, 0)},
		{"disc with a flat shorter than its gap holds", Contour{Outline: flat, Gaps: []float64{0.5}}, true, vec(112, 0)},
		{
			"no wall at the ends",
			Contour{Outline: geom.Taper(100, 20, 20), Gaps: []float64{0.1, math.Inf(1), 0.1, math.Inf(1)}}, false, geom.Vec{},
		},
		{"no wall at all", Contour{Outline: geom.Taper(100, 20, 20), Gaps: []float64{math.Inf(1)}}, false, geom.Vec{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.c.Seat()
			var u Unheld
			if !errors.As(err, &u) || u.Turns != c.turns {
				t.Fatalf("%v; want turns %v", err, c.turns)
			}
			if c.turns && u.About.Dist(c.about) > 5 {
				t.Errorf("turns about %v, want %v", u.About, c.about)
			}
			t.Log(err)
		})
	}
}

// TestContourPushed: the push brings the board as far as the simplex says, and the window moved
// back by the rest holds it there without float.
func TestContourPushed(t *testing.T) {
	const closeMM = 2e-5 // of what is left between sampled places
	for name, l := range curved() {
		t.Run(name, func(t *testing.T) {
			c := Contour{Outline: l, Gaps: []float64{0.1}, Push: vec(-1, 1)}
			p := newLPContour(c, 0.01)
			rest, err := c.Rest()
			if err != nil {
				t.Fatal(err)
			}
			got, want := rest.Motion(p.middle).Dot(c.Push), p.most(t, [3]float64{-1, 1, 0})
			if math.Abs(got-want) > closeMM {
				t.Errorf("the middle follows the push by %.6f, simplex %.6f", got, want)
			}
			// The push on the quarter disc goes through its corner, about which it still turns.
			if f := floatOf(t, []geom.Vec{vec(70, 12)}, c); f.At[0].Worst > 1e-4 != (name == "quarter disc") {
				t.Errorf("pushed home it still moves by %.3g", f.At[0].Worst)
			}
		})
	}
}
