package sheet

import (
	"math"
	"sort"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// near is the tolerance for coordinates that went through a few sums: far below
// anything that can be drawn.
var near = cmpopts.EquateApprox(0, 1e-9)

// A board 478 long and 41.5 to 55 wide, window 0.10 larger on every side. A wall 0.1 off a side that leans by
// 6.75 over 478 meets the ends 0.0986 and 0.1014 off, worked by hand.
func TestWallsAreMeasuredPastReliefs(t *testing.T) {
	for _, relief := range []float64{0, 1.6} {
		board := taper(478, 41.5, 55, 0)
		l := geom.Relieve(board.Offset(0.1), relief)
		for _, l := range []geom.Loop{l, l.Reverse()} {
			w, ok := findWalls(l)
			if !ok {
				t.Fatal("no walls")
			}
			slope := 6.75 / 478
			off := 0.1*math.Hypot(1, slope) - 0.1*slope
			want := []float64{478.2, 41.5 + 2*off, 55 + 2*(0.1*math.Hypot(1, slope)+0.1*slope)}
			if diff := cmp.Diff(want, []float64{w.length(), w.startLeft.Y - w.startRight.Y, w.farLeft.Y - w.farRight.Y},
				near); diff != "" {
				t.Errorf("relief %v: %s", relief, diff)
			}
		}
	}
	if _, ok := findWalls(geom.Slot(v(0, 0), 0, 0, 10)); ok {
		t.Error("walls found on a circle")
	}
}

func TestDimensionsSayWhatMatters(t *testing.T) {
	got := map[string]bool{}
	for _, it := range items(drawn(t, "bouzouki")) {
		if x, ok := it.(picture.Text); ok {
			got[x.S] = true
		}
	}
	for _, want := range []string{"526", "103", "478.2", "41.7", "55.2", "502", "24", "6", "18"} {
		if !got[want] {
			t.Errorf("dimension %s is missing", want)
		}
	}
}

func TestRowStacks(t *testing.T) {
	f := &figure{}
	row{above, 0}.draw(f, []dim{
		{v(0, 0), v(100, 0), "100"},
		{v(10, 0), v(90, 0), "80"},
		{v(90, 0), v(100, 0), "10"},
		{v(50, 0), v(52, 0), "2"},
	})
	if bad := faults(f.Items, f.Ink(), false); len(bad) > 0 {
		t.Error(bad)
	}
	at := map[string]geom.Vec{}
	for _, it := range f.Items {
		if x, ok := it.(picture.Text); ok {
			at[x.S] = x.At
		}
	}
	// Short ones stand nearest; neighbours that share an end share a level.
	if !(at["2"].Y < at["80"].Y && at["10"].Y < at["80"].Y && at["80"].Y < at["100"].Y) {
		t.Errorf("levels %v", at)
	}
	// Too narrow for its text: the text stands beside it.
	if at["2"].X < 52 {
		t.Errorf("text of 2 at %v, want outside", at["2"])
	}
}

func TestCheckBarsAreExact(t *testing.T) {
	f := checkBars()
	var xs, ys []float64
	for _, it := range f.Items {
		s, ok := it.(picture.Stroke)
		if !ok || len(s.Path) != 2 {
			continue
		}
		d := s.Path[1].Sub(s.Path[0].Vec)
		if d.Norm() > 50 {
			continue // the bar itself
		}
		if d.X == 0 {
			xs = append(xs, s.Path[0].X)
		} else {
			ys = append(ys, s.Path[0].Y)
		}
	}
	sort.Float64s(xs)
	sort.Float64s(ys)
	if len(xs) != 11 || len(ys) != 11 {
		t.Fatalf("%d and %d graduations, want 11 each", len(xs), len(ys))
	}
	if diff := cmp.Diff([]float64{100, 100}, []float64{xs[10] - xs[0], ys[10] - ys[0]}, near); diff != "" {
		t.Error(diff)
	}
}

func TestMachineAxes(t *testing.T) {
	// Long axis y gives u -> +Y and v -> -X; x gives u -> +X, v -> +Y.
	for name, want := range map[string][]string{
		"bouzouki": {"u = machine Y", "v", "machine X"},
		"printed":  {"u = machine X", "v = machine Y"},
	} {
		l := drawn(t, name)
		at := map[string]geom.Vec{}
		for _, it := range l[0].Items {
			if x, ok := it.(picture.Text); ok && x.Height == block.Small {
				at[x.S] = x.At
			}
		}
		for _, w := range want {
			if _, ok := at[w]; !ok {
				t.Errorf("%s: axis %q is missing", name, w)
			}
		}
		if name == "bouzouki" && at["machine X"].Y > at["v"].Y {
			t.Error("machine X must point against v")
		}
	}
}
