package seat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// closed is the second method for force closure: gonum's simplex looks for forces along the
// directions, each zero or more, whose sum and moment are those of a load.
func closed(t *testing.T, at, dirs []geom.Vec, load, on geom.Vec) bool {
	t.Helper()
	n := len(at)
	g, cost := mat.NewDense(3, n+6, nil), make([]float64, n+6)
	for i, p := range at {
		g.Set(0, i, dirs[i].X)
		g.Set(1, i, dirs[i].Y)
		g.Set(2, i, p.Sub(on).Cross(dirs[i])/100)
	}
	for k := range 6 { // what is missing of the load, either way
		g.Set(k%3, n+k, float64(1-k/3*2))
		cost[n+k] = 1
	}
	missing, _, err := lp.Simplex(cost, g, []float64{load.X, load.Y, 0}, 1e-10, nil)
	if err != nil {
		t.Fatal(err)
	}
	return missing < 1e-7
}

// TestStopsClosed: the push of straight-sided boards is closed by what touches as far as Home
// says and no farther, without friction and by pairs with it.
func TestStopsClosed(t *testing.T) {
	hexagon := geom.FromPoints([]geom.Vec{vec(0, -15), vec(60, -45), vec(140, -35), vec(170, 10), vec(90, 50), vec(10, 30)})
	for _, b := range []struct {
		name  string
		board geom.Loop
		push  geom.Vec
	}{
		{"taper to the left", geom.Taper(480, 42, 56), vec(-1, 1)},
		{"taper to the right", geom.Taper(480, 42, 56), vec(-1, -1)},
		{"square", geom.Taper(60, 60, 60), vec(-1, 1)},
		{"hexagon to the left", hexagon, vec(-1, 1)},
		{"hexagon to the right", hexagon, vec(-1, -1)},
	} {
		t.Run(b.name, func(t *testing.T) {
			const gap, step = 0.1, 1e-3 // rad
			h, err := Contour{Outline: b.board, Gaps: []float64{gap}, Push: b.push}.Home()
			if err != nil || len(h.Stops) != 3 {
				t.Fatal(h, err)
			}
			middle := b.board.Bounds().Center()
			var at, normals []geom.Vec
			for i := range b.board {
				e := b.board.Edge(i)
				n := vec(e.Q.Y-e.P.Y, e.P.X-e.Q.X).Unit()
				for _, p := range []geom.Vec{e.P, e.Q} {
					if h.Rest.Motion(p).Dot(n) > gap-1e-7 {
						at, normals = append(at, p), append(normals, n)
					}
				}
			}
			turned := func(phi float64) geom.Vec { return geom.Rigid{Angle: phi}.Apply(b.push) }
			is := func(phi float64) bool {
				return closed(t, at, normals, turned(phi), middle) && closed(t, at, normals, turned(-phi), middle)
			}
			if !is(h.Direction-step) || is(h.Direction+step) {
				t.Errorf("stable to %.4f rad, the simplex says otherwise", h.Direction)
			}
			sticks := func(phi float64) bool {
				for i := range at {
					for j := range i {
						var places, dirs []geom.Vec
						for _, k := range []int{i, j} {
							for _, side := range []float64{-Friction, Friction} {
								places = append(places, at[k])
								dirs = append(dirs, normals[k].Add(vec(-normals[k].Y, normals[k].X).Scale(side)))
							}
						}
						if closed(t, places, dirs, turned(phi), middle) || closed(t, places, dirs, turned(-phi), middle) {
							return true
						}
					}
				}
				return false
			}
			if f := h.FrictionDirection; f > 0 && sticks(f-step) || f < h.Direction-step && !sticks(f+step) {
				t.Errorf("friction leaves %.4f rad, the simplex says otherwise", f)
			}
			// Aside: the load's moment.
			aside := b.push.Unit().Left().Scale(h.AsideMM)
			off := func(share float64) bool {
				d := aside.Scale(share)
				return closed(t, at, normals, b.push, middle.Add(d)) && closed(t, at, normals, b.push, middle.Sub(d))
			}
			if !off(0.999) || off(1.001) {
				t.Errorf("stable to %.2f mm aside, the simplex says otherwise", h.AsideMM)
			}
			t.Logf("direction %.3f, with friction %.3f, aside %.1f", h.Direction, h.FrictionDirection, h.AsideMM)
		})
	}
}

