package seat

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

// draws is the number of random poses per case; sigmas is how many standard
// errors a sample mean may be off (one in two million for five of them).
const draws, sigmas = 40_000, 5

// slackMM is rounding of coordinates up to a metre, with two decades to spare.
const slackMM = 1e-11

// in checks the constraints from their definition. The slack is a nest's.
func in(of maker, q Pose, slack float64) bool {
	switch s := of.(type) {
	case PinPair:
		e := s.Slot.Sub(s.Round).Unit()
		return q.Motion(s.Round).Norm() <= s.RoundClearance/2+slackMM &&
			math.Abs(q.Motion(s.Slot).Dot(e.Left())) <= s.SlotClearance/2+slackMM
	case RoundSet:
		for i, p := range s.Holes {
			if q.Motion(p).Norm() > s.Clearances[i]/2*(1+1e-12)+slackMM {
				return false
			}
		}
	case Nest:
		for i, w := range s.Window {
			e := s.wall(Wall(i)).Unit()
			for _, p := range s.Board {
				if e.Cross(p.Add(q.Motion(p)).Sub(w)) < -slack {
					return false
				}
			}
		}
	}
	return true
}

// moments are ten means over poses, of which the first is 1.
type moments [10]float64

func momentsOf(q Pose, at geom.Vec) moments {
	d := q.Motion(at)
	return moments{
		1, d.X, d.Y, q.Theta, d.X * d.X, d.Y * d.Y, q.Theta * q.Theta, d.X * d.Y, d.Y * q.Theta, q.Theta * d.X,
	}
}

// TestPlace holds the places of seats against plain rejection from a box about the
// set, which shares nothing with how they are made: all moments agree within their
// spread, every place belongs to the set, and the farthest come near the reach.
func TestPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 72))
	rounded := geom.RoundCorners(geom.Taper(480, 42, 56), 3)
	cases := map[string]maker{
		"pins":                          PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05},
		"pins askew, far from the zero": PinPair{vec(-80, 45), vec(310, -70), 0.2, 0.07},
		"two round":                     RoundSet{[]geom.Vec{vec(30, -40), vec(330, 360)}, []float64{0.1, 0.1}},
		"rounded nest":                  Nest{Window: rounded.Offset(0.1).Flatten(3e-2), Board: rounded.Flatten(3e-2)},
	}
	for _, name := range []string{"nest 1", "nest 2", "nest 3", "nest 4"} {
		cases[name] = randomNest(r)
	}
	for _, name := range []string{"round 1", "round 2", "round 3", "round 4"} {
		cases[name] = randomRound(r)
	}
	for name, of := range cases {
		t.Run(name, func(t *testing.T) {
			s := must(t, of)
			at, slack := vec(200, 10), slackMM
			switch of := of.(type) {
			case Nest:
				at = of.frame().middle
				slack += 10 * planeEps * of.frame().reach
			case RoundSet:
				at = of.Holes[0]
				for i, c := range of.Clearances {
					if c < of.Clearances[0] {
						at = of.Holes[i]
					}
				}
			case PinPair:
				at = of.Round
			}
			u, v := s.Reach(at, vec(1, 0)), s.Reach(at, vec(0, 1))
			uBack, vBack := s.Reach(at, vec(-1, 0)), s.Reach(at, vec(0, -1))
			var want, wantSquare, got, gotSquare moments
			boxed := 0
			for tries := 0; boxed < draws/4 && tries < 200*draws; tries++ {
				q := about(at, vec(r.Float64()*(u+uBack)-uBack, r.Float64()*(v+vBack)-vBack), s.Turn()*(2*r.Float64()-1))
				if in(of, q, slack) {
					boxed++
					for i, x := range momentsOf(q, at) {
						want[i] += x
						wantSquare[i] += x * x
					}
				}
			}
			if boxed < draws/4 {
				t.Fatal("the box holds too little of the set")
			}
			var poses []Pose
			for range draws {
				q := s.Place([3]float64{r.Float64(), r.Float64(), r.Float64()})
				if !in(of, q, slack) {
					t.Fatalf("%+v is not in the set", q)
				}
				poses = append(poses, q)
				for i, x := range momentsOf(q, at) {
					got[i] += x
					gotSquare[i] += x * x
				}
			}
			// What the tangents of a disc and what is drawn in leave of evenness.
			share := 0.0
			if _, ok := of.(RoundSet); ok {
				share = 0.01
			}
			for i := range got {
				n, m := float64(boxed), float64(draws)
				a, b := want[i]/n, got[i]/m
				va, vb := wantSquare[i]/n-a*a, gotSquare[i]/m-b*b
				if d := math.Abs(a - b); d > sigmas*math.Sqrt(va/n+vb/m)+share*math.Sqrt(gotSquare[i]/m)+1e-18 {
					t.Errorf("moment %d: places %.6g, box %.6g", i, b, a)
				}
			}
			reachedBy(t, s, poses, at)
			reachedBy(t, s, poses, vec(500, 30))
		})
	}
}

