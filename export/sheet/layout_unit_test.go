package sheet

import (
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// near is the tolerance for coordinates that went through a few sums: far below
// anything that can be drawn.
var near = cmpopts.EquateApprox(0, 1e-9)

func TestWrapKeepsWidthAndWords(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := picture.Plain(rapid.String().Draw(r, "text"))
		w := rapid.Float64Range(15, 200).Draw(r, "width")
		got := picture.Wrap(s, small, w)
		for _, l := range got {
			if picture.TextWidth(l, small) > w {
				r.Errorf("line %q is wider than %v", l, w)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if all := squeeze(strings.Join(got, "")); all != squeeze(s) {
			r.Errorf("text changed: %q", all)
		}
	})
	if got := picture.Wrap("in 99.9 % of 20 mm.", small, 14); !slices.Equal(got, []string{"in", "99.9 %", "of", "20 mm."}) {
		t.Errorf("units leave their figures: %q", got)
	}
}

// Each A size is the one before cut in half, rounded down, and A0 is a square
// metre with sides as 1 to the root of 2 (ISO 216).
func TestStandardSizesAreThoseOfISO216(t *testing.T) {
	w, h := math.Round(1000*math.Pow(2, 0.25)), math.Round(1000*math.Pow(2, -0.25))
	byName := map[string]size{}
	for _, s := range standardSizes {
		byName[s.name] = s
	}
	long := map[string]float64{}
	for _, name := range []string{"A0", "A1", "A2", "A3", "A4"} {
		if got := byName[name]; got.w != w || got.h != h {
			t.Errorf("%s is %v x %v, want %v x %v", name, got.w, got.h, w, h)
		}
		long[strings.TrimPrefix(name, "A")] = w
		w, h = h, math.Floor(w/2)
	}
	for _, s := range standardSizes {
		of, to, ok := strings.Cut(strings.TrimPrefix(s.name, "A"), ".")
		if ok && (s.w != long[to] || s.h != byName["A"+of].h) {
			t.Errorf("%s is %v x %v", s.name, s.w, s.h)
		}
	}
}

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
	l := drawn(t, "bouzouki")
	got := map[string]bool{}
	for _, it := range l.Items {
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
	if bad := faults(f.Items, f.ink(), false); len(bad) > 0 {
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

// A square of side 10 cut by lines 2 apart at 45 degrees holds 50 mm of line
// for every 100 mm2: area over spacing, up to one spacing at the rim.
func TestHatchDensity(t *testing.T) {
	for _, angle := range []float64{hatchRising, hatchFalling} {
		f := &figure{}
		f.hatch(angle, 0.1, v(0, 0), v(10, 0), v(10, 10), v(0, 10))
		var sum float64
		for _, it := range f.Items {
			sum += it.(picture.Stroke).Path[0].Dist(it.(picture.Stroke).Path[1].Vec)
		}
		if math.Abs(sum-1000) > 10 {
			t.Errorf("angle %v: %v mm of line, want 1000", angle, sum)
		}
	}
}

func TestSpansAndWithout(t *testing.T) {
	open := cmp.AllowUnexported(span{})
	if diff := cmp.Diff([]span{{-20, 20}}, spans(taper(100, 30, 50, 0), 50), open, near); diff != "" {
		t.Error(diff)
	}
	got := without([]span{{0, 10}}, span{2, 3}, span{9, 12}, span{-1, 0.5})
	if diff := cmp.Diff([]span{{0.5, 2}, {3, 9}}, got, open, near); diff != "" {
		t.Error(diff)
	}
}

func TestMachineAxes(t *testing.T) {
	// Long axis y gives u -> +Y and v -> -X; x gives u -> +X, v -> +Y.
	for name, want := range map[string][]string{
		"bouzouki": {"u = machine Y, to the far end", "v", "machine X"},
		"printed":  {"u = machine X, to the far end", "v = machine Y"},
	} {
		l := drawn(t, name)
		at := map[string]geom.Vec{}
		for _, it := range l.Items {
			if x, ok := it.(picture.Text); ok && x.Height == middle { // the table has a column v in small letters
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
