package seat

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"
)

// draws is the number of random poses per case; sigmas is how many standard
// errors a sample mean may be off (one in two million for five of them).
const draws, sigmas = 100_000, 5

// sample returns the features' moves under uniform random poses of s.
func sample(s Seat, n int, seed uint64, at geom.Vec) (poses []Pose, moves []geom.Vec) {
	r := rand.New(rand.NewPCG(seed, 1))
	for range n {
		q := s.Place([3]float64{r.Float64(), r.Float64(), r.Float64()})
		poses, moves = append(poses, q), append(moves, q.Motion(at))
	}
	return poses, moves
}

// meanNear fails when the mean of x is further from want than its own spread allows.
func meanNear(t *testing.T, what string, x []float64, want float64) {
	t.Helper()
	var mean, square float64
	for _, v := range x {
		mean += v / float64(len(x))
		square += v * v / float64(len(x))
	}
	se := math.Sqrt(math.Max(0, square-mean*mean) / float64(len(x)))
	if d := math.Abs(mean - want); d > sigmas*se+1e-15 || math.IsNaN(mean) {
		t.Errorf("%s: mean %.6g, want %.6g; off by %.1f standard errors", what, mean, want, d/se)
	}
}

func column(poses []Pose, f func(Pose) float64) []float64 {
	out := make([]float64, len(poses))
	for i, q := range poses {
		out[i] = f(q)
	}
	return out
}

// inPair and inNest check the constraints from their definition. slackMM is
// rounding of coordinates up to a metre, with two decades to spare.
const slackMM = 1e-11

func inPair(p PinPair, q Pose) bool {
	e := p.Slot.Sub(p.Round).Unit()
	return q.Motion(p.Round).Norm() <= p.RoundClearance/2+slackMM &&
		math.Abs(q.Motion(p.Slot).Dot(e.Left())) <= p.SlotClearance/2+slackMM
}

// inNest allows planeEps of the starting box besides.
func inNest(n Nest, q Pose) bool {
	slack := slackMM + 10*planeEps*n.frame().reach
	for i, w := range n.Window {
		e := n.Window[(i+1)%len(n.Window)].Sub(w).Unit()
		for _, p := range n.Board {
			if e.Cross(p.Add(q.Motion(p)).Sub(w)) < -slack {
				return false
			}
		}
	}
	return true
}