// reachedBy checks that no placed move passes Reach and that the farthest of
// them comes near it. The cap within 10 % of the reach holds at least 0.1^3/2 of
// a convex set that is symmetric or less: one in two thousand draws.
func reachedBy(t *testing.T, s Seat, poses []Pose, at geom.Vec) {
	t.Helper()
	for k := range 12 {
		dir := geom.Polar(1, float64(k)*math.Pi/6)
		reach, far := s.Reach(at, dir), math.Inf(-1)
		for _, q := range poses {
			far = math.Max(far, q.Motion(at).Dot(dir))
		}
		if far > reach*(1+1e-12)+slackMM {
			t.Errorf("at %v along %v: a placed move of %.9g passes the reach of %.9g", at, dir, far, reach)
		}
		if back := s.Reach(at, dir.Scale(-1)); reach-far > 0.1*(reach+back)+slackMM {
			t.Errorf("at %v along %v: placed moves end at %.6g, the reach is %.6g", at, dir, far, reach)
		}
	}
}

// TestPlacePushed: a pushed board keeps a face, an edge or a point of its pose set,
// filled evenly. What is left is measured from its middle.
func TestPlacePushed(t *testing.T) {
	const length, w0, w1, side, end = 480.0, 42.0, 56.0, 0.1, 0.25
	window, board := grownWindow(length, w0, w1, side, end), geom.Taper(length, w0, w1).Corners()
	slope := (w1 - w0) / 2 / length
	// A rhombus with a corner on the wall slides by 1 and rocks about that corner until
	// the opposite one, 40 away, touches a side wall at 1: a square, its middle at rest.
	rhombus := Nest{
		Window: geom.Rect(geom.Box{Min: vec(-1, -1), Max: vec(101, 60)}).Corners(),
		Board:  geom.FromPoints([]geom.Vec{vec(0, 20), vec(50, 0), vec(100, 20), vec(50, 40)}).Corners(),
		Push:   []Wall{0},
	}
	for _, c := range []struct {
		name         string
		nest         Nest
		along, cross float64 // mean squares of the moves at the middle
	}{
		{"flush on a side: an edge, uniform", Nest{window, board, []Wall{2}}, end * end / 3, slope * slope * end * end / 3},
		{
			"flush at the start: slides across only", Nest{window, board, []Wall{3}}, 0,
			(side*math.Hypot(1, slope) - slope*end) * (side*math.Hypot(1, slope) - slope*end) / 3,
		},
		{"two stops: a point", Nest{window, board, []Wall{2, 3}}, 0, 0},
		{"corner on a wall: a face", rhombus, -1, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := must(t, c.nest).(*nestSeat)
			middle := c.nest.frame().middle
			r := rand.New(rand.NewPCG(5, 1))
			var sum Pose
			var along, cross, turn float64
			for range draws {
				q := s.Place([3]float64{r.Float64(), r.Float64(), r.Float64()})
				d := q.Motion(middle)
				for k := range 4 {
					if dir := geom.Polar(1, float64(k)); d.Dot(dir) > s.Reach(middle, dir)+slackMM {
						t.Fatalf("%+v is not in the set", q)
					}
				}
				sum = Pose{sum.DU + d.X/draws, sum.DV + d.Y/draws, sum.Theta + q.Theta/draws}
				along, cross, turn = along+d.X*d.X/draws, cross+d.Y*d.Y/draws, turn+q.Theta*q.Theta/draws
			}
			const tol = 0.03 // five standard errors of a mean square
			if c.along < 0 {
				// Evenly filled, du and theta of a face have a box's mean squares or less.
				if u, h := s.Reach(middle, vec(1, 0)), s.Turn(); along > u*u/3*(1+tol) || turn > h*h/3*(1+tol) || along < u*u/8 ||
					turn < h*h/8 {
					t.Errorf("mean squares %g of %g, %g of %g", along, u*u, turn, h*h)
				}
				return
			}
			if math.Abs(along-c.along) > tol*c.along+pushedTol*pushedTol ||
				math.Abs(cross-c.cross) > tol*c.cross+pushedTol*pushedTol {
				t.Errorf("mean squares %g %g, want %g %g", along, cross, c.along, c.cross)
			}
			if math.Abs(sum.DU) > tol*end+pushedTol || math.Abs(sum.DV) > tol*side+pushedTol ||
				turn*length*length > pushedTol*pushedTol {
				t.Errorf("mean %+v, turn squared %g", sum, turn)
			}
		})
	}
}
