package seat

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
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
		if !convex(nest.Window) {
			t.Skip("a short wall that its neighbours' unlike gaps outrun")
		}
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

// deep: RAPID_CHECKS over 100 asks for the tests that take longer.
func deep() bool {
	n, _ := strconv.Atoi(os.Getenv("RAPID_CHECKS"))
	return n > 100
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
// other, of which normal and gap are taken by differences of the outline itself: the chord from
// just before to just after a place of an arc is parallel to the tangent there, however long.
type lpContour struct {
	g, h   []float64
	middle geom.Vec
	l      float64
}

// lpStep is how far apart, as a share of an edge, an lpContour's differences are taken, and
// lpNoise how well they tell a direction, radians: the rounding of an arc's centre 20 m off, 4e-12 mm,
// over a step of 0.04 mm.
const (
	lpStep  = 1e-3
	lpNoise = 1e-10
)

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
			x, d := float64(k)/float64(n), lpStep
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
	v, _ := q.solve(t, c)
	return v
}

func (q *lpContour) solve(t *testing.T, c [3]float64) (most float64, at [3]float64) {
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
		at = [3]float64{x[0] - x[3], x[1] - x[4], x[2] - x[5]}
		worst, most := 0, math.Inf(-1)
		for i := range q.h {
			if e := q.g[3*i]*at[0] + q.g[3*i+1]*at[1] + q.g[3*i+2]*at[2] - q.h[i]; e > most {
				worst, most = i, e
			}
		}
		if most < 1e-7 {
			return -v, at
		}
		add(worst)
	}
	t.Fatal("the simplex does not end")
	return 0, at
}