// A uniform disc of radius r has a mean square of r^2/4 each way, a uniform
// interval of half length t one of t^2/3 (textbook integrals).
func TestPlacePair(t *testing.T) {
	for _, c := range []struct {
		name string
		p    PinPair
	}{
		{"on the datum line", PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}},
		{"askew, far from the origin", PinPair{Round: vec(-80, 45), Slot: vec(310, -70), RoundClearance: 0.2, SlotClearance: 0.07}},
		{"round hole without clearance", PinPair{Round: vec(5, 5), Slot: vec(5, 205), SlotClearance: 0.07}},
		{"slot without clearance", PinPair{Round: vec(5, 5), Slot: vec(5, 205), RoundClearance: 0.07}},
		{"no clearance", PinPair{Round: vec(5, 5), Slot: vec(5, 205)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := c.p.Seat()
			if err != nil {
				t.Fatal(err)
			}
			e := c.p.Slot.Sub(c.p.Round).Unit()
			poses, _ := sample(s, draws, 11, geom.Vec{})
			for _, q := range poses {
				if !inPair(c.p, q) {
					t.Fatalf("%+v is not in the set", q)
				}
			}
			a := column(poses, func(q Pose) float64 { return q.Motion(c.p.Round).Dot(e) })
			b := column(poses, func(q Pose) float64 { return q.Motion(c.p.Round).Dot(e.Left()) })
			w := column(poses, func(q Pose) float64 { return q.Motion(c.p.Slot).Dot(e.Left()) })
			times := func(x, y []float64) []float64 {
				out := make([]float64, len(x))
				for i := range x {
					out[i] = x[i] * y[i]
				}
				return out
			}
			r, h := c.p.RoundClearance/2, c.p.SlotClearance/2
			meanNear(t, "along at the round pin", a, 0)
			meanNear(t, "across at the round pin", b, 0)
			meanNear(t, "across at the slot", w, 0)
			meanNear(t, "along squared", times(a, a), r*r/4)
			meanNear(t, "across squared", times(b, b), r*r/4)
			meanNear(t, "slot squared", times(w, w), h*h/3)
			meanNear(t, "along times across", times(a, b), 0)
			meanNear(t, "across times slot", times(b, w), 0)
			reachedBy(t, s, poses, geom.Vec{})
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
		reach, far, least := s.Reach(at, dir), math.Inf(-1), math.Inf(1)
		for _, q := range poses {
			d := q.Motion(at).Dot(dir)
			far, least = math.Max(far, d), math.Min(least, d)
		}
		if far > reach*(1+1e-12)+slackMM {
			t.Errorf("at %v along %v: a placed move of %.9g passes the reach of %.9g", at, dir, far, reach)
		}
		if back := s.Reach(at, dir.Scale(-1)); reach-far > 0.1*(reach+back)+slackMM {
			t.Errorf("at %v along %v: placed moves end at %.6g, the reach is %.6g", at, dir, far, reach)
		}
	}
	var turn float64
	for _, q := range poses {
		turn = math.Max(turn, math.Abs(q.Theta))
	}
	if turn > s.Turn()*(1+1e-12) || turn < 0.8*s.Turn() {
		t.Errorf("placed rotations reach %.6g, Turn is %.6g", turn, s.Turn())
	}
}

// A long rectangle's window, clearance c at the sides and far more at the ends,
// leaves theta and dv at the middle a rhombus: |dv| + |theta| L/2 <= c. Its mean
// squares are c^2/6 (textbook). The ends' clearance e is left to du, a uniform
// interval, but for theta times half the width.
func TestPlaceBoxNest(t *testing.T) {
	const length, width, side, end = 600.0, 0.5, 0.2, 2.0
	n := Nest{
		Window: geom.Rect(geom.Box{Min: vec(-end, -width/2-side), Max: vec(length+end, width/2+side)}).Corners(),
		Board:  geom.Rect(geom.Box{Min: vec(0, -width/2), Max: vec(length, width/2)}).Corners(),
	}
	s, err := n.Seat()
	if err != nil {
		t.Fatal(err)
	}
	poses, moves := sample(s, draws, 3, vec(length/2, 0))
	var u, v, turn, both []float64
	for i, q := range poses {
		if !inNest(n, q) {
			t.Fatalf("%+v is not in the set", q)
		}
		u, v = append(u, moves[i].X*moves[i].X), append(v, moves[i].Y*moves[i].Y)
		turn = append(turn, q.Theta*q.Theta*length*length/4)
		both = append(both, moves[i].Y*q.Theta)
	}
	meanNear(t, "along squared", u, end*end/3)
	meanNear(t, "across squared", v, side*side/6)
	meanNear(t, "theta squared", turn, side*side/6)
	meanNear(t, "across times theta", both, 0)
	reachedBy(t, s, poses, vec(0, 0))
	reachedBy(t, s, poses, vec(length, 0))
}

// moments of a set of poses: volume, means and mean squares of du, dv, theta l at
// the frame's middle, and the three products.
type moments [10]float64

func (m *moments) add(x [3]float64, w float64) {
	for i, v := range [10]float64{1, x[0], x[1], x[2], x[0] * x[0], x[1] * x[1], x[2] * x[2], x[0] * x[1], x[1] * x[2], x[2] * x[0]} {
		m[i] += w * v
	}
}

// cellMoments adds up the simplices. The four points (a, b, b, b) with
// a = (5 + 3 sqrt 5)/20, b = (5 - sqrt 5)/20 integrate squares over a
// tetrahedron exactly (Stroud's rule of degree 2; recalled, not seen).
func cellMoments(s *nestSeat) (m moments) {
	for _, c := range s.cells.list {
		p := func(k int) [3]float64 { return s.corners[c.at[k]] }
		v := dot3(cross3(sub3(p(1), p(0)), sub3(p(2), p(0))), sub3(p(3), p(0))) / 6
		for k := range 4 {
			var x [3]float64
			for j := range 4 {
				w := (5 - math.Sqrt(5)) / 20
				if j == k {
					w = (5 + 3*math.Sqrt(5)) / 20
				}
				x = add3(x, scale3(p(j), w))
			}
			m.add(x, v/4)
		}
	}
	return m
}

// sliceMoments is the second method: at a fixed theta the poses are a polygon in
// (du, dv), cut wall by wall from the definition. Its moments are piecewise
// polynomials of degree 4 in theta at most; Gauss's rule of five points
// integrates them exactly between the breaks.
func sliceMoments(n Nest, l float64, middle geom.Vec, breaks []float64) (m moments) {
	nodes := [5]float64{0, math.Sqrt(5-2*math.Sqrt(10.0/7)) / 3, -math.Sqrt(5-2*math.Sqrt(10.0/7)) / 3, math.Sqrt(5+2*math.Sqrt(10.0/7)) / 3, -math.Sqrt(5+2*math.Sqrt(10.0/7)) / 3}
	weights := [5]float64{128.0 / 225, (322 + 13*math.Sqrt(70)) / 900, (322 + 13*math.Sqrt(70)) / 900, (322 - 13*math.Sqrt(70)) / 900, (322 - 13*math.Sqrt(70)) / 900}
	slices.Sort(breaks)
	for i := 0; i+1 < len(breaks); i++ {
		mid, half := (breaks[i]+breaks[i+1])/2, (breaks[i+1]-breaks[i])/2
		for k := range nodes {
			z := mid + half*nodes[k]
			slice := []geom.Vec{vec(-50, -50), vec(50, -50), vec(50, 50), vec(-50, 50)}
			for j, w := range n.Window {
				e := n.Window[(j+1)%len(n.Window)].Sub(w).Unit()
				least := math.Inf(1) // depth of the shallowest corner at this theta, unmoved
				for _, p := range n.Board {
					turned := p.Add(p.Sub(middle).Left().Scale(z / l))
					least = math.Min(least, e.Cross(turned.Sub(w)))
				}
				slice = clip(slice, e, -least)
			}
			for j := 1; j+1 < len(slice); j++ {
				a, b, c := slice[0], slice[j], slice[j+1]
				area := b.Sub(a).Cross(c.Sub(a)) / 2
				for _, x := range []geom.Vec{a.Lerp(b, 0.5), b.Lerp(c, 0.5), c.Lerp(a, 0.5)} {
					m.add([3]float64{x.X, x.Y, z}, area/3*half*weights[k])
				}
			}
		}
	}
	return m
}

// clip keeps what lies at least least to the left of the direction e.
func clip(pts []geom.Vec, e geom.Vec, least float64) (out []geom.Vec) {
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		x, y := e.Cross(a)-least, e.Cross(b)-least
		if x >= 0 {
			out = append(out, a)
		}
		if x*y < 0 {
			out = append(out, a.Lerp(b, x/(x-y)))
		}
	}
	return out
}

