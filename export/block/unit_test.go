package block

import (
	"math"
	"slices"
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

func v(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

func TestWrapKeepsWidthAndWords(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := picture.Plain(rapid.String().Draw(r, "text"))
		w := rapid.Float64Range(15, 200).Draw(r, "width")
		got := picture.Wrap(s, Small, w)
		for _, l := range got {
			if picture.TextWidth(l, Small) > w {
				r.Errorf("line %q is wider than %v", l, w)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if all := squeeze(strings.Join(got, "")); all != squeeze(s) {
			r.Errorf("text changed: %q", all)
		}
	})
	if got := picture.Wrap("board-enters-window", Small, 25); !slices.Equal(got, []string{"board-enters-", "window"}) {
		t.Errorf("an identifier is broken inside a word: %q", got)
	}
	if got := picture.Wrap("in 99.9 % of 20 mm.", Small, 14); !slices.Equal(got, []string{"in", "99.9 %", "of", "20 mm."}) {
		t.Errorf("units leave their figures: %q", got)
	}
}

// A square of side 10 cut by lines 2 apart at 45 degrees holds 50 mm of line
// for every 100 mm2: area over spacing, up to one spacing at the rim.
func TestHatchDensity(t *testing.T) {
	for _, angle := range []float64{HatchRising, HatchFalling} {
		f := &Figure{}
		f.Hatch(angle, 0.1, v(0, 0), v(10, 0), v(10, 10), v(0, 10))
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
	open := cmp.AllowUnexported(Span{})
	if diff := cmp.Diff([]Span{{-20, 20}}, Spans(geom.Taper(100, 30, 50), 50), open, near); diff != "" {
		t.Error(diff)
	}
	got := Subtract([]Span{{0, 10}}, Span{2, 3}, Span{9, 12}, Span{-1, 0.5})
	if diff := cmp.Diff([]Span{{0.5, 2}, {3, 9}}, got, open, near); diff != "" {
		t.Error(diff)
	}
}

// The oracle asks points along the line one by one.
func TestRangesAgainstPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		at := func(name string) geom.Vec {
			eighths := rapid.IntRange(-240, 240) // a line is no shorter than that, or a point
			return v(float64(eighths.Draw(r, name+" x"))/8, float64(eighths.Draw(r, name+" y"))/8)
		}
		p, q, c, radius := at("p"), at("q"), at("centre"), rapid.Float64Range(0.5, 20).Draw(r, "radius")
		box := geom.EmptyBox().Include(at("corner")).Include(at("other corner"))
		const n = 200
		for k := 0; k <= n; k++ {
			s := float64(k) / n
			x := p.Lerp(q, s)
			const rim = 1e-6 // at the very rim rounding decides
			got := chord(c, radius, p, q)
			in := s >= got.Lo && s <= got.Hi
			if math.Abs(x.Dist(c)-radius) > rim && p != q && in != (x.Dist(c) < radius) {
				r.Fatalf("the circle holds %v of the line; the point at %v: %v off its centre", got, s, x.Dist(c))
			}
			got = ClipSegment(box, p, q)
			in, out := s > got.Lo+rim && s < got.Hi-rim, s < got.Lo-rim || s > got.Hi+rim
			if in && !box.Grow(rim).Contains(x) || out && box.Grow(-rim).Contains(x) {
				r.Fatalf("the box holds %v of the line; the point at %v: %v", got, s, x)
			}
		}
	})
}