// TestStopsTextbook: three-two-one, two stops on the long side and one at the end, and what an
// error at each does.
func TestStopsTextbook(t *testing.T) {
	c := Contour{Outline: geom.Taper(300, 40, 40), Gaps: []float64{0.1}, Push: vec(-1, 1)}
	h, err := c.Home()
	if err != nil {
		t.Fatal(err)
	}
	middle := vec(150, 0)
	for _, s := range h.Stops {
		got := s.PerMM.Motion(middle)
		switch {
		case s.Normal.Dist(vec(0, 1)) < 1e-9: // half of it, and the turn about the other
			if math.Abs(got.Y-0.5) > 1e-9 || math.Abs(math.Abs(s.PerMM.Theta)-1.0/300) > 1e-9 {
				t.Errorf("a side stop moves the middle by %v, turns by %g", got, s.PerMM.Theta)
			}
		case s.Normal.Dist(vec(-1, 0)) < 1e-9:
			if got.Dist(vec(-1, 0)) > 1e-9 || s.PerMM.Theta != 0 {
				t.Errorf("the end stop moves the middle by %v, turns by %g", got, s.PerMM.Theta)
			}
		default:
			t.Errorf("a stop with normal %v", s.Normal)
		}
	}
	if math.Abs(h.Direction-math.Pi/4) > 1e-6 || math.Abs(h.AsideMM-170/math.Sqrt2) > 1e-3 {
		t.Errorf("direction %.5f, want pi/4; aside %.3f, want (150 + 20)/sqrt 2", h.Direction, h.AsideMM)
	}
	best, ok, err := c.Choose([]geom.Vec{middle}, 0.1)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	side := 0
	for _, s := range best.Stops {
		if s.Normal.Y > 0.99 {
			side++
		}
	}
	// The middle between two stops on the side moves by half of either's error each, and
	// along by the end stop's whole one.
	if want := math.Sqrt(1 + 0.5); side != 2 || math.Abs(best.PerMM-want) > 0.02 {
		t.Errorf("%d stops on the side, %.4f per mm; want 2 and %.4f\n%v", side, best.PerMM, want, best.Stops)
	}
}

// TestStopsRound: where two places of round walls carry the push, an error there moves the
// board as much as it moves the place of rest with that edge's gap made larger.
func TestStopsRound(t *testing.T) {
	const gap, step = 0.1, 1e-3
	for name, l := range curved() {
		t.Run(name, func(t *testing.T) {
			c := Contour{Outline: l, Gaps: []float64{gap}, Push: vec(-1, 1)}
			h, err := c.Home()
			if err != nil {
				t.Fatal(err)
			}
			if name == "quarter disc" { // the push goes through its corner
				if h.Stops != nil || h.Direction != 0 {
					t.Errorf("stops %v, stable to %g", h.Stops, h.Direction)
				}
				if best, ok, err := c.Choose(nil, 0.2); !ok || err != nil || best.Direction < 0.2 {
					t.Errorf("no stops to choose: %v %v", best, err)
				}
				return
			}
			if len(h.Stops) < 2 || h.Direction <= 0 {
				t.Fatalf("%+v", h)
			}
			for _, s := range h.Stops {
				var rest [2]Home
				for k, e := range []float64{-step, step} {
					gaps := make([]float64, len(l))
					for i := range l {
						gaps[i] = gap
						if l.Edge(i).Distance(s.At) < 1e-6 && math.Abs(normalAt(l.Edge(i), s.At).Dot(s.Normal)-1) < 1e-6 {
							gaps[i] += e
						}
					}
					moved := c
					moved.Gaps = gaps
					if rest[k], err = moved.Home(); err != nil {
						t.Fatal(err)
					}
				}
				for _, at := range []geom.Vec{vec(20, 5), vec(120, -10)} {
					got := s.PerMM.Motion(at)
					want := rest[1].Rest.Motion(at).Sub(rest[0].Rest.Motion(at)).Scale(1 / (2 * step))
					if got.Dist(want) > 0.03*(1+want.Norm()) {
						t.Errorf("stop at %v: %v per mm at %v, the rest moves by %v", s.At, got, at, want)
					}
				}
			}
		})
	}
}

