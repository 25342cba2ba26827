package seat

import (
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/testdata/reference"
)

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// near reports whether got is within half a unit of the last printed digit.
func near(got, want, digit float64) bool { return math.Abs(got-want) <= digit/2*(1+1e-9) }

// same reports whether two motions differ by no more than tol in all.
func same(a, b Motion, tol float64) bool {
	return math.Abs(a.Along-b.Along)+math.Abs(a.Across-b.Across)+math.Abs(a.Worst-b.Worst) <= tol
}

// maker is a PinPair, a RoundSet or a Nest.
type maker interface{ Seat() (Seat, error) }

func must(t interface{ Fatal(...any) }, of maker) Seat {
	s, err := of.Seat()
	if err != nil {
		t.Fatal(err, of)
	}
	return s
}

// floatOf returns the float of a board on seats in series.
func floatOf(t interface{ Fatal(...any) }, at []geom.Vec, of ...maker) Float {
	var seats []Seat
	for _, m := range of {
		seats = append(seats, must(t, m))
	}
	f, err := Series(at, seats...)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range append(f.At, Motion{f.ThetaMax, 0, 0}) {
		for _, x := range []float64{m.Along, m.Across, m.Worst} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
				t.Fatal("float", f, "of", of)
			}
		}
	}
	return f
}

// The two-pin values are the check values of independent linear programmes.
func TestPinPairContract(t *testing.T) {
	p := PinPair{Round: vec(0, 0), Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	f := floatOf(t, []geom.Vec{vec(200, 0), vec(600, 0)}, p)
	for _, c := range []struct {
		name             string
		got, want, digit float64
	}{
		{"theta", f.ThetaMax, 1.0000e-4, 1e-8},
		{"across mid", f.At[0].Across, 0.0200, 1e-4},
		{"across 600", f.At[1].Across, 0.0450, 1e-4},
		{"along", f.At[0].Along, 0.0150, 1e-4},
	} {
		if !near(c.got, c.want, c.digit) {
			t.Errorf("%s = %.6g, want %.6g", c.name, c.got, c.want)
		}
	}
}

// grownWindow is a board's outline moved outward by side at its long sides
// (square to them) and by end at start and far end.
func grownWindow(length, w0, w1, side, end float64) []geom.Vec {
	t := (w1 - w0) / 2 / length
	k := side * math.Hypot(1, t)
	v := func(u float64) float64 { return w0/2 + t*u + k }
	return []geom.Vec{
		vec(-end, -v(-end)), vec(length+end, -v(length+end)), vec(length+end, v(length+end)), vec(-end, v(-end)),
	}
}

// Check values of independent linear programmes.
func TestNestContract(t *testing.T) {
	board := geom.Taper(480, 42, 56).Corners()
	features := []geom.Vec{vec(0, 0), vec(240, 0), vec(480, 0)}
	for _, c := range []struct {
		name                      string
		end, theta, across, along float64
	}{
		{"0.10 at each end", 0.1, 4.2198e-4, 0.10147, 0.1000},
		{"1.0 at each end", 1.0, 4.7656e-4, 0.11459, 1.0000},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := floatOf(t, features, Nest{Window: grownWindow(480, 42, 56, 0.1, c.end), Board: board})
			if !near(f.ThetaMax, c.theta, 1e-8) {
				t.Errorf("theta = %.6g, want %.6g", f.ThetaMax, c.theta)
			}
			for i, m := range f.At {
				if !near(m.Across, c.across, 1e-5) {
					t.Errorf("across at %v = %.7f, want %.5f", features[i], m.Across, c.across)
				}
				if !near(m.Along, c.along, 1e-4) {
					t.Errorf("along at %v = %.6f, want %.4f", features[i], m.Along, c.along)
				}
			}
		})
	}
}

// Rows of twopin_angle_cases.csv (derived; see the file's head). The printed
// angle has nine decimals.
func TestTwoPinAngle(t *testing.T) {
	for _, r := range reference.Rows(t, "twopin_angle_cases.csv") {
		n := func(head string) float64 { return reference.Number(t, r[head]) }
		p := PinPair{Slot: vec(n("L"), 0), RoundClearance: n("D1max") - n("d1min"), SlotClearance: n("D2max") - n("d2min")}
		if turn := must(t, p).Turn(); !near(turn, n("theta_rad"), 1e-9) {
			t.Errorf("%v: theta %.10f", r, turn)
		}
	}
}

// pushedTol is the float that a fully pushed board may be left with by rounding,
// mm: a thousand times planeEps of a 500 mm board.
const pushedTol = 1e-6