func TestCellsAgainstSlices(t *testing.T) {
	const relative = 1e-8 // corners within planeEps of the box, 1e-9 of a clearance of 0.02
	r := rand.New(rand.NewPCG(8, 15))
	worst := 0.0
	for k := range 80 {
		n := randomNest(r)
		if k%4 == 0 { // many nearly coplanar walls
			b := geom.RoundCorners(geom.Taper(480, 42, 56), 3)
			n = Nest{Window: b.Offset(0.05 + 0.1*r.Float64()).Flatten(1e-2), Board: b.Flatten(1e-2)}
		}
		seat, err := n.Seat()
		if err != nil {
			t.Fatal(err)
		}
		s := seat.(*nestSeat)
		var breaks []float64
		for _, c := range s.corners {
			breaks = append(breaks, c[2])
		}
		f := n.frame()
		got, want := cellMoments(s), sliceMoments(n, f.length, f.middle, breaks)
		scale := [10]float64{want[0]}
		for i := 1; i < 4; i++ {
			scale[i] = math.Sqrt(want[0] * want[3+i])
			scale[3+i] = want[3+i]
		}
		for i := range 3 {
			scale[7+i] = math.Sqrt(want[4+i] * want[4+(i+1)%3])
		}
		for i := range got {
			d := math.Abs(got[i]-want[i]) / scale[i]
			worst = math.Max(worst, d)
			if d > relative {
				t.Errorf("case %d: moment %d is %.12g, by slices %.12g", k, i, got[i], want[i])
			}
		}
	}
	t.Logf("largest relative difference %.2g", worst)
}

// Places of a random nest have the moments of its cells, which tests the choice
// of the cell and the folding.
func TestPlaceNest(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 72))
	for k := range 12 {
		n := randomNest(r)
		seat, err := n.Seat()
		if err != nil {
			t.Fatal(err)
		}
		s, f := seat.(*nestSeat), n.frame()
		want := cellMoments(s)
		poses, moves := sample(s, draws, uint64(k), f.middle)
		x := make([][]float64, 10)
		for i, q := range poses {
			if i < 2000 && !inNest(n, q) {
				t.Fatalf("%+v is not in the set", q)
			}
			var m moments
			m.add([3]float64{moves[i].X, moves[i].Y, q.Theta * f.length}, 1)
			for j := range m {
				x[j] = append(x[j], m[j])
			}
		}
		for j := 1; j < 10; j++ {
			meanNear(t, "moment", x[j], want[j]/want[0])
		}
		reachedBy(t, s, poses, vec(0, 0))
		reachedBy(t, s, poses, vec(700, 20))
	}
}