// TestContourAgainstSimplex: theta, along and across of curved outlines are those of a linear
// programme over sampled places, to ContourTolerance and what the sampling leaves.
func TestContourAgainstSimplex(t *testing.T) {
	const sampled = 1e-4 // of normals 0.02 rad apart: step^2/8, relative
	for name, l := range curved() {
		t.Run(name, func(t *testing.T) {
			c := Contour{Outline: l, Gaps: []float64{0.1}}
			p := newLPContour(c, 0.02)
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

// TestContourSteady: what differs by rounding alone, as between machines, has the same float and
// place of rest to far below a written digit: no cut and no stop hangs on the last digit.
func TestContourSteady(t *testing.T) {
	const written = 1e-7 // mm
	r := rand.New(rand.NewPCG(9, 9))
	for name, l := range curved() {
		for _, push := range []geom.Vec{{}, vec(-1, 1)} {
			c, at := Contour{Outline: l, Gaps: []float64{0.1}, Push: push}, vec(70, 12)
			want := floatOf(t, []geom.Vec{at}, c)
			home, err := c.Home()
			if err != nil {
				t.Fatal(err)
			}
			for range 4 {
				near := c
				near.Outline = nil
				for _, v := range l {
					off := func() float64 { return 1 + 4e-16*(r.Float64()-0.5) }
					near.Outline = append(near.Outline, geom.Vertex{Vec: vec(v.X*off(), v.Y*off()), Bulge: v.Bulge * off()})
				}
				got := floatOf(t, []geom.Vec{at}, near)
				if math.Abs(got.ThetaMax-want.ThetaMax)*100+math.Abs(got.At[0].Worst-want.At[0].Worst) > written {
					t.Errorf("%s, push %v: %+v, with other last digits %+v", name, push, want, got)
				}
				other, err := near.Home()
				if err != nil || len(other.Stops) != len(home.Stops) || other.Rest.Motion(at).Dist(home.Rest.Motion(at)) > written ||
					math.Abs(other.Direction-home.Direction) > 1e-6 {
					t.Errorf("%s, push %v: %+v, with other last digits %+v, %v", name, push, home, other, err)
				}
			}
		}
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

// TestContourPushed: the push brings the board as far as the simplex says, and holds it there but
// for what friction leaves on two stops.
func TestContourPushed(t *testing.T) {
	const closeMM = 5e-5 // of what is left between sampled places
	for name, l := range curved() {
		t.Run(name, func(t *testing.T) {
			c := Contour{Outline: l, Gaps: []float64{0.1}, Push: vec(-1, 1)}
			p := newLPContour(c, 0.02)
			home, err := c.Home()
			if err != nil {
				t.Fatal(err)
			}
			got, want := home.Rest.Motion(p.middle).Dot(c.Push), p.most(t, [3]float64{-1, 1, 0})
			if math.Abs(got-want) > closeMM {
				t.Errorf("the middle follows the push by %.6f, simplex %.6f", got, want)
			}
			// The push on the quarter disc goes through its corner, about which it still turns.
			at := vec(70, 12)
			f, slack := floatOf(t, []geom.Vec{at}, c).At[0].Worst, home.FrictionMove.Motion(at).Norm()
			if math.Abs(f-slack) > 1e-7 && name != "quarter disc" || slack == 0 && len(home.Stops) == 2 || slack > 0.11 {
				t.Errorf("pushed home it still moves by %.3g, friction leaves %.3g", f, slack)
			}
		})
	}
}

// trueNest is a board moved as a rigid body in its window, by distances alone: no normals, no
// small angles.
type trueNest struct {
	c      Contour
	middle geom.Vec
	l, gap float64
	places []geom.Vec
	walls  []int // of the place: an edge whose wall goes on beyond its end, or -1: the nearest
}

func newTrueNest(c Contour, stepMM float64) *trueNest {
	box := c.Outline.Bounds()
	n := &trueNest{c: c, middle: box.Center(), l: math.Max(box.Size().X, box.Size().Y), gap: c.Gaps[0]}
	for i := range c.Outline {
		e := c.Outline.Edge(i)
		n.places = append(n.places, e.P, e.Q)
		n.walls = append(n.walls, i, i)
		m := int(e.Length() / stepMM)
		if e.IsArc() {
			m = max(m, int(math.Abs(e.Arc().Sweep)/0.1))
		}
		for k := 1; k < m; k++ {
			p := e.P.Lerp(e.Q, float64(k)/float64(m))
			if e.IsArc() {
				p = e.Arc().At(float64(k) / float64(m))
			}
			n.places, n.walls = append(n.places, p), append(n.walls, -1)
		}
	}
	return n
}

// beyond is how far a place of the moved board lies beyond the window; x is (du, dv, theta l).
func (n *trueNest) beyond(i int, x [3]float64) float64 {
	q := geom.Rigid{Angle: x[2] / n.l, Shift: n.middle.Add(vec(x[0], x[1]))}.Apply(n.places[i].Sub(n.middle))
	if w := n.walls[i]; w >= 0 {
		e := n.c.Outline.Edge(w)
		if !e.IsArc() {
			return e.Q.Sub(e.P).Unit().Cross(q.Sub(e.P))*-1 - n.gap
		}
		return math.Copysign(1, e.Bulge)*(q.Dist(e.Arc().C)-e.Arc().R) - n.gap
	}
	return -n.c.Outline.Depth(q) - n.gap
}

// most is the largest c.x of all moves that leave no place beyond the window: linear programmes
// one after another, each about the last one's answer, by differences of the true distances.
func (n *trueNest) most(t *testing.T, c [3]float64) float64 {
	const rounds, step = 5, 1e-5 // mm
	var x [3]float64
	for range rounds {
		q := &lpContour{}
		for i := range n.places {
			now := n.beyond(i, x)
			room := -now
			for k := range x {
				up, down := x, x
				up[k] += step
				down[k] -= step
				g := (n.beyond(i, up) - n.beyond(i, down)) / (2 * step)
				q.g = append(q.g, g)
				room += g * x[k]
			}
			q.h = append(q.h, room)
		}
		_, x = q.solve(t, c)
	}
	for i := range n.places {
		if out := n.beyond(i, x); out > 3e-3*n.gap {
			t.Errorf("the move found leaves the window by %.3g at %v", out, n.places[i])
		}
	}
	return c[0]*x[0] + c[1]*x[1] + c[2]*x[2]
}

// TestContourTrue: what first-order contact leaves out is below a hundredth at usual clearances.
func TestContourTrue(t *testing.T) {
	for name, l := range curved() {
		if name != "oval" && name != "notched" && !deep() {
			continue
		}
		for _, gap := range []float64{0.05, 0.2} {
			t.Run(fmt.Sprint(name, gap), func(t *testing.T) {
				c := Contour{Outline: l, Gaps: []float64{gap}}
				n, at := newTrueNest(c, 2), vec(70, 12)
				f := floatOf(t, []geom.Vec{at}, c)
				both := func(c [3]float64) float64 { return math.Max(n.most(t, c), n.most(t, [3]float64{-c[0], -c[1], -c[2]})) }
				r := at.Sub(n.middle)
				for _, q := range []struct {
					name      string
					got, want float64
				}{
					{"theta x length", f.ThetaMax * n.l, both([3]float64{0, 0, 1})},
					{"along", f.At[0].Along, both([3]float64{1, 0, -r.Y / n.l})},
					{"across", f.At[0].Across, both([3]float64{0, 1, r.X / n.l})},
				} {
					if math.Abs(q.got/q.want-1) > 0.01 {
						t.Errorf("%s = %.6g, by rigid moves %.6g", q.name, q.got, q.want)
					}
					t.Logf("%s %.5f, true %.5f (%+.3f %%)", q.name, q.got, q.want, 100*(q.got/q.want-1))
				}
			})
		}
	}
}
