package stroke_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// rounding, in mm, is what a few additions of lengths up to metres may lose.
const rounding = 1e-9

func TestTextOfOneStroke(t *testing.T) {
	// By hand: an L of 5 mm is a stem, a corner and a foot of 0.48 x 5 = 2.4 mm;
	// its box begins 0.19 x 5 = 0.95 mm before the stem and ends 0.65 mm behind
	// the foot.
	got, width, err := stroke.Text("l", 5)
	if err != nil {
		t.Fatal(err)
	}
	want := [][]geom.Vec{{{X: 0.95, Y: 5}, {X: 0.95, Y: 0}, {X: 3.35, Y: 0}}}
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(0, rounding)); d != "" {
		t.Error(d)
	}
	if math.Abs(width-4) > rounding {
		t.Errorf("width %g mm, want 4", width)
	}
	if l := stroke.Length(got); math.Abs(l-7.4) > rounding {
		t.Errorf("length %g mm, want 5 + 2.4", l)
	}
}

func TestTextWithoutStrokes(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		width      float64
	}{
		{"nothing", "", 0},
		{"two spaces of half the height", "  ", 6},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, width, err := stroke.Text(tc.text, 6)
			if err != nil || got != nil || math.Abs(width-tc.width) > rounding {
				t.Errorf("%v, %g, %v", got, width, err)
			}
			if b := stroke.Bounds(got); b != geom.EmptyBox() {
				t.Errorf("bounds %v of nothing", b)
			}
		})
	}
}

func TestTextErrors(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		height     float64
		want       string
	}{
		{
			"every unknown rune is told with its place", "Birne Ä ß", 5,
			"stroke: no letter for 'Ä' (character 7), 'ß' (character 9); there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓",
		},
		{
			"a text in another script is cut short", "абвгдежз", 5,
			"stroke: no letter for 'а' (character 1), 'б' (character 2), 'в' (character 3), 'г' (character 4), 'д' (character 5) and 3 more; there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓",
		},
		{"a new line is no letter", "A\nB", 5, `stroke: no letter for '\n' (character 2); there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓`},
		{"broken UTF-8", "A\xff", 5, `stroke: no letter for '�' (character 2); there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓`},
		{"no height", "A", 0, "stroke: letter height is 0 mm; want 1 to 500 mm"},
		{"negative", "A", -5, "stroke: letter height is -5 mm; want 1 to 500 mm"},
		{"not a number", "A", math.NaN(), "stroke: letter height is NaN mm; want 1 to 500 mm"},
		{"endless", "A", math.Inf(1), "stroke: letter height is +Inf mm; want 1 to 500 mm"},
		{"a page", strings.Repeat("A", 1001), 5, "stroke: text of 1001 characters; want at most 1000"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, width, err := stroke.Text(tc.text, tc.height)
			if err == nil || got != nil || width != 0 {
				t.Fatalf("%v, %g, %v", got, width, err)
			}
			if d := cmp.Diff(tc.want, err.Error()); d != "" {
				t.Error(d)
			}
		})
	}
	_, _, err := stroke.Text("A?", 5)
	var unknown *stroke.UnknownError
	if !errors.As(err, &unknown) || unknown.Runes[0] != (stroke.Unknown{Rune: '?', Place: 2}) {
		t.Errorf("%#v", err)
	}
	var height *stroke.HeightError
	if _, _, err := stroke.Text("A", 501); !errors.As(err, &height) || height.GotMM != 501 {
		t.Errorf("%#v", err)
	}
}

func letters() *rapid.Generator[string] {
	return rapid.StringOfN(rapid.RuneFrom([]rune(stroke.Letters+"abcdefghijklmnopqrstuvwxyz")), 0, 20, -1)
}

func TestTextProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := letters().Draw(t, "a"), letters().Draw(t, "b")
		h := rapid.Float64Range(stroke.LeastHeightMM, stroke.MostHeightMM/4).Draw(t, "h")
		sa, wa := set(t, a, h)
		sb, wb := set(t, b, h)
		both, w := set(t, a+b, h)
		near := cmpopts.EquateApprox(1e-12, rounding)

		joined := append(append([][]geom.Vec{}, sa...), stroke.Place(sb, geom.Rigid{Shift: geom.Vec{X: wa}})...)
		if d := cmp.Diff(joined, both, near, cmpopts.EquateEmpty()); d != "" {
			t.Errorf("two texts side by side are not the joined text: %s", d)
		}
		if math.Abs(w-wa-wb) > rounding {
			t.Errorf("widths %g and %g make %g", wa, wb, w)
		}
		large, wl := set(t, a, 4*h)
		for _, s := range large {
			for i := range s {
				s[i] = s[i].Scale(0.25)
			}
		}
		if d := cmp.Diff(sa, large, near); d != "" || math.Abs(wl-4*wa) > rounding {
			t.Errorf("four times the height is not four times the text: %s", d)
		}
		if small, ws := set(t, strings.ToLower(a), h); ws != wa || !cmp.Equal(small, sa) {
			t.Errorf("%q is not written as capitals", a)
		}
		box := geom.Box{Max: geom.Vec{X: wa, Y: h}}.Grow(rounding)
		for _, s := range sa {
			for i, p := range s {
				if !box.Contains(p) {
					t.Errorf("%v outside %v", p, box)
				}
				if i > 0 && p.Dist(s[i-1]) < 0.02 {
					t.Errorf("piece of %g mm", p.Dist(s[i-1]))
				}
			}
		}
	})
}

func set(t *rapid.T, s string, h float64) ([][]geom.Vec, float64) {
	strokes, width, err := stroke.Text(s, h)
	if err != nil {
		t.Fatal(err)
	}
	return strokes, width
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"", "START →", "p1 / 6.05", "ä", "\xff\xfe", "\x00"} {
		f.Add(s, 5.0)
	}
	f.Fuzz(func(t *testing.T, s string, h float64) {
		strokes, width, err := stroke.Text(s, h)
		if err != nil {
			if strokes != nil || width != 0 {
				t.Errorf("strokes beside the error %v", err)
			}
			return
		}
		if b := stroke.Bounds(strokes); strokes != nil && !(b.Min.X >= 0 && b.Max.X <= width && b.Min.Y >= -rounding && b.Max.Y <= h*(1+rounding)) {
			t.Errorf("%v outside 0..%g, 0..%g", b, width, h)
		}
	})
}

func TestPlaceKeepsTheGivenStrokes(t *testing.T) {
	s, _, err := stroke.Text("L", 10)
	if err != nil {
		t.Fatal(err)
	}
	// A quarter turn left about the origin, then 100 along: (x, y) -> (100 - y, x).
	turned := stroke.Place(s, geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: 100}})
	want := [][]geom.Vec{{{X: 90, Y: 1.9}, {X: 100, Y: 1.9}, {X: 100, Y: 6.7}}}
	if d := cmp.Diff(want, turned, cmpopts.EquateApprox(0, rounding)); d != "" {
		t.Error(d)
	}
	if s[0][0].Y != 10 {
		t.Errorf("the given strokes were moved: %v", s)
	}
}