// TestStopsSlack: off the place of rest by a little less than the slack, along both walls, the push
// is closed by forces within the friction's angle, a little farther off it is not. A tenth of
// the friction: of larger moves the slack is the first order.
func TestStopsSlack(t *testing.T) {
	for name, l := range curved() {
		c := Contour{Outline: l, Gaps: []float64{0.1}, Push: vec(-1, 1)}
		f, p, err := c.poses()
		if err != nil {
			t.Fatal(err)
		}
		_, x := f.home(&p, c.Push)
		stops, slack := f.carry(f.touching(x), c.Push)
		if len(stops) != 2 || name == "body" || name == "rounded" { // at a joint the way to either side differs
			continue
		}
		for _, share := range []float64{-1.15, -0.85, 0.85, 1.15} {
			// Back onto both walls, and where they touch then.
			y, places, dirs := r3.Add(x, r3.Scale(share*0.1, slack)), []geom.Vec(nil), []geom.Vec(nil)
			for range 20 {
				places, dirs = nil, nil
				for i, s := range f.sides {
					one := f
					one.sides = f.sides[i : i+1]
					if s.edge.Distance(stops[0].At) > 3 && s.edge.Distance(stops[1].At) > 3 {
						continue
					}
					h, id, excess := one.deepest(y)
					if excess < -0.02 {
						continue
					}
					y = r3.Sub(y, r3.Scale(excess/r3.Dot(h.a, h.a), h.a))
					n := vec(h.a.X, h.a.Y)
					at := s.at.Add(n.Scale(s.out * s.radius))
					if s.radius == 0 {
						at = []geom.Vec{s.edge.P, s.edge.Q}[id[1]]
					}
					for _, side := range []float64{-0.1 * Friction, 0.1 * Friction} {
						places, dirs = append(places, at), append(dirs, n.Add(vec(-n.Y, n.X).Scale(side)))
					}
				}
			}
			if holds := closed(t, places, dirs, c.Push, f.middle); holds != (math.Abs(share) < 1) {
				t.Errorf("%s, %.2f of the slack off: friction holds it %v", name, share, holds)
			}
		}
	}
}

// TestStopsChords: a curve written as hundreds of chords has the stops of the curve, of which
// those on neighbouring chords are one.
func TestStopsChords(t *testing.T) {
	for name, l := range curved() {
		if name == "quarter disc" { // the push goes through its corner
			continue
		}
		curve, err := Contour{Outline: l, Gaps: []float64{0.1}, Push: vec(-1, 1)}.Home()
		if err != nil {
			t.Fatal(err)
		}
		chord, err := Contour{Outline: chords(l), Gaps: []float64{0.1}, Push: vec(-1, 1)}.Home()
		if err != nil || len(chord.Stops) != len(curve.Stops) {
			t.Fatal(name, chord, err)
		}
		if math.Abs(chord.Direction-curve.Direction) > 0.06 || chord.FrictionDirection != 0 {
			t.Errorf("%s: direction %.3f, with friction %.3f; of the curve %.3f, %.3f", name, chord.Direction,
				chord.FrictionDirection, curve.Direction, curve.FrictionDirection)
		}
		for i, a := range curve.Stops {
			b := chord.Stops[i]
			at := vec(60, 5)
			if a.At.Dist(b.At) > 0.5 || a.PerMM.Motion(at).Dist(b.PerMM.Motion(at)) > 0.03 {
				t.Errorf("%s: stop %+v, of the curve %+v", name, b, a)
			}
		}
	}
	// A board that fills its window touches everywhere.
	var round geom.Loop
	for i := range 2000 {
		a := 2 * math.Pi * float64(i) / 2000
		round = append(round, geom.Vertex{Vec: vec(90*math.Cos(a), (50+6*math.Sin(5*a))*math.Sin(a))})
	}
	c := Contour{Outline: round, Gaps: []float64{0}, Push: vec(-1, 1)}
	if _, err := c.Home(); err != nil {
		t.Error(err)
	}
	f, err := c.frame()
	if n := len(f.places(candidates)); err != nil || n < candidates*9/10 || n > candidates*11/10 {
		t.Errorf("%d places to choose from of 2000 chords, want about %d; %v", n, candidates, err)
	}
}

// normalAt is the outward normal of an edge near a place on it.
func normalAt(e geom.Edge, p geom.Vec) geom.Vec {
	if !e.IsArc() {
		return vec(e.Q.Y-e.P.Y, e.P.X-e.Q.X).Unit()
	}
	return p.Sub(e.Arc().C).Scale(math.Copysign(1, e.Bulge)).Unit()
}

// Home tells how the pushed board comes to rest; errors as of Seat. Without a stop that
// carries the load the board turns or slides on: Stops is nil.
func (c Contour) Home() (Home, error) {
	f, p, err := c.poses()
	if err != nil || c.Push == (geom.Vec{}) {
		return Home{}, err
	}
	return f.homeOf(&p, c.Push), nil
}
