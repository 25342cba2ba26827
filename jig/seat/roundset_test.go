package seat

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
	"reseat/jig/geom"
)

func inRound(s RoundSet, q Pose) bool {
	for i, p := range s.Holes {
		if q.Motion(p).Norm() > s.Clearances[i]/2*(1+1e-12)+slackMM {
			return false
		}
	}
	return true
}

func mustRound(t *testing.T, s RoundSet) *roundSeat {
	t.Helper()
	seat, err := s.Seat()
	if err != nil {
		t.Fatal(err)
	}
	return seat.(*roundSeat)
}

// reachTol is what reaches of one truth may differ by, relative.
const reachTol = 2 * RoundTolerance

// Cases that can be worked out on paper.
func TestRoundSetByHand(t *testing.T) {
	row := func(n int, pitch, c float64) (s RoundSet) {
		for i := range n {
			s.Holes, s.Clearances = append(s.Holes, vec(pitch*float64(i), 0)), append(s.Clearances, c)
		}
		return s
	}
	square := RoundSet{[]geom.Vec{vec(100, 0), vec(0, 100), vec(-100, 0), vec(0, -100)}, []float64{0.1, 0.1, 0.1, 0.1}}
	triangle := RoundSet{[]geom.Vec{geom.Polar(100, 0.3), geom.Polar(100, 0.3+2*math.Pi/3), geom.Polar(100, 0.3+4*math.Pi/3)}, []float64{0.1, 0.1, 0.1}}
	apart := RoundSet{[]geom.Vec{vec(-100, 0), vec(100, 0), vec(0, 160)}, []float64{0.1, 0.1, 0.03}}
	for _, c := range []struct {
		name string
		set  RoundSet
		turn float64
		at   geom.Vec
		move Motion
	}{
		// The pair of design.md 8, both holes round: across as there, along the tighter.
		{"two pins, feature between", RoundSet{[]geom.Vec{{}, vec(400, 0)}, []float64{0.03, 0.05}}, 1e-4, vec(200, 0), Motion{0.015, 0.02, 0.02}},
		{"two pins, feature beyond", RoundSet{[]geom.Vec{{}, vec(400, 0)}, []float64{0.03, 0.05}}, 1e-4, vec(600, 0), Motion{0.015, 0.045, 0.045}},
		{"a row turns between its ends", row(6, 80, 0.1), 0.1 / 400, vec(200, 0), Motion{0.05, 0.05, 0.05}},
		// A square ring turns about its middle until every pin touches.
		{"square ring", square, 0.05 / 100, geom.Vec{}, Motion{0.05, 0.05, 0.05}},
		{"triangle ring", triangle, 0.05 / 100, geom.Vec{}, Motion{0.05, 0.05, 0.05}},
		// Turning about (0, y): sqrt(100^2 + y^2)/0.05 = (160 - y)/0.015, so
		// (100^2 + y^2) 0.09 = (160 - y)^2.
		{"a tight third hole", apart, 0.015 / (160 - tightThird()), vec(0, 160), Motion{0.015, 0.015, 0.015}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := c.set.Float([]geom.Vec{c.at})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(f.ThetaMax/c.turn-1) > reachTol {
				t.Errorf("theta %.10g, want %.10g", f.ThetaMax, c.turn)
			}
			m := f.At[0]
			if math.Abs(m.Along/c.move.Along-1) > reachTol || math.Abs(m.Across/c.move.Across-1) > reachTol || math.Abs(m.Worst/c.move.Worst-1) > RoundWorstTolerance {
				t.Errorf("moves %+v, want %+v", m, c.move)
			}
		})
	}
}

func tightThird() float64 {
	// 0.91 y^2 - 320 y + 25600 - 900 = 0, the root below 160.
	return (320 - math.Sqrt(320*320-4*0.91*24700)) / (2 * 0.91)
}