// The walls of grownWindow: right side, far end, left side, start end.
func TestPush(t *testing.T) {
	const length, w0, w1, side, end = 480.0, 42.0, 56.0, 0.1, 0.25
	slope := (w1 - w0) / 2 / length
	across := side * math.Hypot(1, slope) // clearance of a long side, across
	n := Nest{Window: grownWindow(length, w0, w1, side, end), Board: geom.Taper(length, w0, w1).Corners()}
	left, right, start := n.WallToward(vec(0, 1)), n.WallToward(vec(0, -1)), n.WallToward(vec(-1, 0))
	if left != 2 || right != 0 || start != 3 {
		t.Fatalf("walls: left %d, right %d, start %d; want 2, 0, 3", left, right, start)
	}
	features := []geom.Vec{vec(0, 0), vec(300, 20)}
	for _, c := range []struct {
		name   string
		push   []Wall
		motion Motion // the same at every feature, since no rotation is left
	}{
		{"left side and start: nothing is left", []Wall{left, start}, Motion{}},
		{"right side and start: nothing is left", []Wall{start, right}, Motion{}},
		{"left side alone: it slides along the wall", []Wall{left}, Motion{end, slope * end, end * math.Hypot(1, slope)}},
		{"start alone: it slides across", []Wall{start}, Motion{0, across - slope*end, across - slope*end}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n.Push = c.push
			f := floatOf(t, features, n)
			if f.ThetaMax > pushedTol/length {
				t.Errorf("theta %g, want none", f.ThetaMax)
			}
			for _, m := range f.At {
				if !same(m, c.motion, pushedTol) {
					t.Errorf("moves %+v, want %+v", m, c.motion)
				}
			}
		})
	}
}

// TestTooSmall: a window too small says by how much; drawn to size, the board goes in
// and does not move; the window may lie where the board was not drawn.
func TestTooSmall(t *testing.T) {
	board := geom.Taper(480, 42, 56).Corners()
	for grow, says := range map[float64]string{-0.2: "every wall must move out by 0.2 mm", -0.01: "by 0.01 mm"} {
		_, err := Nest{Window: grownWindow(480, 42, 56, grow, grow), Board: board}.Seat()
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%g: %v, want %q", grow, err, says)
		}
	}
	f := floatOf(t, []geom.Vec{vec(240, 0)}, Nest{Window: board, Board: board})
	if f.At[0].Worst > pushedTol || f.ThetaMax > pushedTol/480 {
		t.Errorf("drawn to size: %+v", f)
	}
	shifted := grownWindow(480, 42, 56, 0.1, 0.1)
	for i := range shifted {
		shifted[i].X += 0.5
	}
	f = floatOf(t, []geom.Vec{vec(240, 0)}, Nest{Window: shifted, Board: board})
	if !near(f.At[0].Along, 0.6, 1e-6) {
		t.Errorf("shifted window: %+v; want 0.6 along", f)
	}
}

// Cases that can be worked out on paper.
func TestRoundSetByHand(t *testing.T) {
	row := func(n int, pitch, c float64) (s RoundSet) {
		for i := range n {
			s.Holes, s.Clearances = append(s.Holes, vec(pitch*float64(i), 0)), append(s.Clearances, c)
		}
		return s
	}
	square := RoundSet{[]geom.Vec{vec(100, 0), vec(0, 100), vec(-100, 0), vec(0, -100)}, []float64{0.1, 0.1, 0.1, 0.1}}
	triangle := RoundSet{
		[]geom.Vec{geom.Polar(100, 0.3), geom.Polar(100, 0.3+2*math.Pi/3), geom.Polar(100, 0.3+4*math.Pi/3)},
		[]float64{0.1, 0.1, 0.1},
	}
	apart := RoundSet{[]geom.Vec{vec(-100, 0), vec(100, 0), vec(0, 160)}, []float64{0.1, 0.1, 0.03}}
	for _, c := range []struct {
		name string
		set  RoundSet
		turn float64
		at   geom.Vec
		move Motion
	}{
		// The pair of TestPinPairContract, both holes round: across as there, along the tighter.
		{
			"two pins, feature between", RoundSet{[]geom.Vec{{}, vec(400, 0)}, []float64{0.03, 0.05}}, 1e-4, vec(200, 0),
			Motion{0.015, 0.02, 0.02},
		},
		{
			"two pins, feature beyond", RoundSet{[]geom.Vec{{}, vec(400, 0)}, []float64{0.03, 0.05}}, 1e-4, vec(600, 0),
			Motion{0.015, 0.045, 0.045},
		},
		{"a row turns between its ends", row(6, 80, 0.1), 0.1 / 400, vec(200, 0), Motion{0.05, 0.05, 0.05}},
		// A square ring turns about its middle until every pin touches.
		{"square ring", square, 0.05 / 100, geom.Vec{}, Motion{0.05, 0.05, 0.05}},
		{"triangle ring", triangle, 0.05 / 100, geom.Vec{}, Motion{0.05, 0.05, 0.05}},
		// Turning about (0, y): sqrt(100^2 + y^2)/0.05 = (160 - y)/0.015, so
		// (100^2 + y^2) 0.09 = (160 - y)^2.
		{"a tight third hole", apart, 0.015 / (160 - tightThird()), vec(0, 160), Motion{0.015, 0.015, 0.015}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := floatOf(t, []geom.Vec{c.at}, c.set)
			if math.Abs(f.ThetaMax/c.turn-1) > 2*roundTolerance {
				t.Errorf("theta %.10g, want %.10g", f.ThetaMax, c.turn)
			}
			m := f.At[0]
			if !near(m.Along, c.move.Along, 1e-9) || !near(m.Across, c.move.Across, 1e-9) ||
				math.Abs(m.Worst/c.move.Worst-1) > roundWorstTolerance {
				t.Errorf("moves %+v, want %+v", m, c.move)
			}
		})
	}
}

