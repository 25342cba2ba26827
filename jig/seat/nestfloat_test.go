package seat

import (
	"errors"
	"math"
	"testing"

	"reseat/jig/geom"
)

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
		rest   Pose
		motion Motion // the same at every feature, since no rotation is left
	}{
		// Moving along by du lets a board on the left wall follow it by slope du.
		{"left side and start: nothing is left", []Wall{left, start}, Pose{-end, across - slope*end, 0}, Motion{}},
		{"right side and start: nothing is left", []Wall{start, right}, Pose{-end, -across + slope*end, 0}, Motion{}},
		{"left side alone: it slides along the wall", []Wall{left}, Pose{0, across, 0}, Motion{end, slope * end, end * math.Hypot(1, slope)}},
		{"start alone: it slides across", []Wall{start}, Pose{-end, 0, 0}, Motion{0, across - slope*end, across - slope*end}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n.Push = c.push
			f, err := n.Float(features)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Hypot(f.Rest.DU-c.rest.DU, f.Rest.DV-c.rest.DV); d > pushedTol || math.Abs(f.Rest.Theta) > pushedTol/length {
				t.Errorf("rests at %+v, want %+v", f.Rest, c.rest)
			}
			if f.ThetaMax > pushedTol/length {
				t.Errorf("theta %g, want none", f.ThetaMax)
			}
			for _, m := range f.At {
				if math.Abs(m.Along-c.motion.Along)+math.Abs(m.Across-c.motion.Across)+math.Abs(m.Worst-c.motion.Worst) > pushedTol {
					t.Errorf("moves %+v, want %+v", m, c.motion)
				}
			}
		})
	}
}

// A board whose taper differs from the window's cannot lie flush: pushed left, it
// still touches with two corners or rocks on one, and the float stays finite and
// below the free one.
func TestPushOfAnotherTaper(t *testing.T) {
	n := Nest{Window: grownWindow(480, 42, 56, 0.3, 0.2), Board: geom.Taper(480, 42.2, 55.9).Corners()}
	free, err := n.Float([]geom.Vec{vec(240, 0)})
	if err != nil {
		t.Fatal(err)
	}
	n.Push = []Wall{2, 3}
	f, err := n.Float([]geom.Vec{vec(240, 0)})
	if err != nil {
		t.Fatal(err)
	}
	if f.At[0].Worst > free.At[0].Worst || f.ThetaMax > free.ThetaMax {
		t.Errorf("pushed %+v, free %+v", f, free)
	}
	// Flush on the left side: the board's left edge has the slope of the window's.
	// Board edges are 0.15/480 less steep each side, so it turns by that.
	want := (7.0 - 6.85) / 480
	if math.Abs(f.Rest.Theta-want) > 1e-7 {
		t.Errorf("rests at theta %.6g, want %.6g", f.Rest.Theta, want)
	}
}

func TestNestShortfall(t *testing.T) {
	board := geom.Taper(480, 42, 56).Corners()
	for _, c := range []struct {
		name     string
		grow     float64
		shortfal float64 // 0: goes in
	}{
		{"0.2 too small on every side", -0.2, 0.2},
		{"a hundredth too small", -0.01, 0.01},
		{"drawn to size", 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Nest{Window: grownWindow(480, 42, 56, c.grow, c.grow), Board: board}.Float([]geom.Vec{vec(240, 0)})
			var w *WindowError
			if c.shortfal == 0 {
				if err != nil || f.At[0].Worst > pushedTol || f.ThetaMax > pushedTol/480 {
					t.Errorf("float %+v, error %v; want none of either", f, err)
				}
				return
			}
			if !errors.As(err, &w) {
				t.Fatalf("error %v, want a *WindowError", err)
			}
			if math.Abs(w.ShortMM-c.shortfal) > 2*shortfallTolMM {
				t.Errorf("short by %.6f, want %.6f", w.ShortMM, c.shortfal)
			}
		})
	}
	// The board goes in, but not where it was drawn: still a float, not an error.
	shifted := grownWindow(480, 42, 56, 0.1, 0.1)
	for i := range shifted {
		shifted[i].X += 0.5
	}
	f, err := Nest{Window: shifted, Board: board}.Float([]geom.Vec{vec(240, 0)})
	if err != nil || !near(f.At[0].Along, 0.6, 1e-6) {
		t.Errorf("shifted window: %+v, %v; want 0.6 along", f, err)
	}
}

func TestNestRefuses(t *testing.T) {
	square := func() []geom.Vec { return geom.Rect(geom.Box{Max: vec(100, 40)}).Corners() }
	big := func() []geom.Vec { return geom.Rect(geom.Box{Min: vec(-1, -1), Max: vec(101, 41)}).Corners() }
	var outline *OutlineError
	var input *InputError
	for _, c := range []struct {
		name   string
		nest   Nest
		target any
	}{
		{"no window", Nest{Board: square()}, &outline},
		{"two corners", Nest{Window: big()[:2], Board: square()}, &outline},
		{"clockwise", Nest{Window: geom.FromPoints(big()).Reverse().Corners(), Board: square()}, &outline},
		{"dent", Nest{Window: append(big(), vec(50, 20)), Board: square()}, &outline},
		{"no area", Nest{Window: big(), Board: []geom.Vec{{}, vec(50, 0), vec(100, 0)}}, &outline},
		{"doubled corner", Nest{Window: big(), Board: append(square(), vec(0, 40))}, &outline},
		{"not a number", Nest{Window: big(), Board: append(square(), vec(0, math.NaN()))}, &outline},
		{"no such wall", Nest{Window: big(), Board: square(), Push: []Wall{4}}, &input},
		{"wall not found", Nest{Window: big(), Board: square(), Push: []Wall{-1}}, &input},
		{"pushed both ways", Nest{Window: big(), Board: square(), Push: []Wall{0, 2}}, &outline},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := c.nest.Float(nil); !errors.As(err, c.target) {
				t.Errorf("error %v is not a %T", err, c.target)
			}
		})
	}
}

// A rounded board in a rounded window has many near-degenerate walls. It can only
// move more than the sharp board in the sharp window loses, and the arcs' chord
// error must not show: two very different chord counts agree.
func TestRoundedCorners(t *testing.T) {
	at := []geom.Vec{vec(0, 0), vec(240, 10)}
	var last Float
	for i, chord := range []float64{1e-3, 1e-4} {
		board := geom.RoundCorners(geom.Taper(480, 42, 56), 3)
		n := Nest{Window: board.Offset(0.1).Flatten(chord), Board: board.Flatten(chord)}
		f, err := n.Float(at)
		if err != nil {
			t.Fatal(err)
		}
		if i > 0 {
			// Window chords cut into the clearance by at most the coarser chord error.
			if d := math.Abs(f.At[1].Worst - last.At[1].Worst); d > 2e-3 {
				t.Errorf("worst %.6f with chords of 1e-4, %.6f with 1e-3", f.At[1].Worst, last.At[1].Worst)
			}
		}
		last = f
	}
	sharp, err := Nest{Window: grownWindow(480, 42, 56, 0.1, 0.1), Board: geom.Taper(480, 42, 56).Corners()}.Float(at)
	if err != nil {
		t.Fatal(err)
	}
	if last.ThetaMax < sharp.ThetaMax*0.9 || last.ThetaMax > sharp.ThetaMax*1.2 {
		t.Errorf("theta %g rounded, %g sharp", last.ThetaMax, sharp.ThetaMax)
	}
}