// Against the pair of round hole and slot with the same clearances:
//
//	both round = (round, slot) and (slot, round) together: never larger than either
//	the pair drawn in by r/hypot(r, t) fits both round: never smaller than that
//
// where r is the half clearance of the hole that the pair makes a slot, t that of
// the other. Across at the pin line nothing is lost; along, the tighter hole rules.
func TestRoundSetAgainstPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPair(t)
		p.RoundClearance += 1e-3
		p.SlotClearance += 1e-3
		other := PinPair{p.Slot, p.Round, p.SlotClearance, p.RoundClearance}
		set := RoundSet{[]geom.Vec{p.Round, p.Slot}, []float64{p.RoundClearance, p.SlotClearance}}
		s, err := set.Seat()
		if err != nil {
			t.Fatal(err)
		}
		a, _ := p.Seat()
		b, _ := other.Seat()
		r1, r2 := p.RoundClearance/2, p.SlotClearance/2
		at := drawFeatures(t)[0]
		dir := geom.Polar(1, rapid.Float64Range(0, 7).Draw(t, "direction"))
		got, one, two := s.Reach(at, dir), a.Reach(at, dir), b.Reach(at, dir)
		if got > math.Min(one, two)*(1+reachTol) {
			t.Fatalf("both round %.12g, one slot %.12g, the other %.12g", got, one, two)
		}
		if got < math.Max(one*r2, two*r1)/math.Hypot(r1, r2)*(1-reachTol) {
			t.Fatalf("both round %.12g is under the pairs %.12g and %.12g drawn in", got, one, two)
		}
		if math.Abs(s.Turn()/a.Turn()-1) > 1e-12 {
			t.Fatalf("turn %.12g, with a slot %.12g", s.Turn(), a.Turn())
		}
		e := p.Slot.Sub(p.Round).Unit()
		on := p.Round.Lerp(p.Slot, rapid.Float64Range(-1, 2).Draw(t, "on the line"))
		if x, y := s.Reach(on, e.Left()), a.Reach(on, e.Left()); math.Abs(x/y-1) > reachTol {
			t.Fatalf("across on the pin line %.12g, with a slot %.12g", x, y)
		}
		if x := s.Reach(on, e); math.Abs(x/math.Min(r1, r2)-1) > reachTol {
			t.Fatalf("along the pin line %.12g, the tighter hole leaves %.12g", x, math.Min(r1, r2))
		}
	})
}

// Two equal holes leave (along, across at one, across at the other) in units of
// half the clearance the solid that two crossed cylinders have in common: volume
// 16/3 (Archimedes), mean squares 1/5 along and 4/15 across (integrals of its
// square slices of side 2 sqrt(1 - a^2)).
func TestPlaceTwoRound(t *testing.T) {
	const r = 0.05
	set := RoundSet{[]geom.Vec{vec(30, -40), vec(330, 360)}, []float64{2 * r, 2 * r}}
	s := mustRound(t, set)
	e := set.Holes[1].Sub(set.Holes[0]).Unit()
	poses, _ := sample(s, draws, 21, geom.Vec{})
	var along, one, two, both []float64
	for _, q := range poses {
		if !inRound(set, q) {
			t.Fatalf("%+v is not in the set", q)
		}
		a, b := q.Motion(set.Holes[0]), q.Motion(set.Holes[1])
		along = append(along, a.Dot(e)*a.Dot(e))
		one, two = append(one, a.Dot(e.Left())*a.Dot(e.Left())), append(two, b.Dot(e.Left())*b.Dot(e.Left()))
		both = append(both, a.Dot(e.Left())*b.Dot(e.Left()))
	}
	meanNear(t, "along squared", along, r*r/5)
	meanNear(t, "across squared at one", one, r*r*4/15)
	meanNear(t, "across squared at the other", two, r*r*4/15)
	meanNear(t, "across at one times the other", both, 0)
	reachedBy(t, s, poses, vec(0, 0))
}

// Places of a random set against plain rejection from a box, which shares nothing
// with the polytope: mean squares and products agree within their spread.
func TestPlaceRound(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	for k := range 12 {
		set := randomRound(r)
		s := mustRound(t, set)
		tight := 0
		for i, c := range set.Clearances {
			if c < set.Clearances[tight] {
				tight = i
			}
		}
		o, h := set.Holes[tight], set.Clearances[tight]/2
		var box []Pose
		for tries := 0; len(box) < draws/10 && tries < 100*draws; tries++ {
			theta := s.turn * (2*r.Float64() - 1)
			q := Pose{h*(2*r.Float64()-1) + theta*o.Y, h*(2*r.Float64()-1) - theta*o.X, theta}
			if inRound(set, q) {
				box = append(box, q)
			}
		}
		if len(box) < draws/10 {
			t.Fatalf("case %d: the box holds too little of the set", k)
		}
		poses, _ := sample(s, draws, uint64(k), o)
		for i := range poses {
			if !inRound(set, poses[i]) {
				t.Fatalf("case %d: %+v is not in the set", k, poses[i])
			}
		}
		for i, f := range []func(Pose) float64{
			func(q Pose) float64 { return q.Motion(o).X },
			func(q Pose) float64 { return q.Theta },
			func(q Pose) float64 { return q.Motion(o).X * q.Motion(o).X },
			func(q Pose) float64 { return q.Motion(o).Y * q.Motion(o).Y },
			func(q Pose) float64 { return q.Theta * q.Theta },
			func(q Pose) float64 { return q.Theta * q.Motion(o).X },
			func(q Pose) float64 { return q.Theta * q.Motion(o).Y },
			func(q Pose) float64 { return q.Motion(o).X * q.Motion(o).Y },
		} {
			a, sa := meanAndError(column(poses, f))
			b, sb := meanAndError(column(box, f))
			if math.Abs(a-b) > sigmas*math.Hypot(sa, sb) {
				t.Errorf("case %d, moment %d: places %.6g, box %.6g; off by %.1f standard errors", k, i, a, b, math.Abs(a-b)/math.Hypot(sa, sb))
			}
		}
		reachedBy(t, s, poses, vec(300, 10))
	}
}