// A pushed board keeps a face, an edge or a point of its pose set, filled evenly.
func TestPlacePushed(t *testing.T) {
	const length, w0, w1, side, end = 480.0, 42.0, 56.0, 0.1, 0.25
	n := Nest{Window: grownWindow(length, w0, w1, side, end), Board: geom.Taper(length, w0, w1).Corners()}
	box := Nest{
		Window: geom.Rect(geom.Box{Min: vec(-1, -1), Max: vec(101, 41)}).Corners(),
		Board:  geom.FromPoints([]geom.Vec{vec(0, 20), vec(50, 0), vec(100, 20), vec(50, 40)}).Corners(),
	}
	slope := (w1 - w0) / 2 / length
	for _, c := range []struct {
		name  string
		nest  Nest
		push  []Wall
		dim   int
		along float64 // mean square of the move along at the middle; -1 not checked
	}{
		{"corner on a wall: slides and rocks", box, []Wall{0}, 2, -1},
		{"flush on a side: an edge, uniform", n, []Wall{2}, 1, end * end / 3},
		{"flush at the start: slides across only", n, []Wall{3}, 1, 0},
		{"two stops: a point", n, []Wall{2, 3}, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.nest.Push = c.push
			seat, err := c.nest.Seat()
			if err != nil {
				t.Fatal(err)
			}
			s := seat.(*nestSeat)
			if s.cells.dim != c.dim {
				t.Fatalf("%d dimensions, want %d", s.cells.dim, c.dim)
			}
			poses, moves := sample(s, draws, 5, c.nest.frame().middle)
			rest := s.Rest()
			load := c.nest.load()
			var square, skew []float64
			for i, q := range poses {
				whole := Pose{q.DU + rest.DU, q.DV + rest.DV, q.Theta + rest.Theta}
				if !inNest(c.nest, whole) {
					t.Fatalf("%+v is not in the window", whole)
				}
				if math.Abs(load.Dot(moves[i])) > pushedTol {
					t.Fatalf("%+v leaves the wall by %g", whole, load.Dot(moves[i]))
				}
				square = append(square, moves[i].X*moves[i].X)
				skew = append(skew, moves[i].Y+slope*moves[i].X)
			}
			if c.along > 0 {
				meanNear(t, "along squared", square, c.along)
				meanNear(t, "off the wall", skew, 0)
			}
			if c.dim > 0 {
				reachedBy(t, s, poses, vec(240, 0))
			}
			if c.dim == 2 {
				// Over the face the moves fill a polygon evenly: its mean by triangles.
				var area float64
				var mean [3]float64
				for _, l := range s.cells.list {
					a, b, d := s.corners[l.at[0]], s.corners[l.at[1]], s.corners[l.at[2]]
					w := norm3(cross3(sub3(b, a), sub3(d, a)))
					area += w
					mean = add3(mean, scale3(add3(add3(a, b), d), w/3))
				}
				turned := column(poses, func(q Pose) float64 { return (q.Theta + rest.Theta) * c.nest.frame().length })
				meanNear(t, "theta over the face", turned, mean[2]/area)
			}
		})
	}
}

// A window drawn to the board's size leaves next to nothing, and that is still a set.
func TestPlaceDrawnToSize(t *testing.T) {
	board := geom.Taper(480, 42, 56).Corners()
	n := Nest{Window: board, Board: board}
	s, err := n.Seat()
	if err != nil {
		t.Fatal(err)
	}
	poses, _ := sample(s, 1000, 9, geom.Vec{})
	for _, q := range poses {
		if q.Motion(vec(240, 0)).Norm() > pushedTol || math.Abs(q.Theta)*480 > pushedTol || math.IsNaN(q.DU) {
			t.Fatalf("placed at %+v, want no move", q)
		}
	}
}

// Corners of the cube and what lies outside it.
func TestPlaceClamps(t *testing.T) {
	pair, _ := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}.Seat()
	nest, _ := Nest{Window: grownWindow(480, 42, 56, 0.1, 0.2), Board: geom.Taper(480, 42, 56).Corners()}.Seat()
	round, _ := RoundSet{[]geom.Vec{{}, vec(400, 0), vec(200, 80)}, []float64{0.03, 0.05, 0.04}}.Seat()
	for _, s := range []Seat{pair, nest, round} {
		for _, c := range []struct{ wild, tame [3]float64 }{
			{[3]float64{-1, -1, -1}, [3]float64{0, 0, 0}},
			{[3]float64{2, 7, 1e300}, [3]float64{1, 1, 1}},
			{[3]float64{math.Inf(1), math.Inf(-1), 0.5}, [3]float64{1, 0, 0.5}},
			{[3]float64{math.NaN(), 0.5, math.NaN()}, [3]float64{0, 0.5, 0}},
		} {
			if got, want := s.Place(c.wild), s.Place(c.tame); got != want || math.IsNaN(got.DU+got.DV+got.Theta) {
				t.Errorf("%T: place %v gives %+v, want %+v", s, c.wild, got, want)
			}
		}
	}
	for _, s := range []Seat{pair, nest, round} {
		if a := testing.AllocsPerRun(100, func() { s.Place([3]float64{0.99, 0.97, 0.02}) }); a != 0 {
			t.Errorf("%T: %g allocations a call", s, a)
		}
	}
}