func tightThird() float64 {
	// 0.91 y^2 - 320 y + 25600 - 900 = 0, the root below 160.
	return (320 - math.Sqrt(320*320-4*0.91*24700)) / (2 * 0.91)
}

// A hole without play is a pivot; two of them hold the plate.
func TestRoundSetWithoutPlay(t *testing.T) {
	set := RoundSet{[]geom.Vec{vec(0, 0), vec(300, 0), vec(0, 100)}, []float64{0, 0.06, 0.06}}
	s := must(t, set)
	if turn, across := s.Turn(), s.Reach(vec(600, 30), vec(0, 1)); !near(turn, 0.03/300, 1e-12) ||
		!near(across, 0.06, 1e-9) {
		t.Errorf("turn %g, across %g", turn, across)
	}
	if q := s.Place([3]float64{1, 0.2, 0.3}); q.Motion(vec(0, 0)).Norm() > slackMM ||
		!near(q.Motion(vec(300, 0)).Y, 0.03, 1e-9) {
		t.Errorf("placed at %+v", q)
	}
	set.Clearances[1] = 0
	if f := floatOf(t, []geom.Vec{vec(600, 30)}, set); f.ThetaMax != 0 || f.At[0] != (Motion{}) {
		t.Errorf("two holes without play: %+v; want no float", f)
	}
	// A nearly tight hole is no special case: the float changes little.
	set.Clearances = []float64{1e-7, 0.06, 0.06}
	if got := must(t, set).Reach(vec(600, 30), vec(0, 1)); math.Abs(got-0.06) > 1e-6 {
		t.Errorf("nearly tight hole: across %g, want 0.06", got)
	}
}

func TestRefused(t *testing.T) {
	square := geom.Rect(geom.Box{Max: vec(100, 40)}).Corners
	big := geom.Rect(geom.Box{Min: vec(-1, -1), Max: vec(101, 41)}).Corners
	good := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	two := []geom.Vec{{}, vec(9, 0)}
	for name, of := range map[string]maker{
		"pins in one place":       PinPair{},
		"pins a nanometre apart":  PinPair{Slot: vec(1e-6, 0)},
		"press fit":               PinPair{Slot: good.Slot, RoundClearance: -0.01},
		"clearance not a number":  PinPair{Slot: good.Slot, SlotClearance: math.NaN()},
		"pin at infinity":         PinPair{Round: vec(math.Inf(1), 0), Slot: good.Slot},
		"no window":               Nest{Board: square()},
		"two corners":             Nest{Window: big()[:2], Board: square()},
		"clockwise":               Nest{Window: geom.FromPoints(big()).Reverse().Corners(), Board: square()},
		"dent":                    Nest{Window: append(big(), vec(50, 20)), Board: square()},
		"no area":                 Nest{Window: big(), Board: []geom.Vec{{}, vec(50, 0), vec(100, 0)}},
		"doubled corner":          Nest{Window: big(), Board: append(square(), vec(0, 40))},
		"corner not a number":     Nest{Window: big(), Board: append(square(), vec(0, math.NaN()))},
		"no round hole":           RoundSet{},
		"one round hole":          RoundSet{two[:1], []float64{0.1}},
		"a round clearance short": RoundSet{two, []float64{0.1}},
		"round press fit":         RoundSet{two, []float64{0.1, -0.01}},
		"round hole nowhere":      RoundSet{[]geom.Vec{{}, vec(math.NaN(), 0)}, []float64{0.1, 0.1}},
	} {
		if s, err := of.Seat(); err == nil || s != nil {
			t.Errorf("%s: %v, %v", name, s, err)
		}
	}
	if _, err := Series([]geom.Vec{vec(math.NaN(), 0)}, must(t, good)); err == nil {
		t.Error("a feature nowhere")
	}
}