func meanAndError(x []float64) (mean, se float64) {
	var square float64
	for _, v := range x {
		mean += v / float64(len(x))
		square += v * v / float64(len(x))
	}
	return mean, math.Sqrt(math.Max(0, square-mean*mean) / float64(len(x)))
}

// A hole without play is a pivot; two of them hold the plate.
func TestRoundSetWithoutPlay(t *testing.T) {
	set := RoundSet{[]geom.Vec{vec(0, 0), vec(300, 0), vec(0, 100)}, []float64{0, 0.06, 0.06}}
	s := mustRound(t, set)
	if want := 0.03 / 300; math.Abs(s.Turn()/want-1) > 1e-12 {
		t.Errorf("turn %g, want %g", s.Turn(), want)
	}
	if got, want := s.Reach(vec(600, 30), acrossV), 0.06; math.Abs(got/want-1) > reachTol {
		t.Errorf("across %g, want %g", got, want)
	}
	poses, _ := sample(s, 1000, 4, geom.Vec{})
	for _, q := range poses {
		if !inRound(set, q) {
			t.Fatalf("%+v is not in the set", q)
		}
	}
	reachedBy(t, s, poses, vec(200, 100))

	set.Clearances[1] = 0
	f, err := set.Float([]geom.Vec{vec(600, 30)})
	if err != nil || f.ThetaMax != 0 || f.At[0] != (Motion{}) {
		t.Errorf("two holes without play: %+v, %v; want no float", f, err)
	}
	if q := mustRound(t, set).Place([3]float64{0.1, 0.9, 0.4}); q != (Pose{}) && q.Theta != 0 {
		t.Errorf("two holes without play: placed at %+v", q)
	}
	// A nearly tight hole is no special case: the float changes little.
	near := RoundSet{set.Holes, []float64{1e-7, 0.06, 0.06}}
	if got := mustRound(t, near).Reach(vec(600, 30), acrossV); math.Abs(got-0.06) > 1e-6 {
		t.Errorf("nearly tight hole: across %g, want 0.06", got)
	}
}

func TestRoundSetRefuses(t *testing.T) {
	var input *InputError
	var base *BaselineError
	thirteen := RoundSet{}
	for i := range 13 {
		thirteen.Holes, thirteen.Clearances = append(thirteen.Holes, vec(float64(i)*20, 0)), append(thirteen.Clearances, 0.1)
	}
	for _, c := range []struct {
		name   string
		set    RoundSet
		target any
	}{
		{"no hole", RoundSet{}, &input},
		{"one hole lets the plate turn", RoundSet{[]geom.Vec{{}}, []float64{0.1}}, &input},
		{"thirteen holes", thirteen, &input},
		{"a clearance missing", RoundSet{[]geom.Vec{{}, vec(9, 0)}, []float64{0.1}}, &input},
		{"two holes in one place", RoundSet{[]geom.Vec{{}, vec(9, 0), vec(9, 0)}, []float64{0.1, 0.1, 0.1}}, &base},
		{"press fit", RoundSet{[]geom.Vec{{}, vec(9, 0)}, []float64{0.1, -0.01}}, &input},
		{"clearance not a number", RoundSet{[]geom.Vec{{}, vec(9, 0)}, []float64{0.1, math.NaN()}}, &input},
		{"clearance without end", RoundSet{[]geom.Vec{{}, vec(9, 0)}, []float64{0.1, math.Inf(1)}}, &input},
		{"hole not a number", RoundSet{[]geom.Vec{{}, vec(math.NaN(), 0)}, []float64{0.1, 0.1}}, &input},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := c.set.Seat(); !errors.As(err, c.target) {
				t.Errorf("Seat: error %v is not a %T", err, c.target)
			}
			if _, err := c.set.Float(nil); !errors.As(err, c.target) {
				t.Errorf("Float: error %v is not a %T", err, c.target)
			}
			nest := Nest{Window: grownWindow(480, 42, 56, 0.1, 0.1), Board: geom.Taper(480, 42, 56).Corners()}
			if _, err := FloatOn(c.set, &nest, nil); !errors.As(err, c.target) {
				t.Errorf("FloatOn: error %v is not a %T", err, c.target)
			}
		})
	}
	good := RoundSet{[]geom.Vec{{}, vec(9, 0)}, []float64{0.1, 0.1}}
	if _, err := good.Float([]geom.Vec{vec(0, math.Inf(1))}); !errors.As(err, &input) {
		t.Errorf("feature at infinity: %v", err)
	}
}
