package setup

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestBowFall: by hand, a board 400 long bowed by 0.8.
func TestBowFall(t *testing.T) {
	for _, tc := range []struct {
		name     string
		sagitta  float64
		face     Face
		u, fall  float64
		zero     string
		says, no string
	}{
		{"middle up, at its middle", 0.8, Top, 200, 0, "middle", "shims", "pressed flat"},
		{"at a quarter", 0.8, Top, 100, 0.2, "middle", "its middle up", "ends up"},
		{"at an end", 0.8, Top, 400, 0.8, "middle", "0.8", "ends up"},
		{"ends up, at its middle", -0.8, Top, 200, 0.8, "start end", "its ends up", "middle up"},
		{"ends up, at a quarter", -0.8, Top, 300, 0.6, "start end", "shims", "middle up"},
		{"turned over, at an end", 0.8, Under, 0, 0, "start end", "its ends up", "middle up"},
		{"turned over, at its middle", 0.8, Under, 200, 0.8, "start end", "its ends up", "middle up"},
		{"beyond its end", 0.8, Top, 401, 0.8, "middle", "shims", "ends up"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := Bow{SagittaMM: tc.sagitta, LengthMM: 400}
			if got := b.KeptMM(tc.face, tc.u); math.Abs(got-tc.fall) > 1e-12 || b.FallMM(tc.face, tc.u) != got {
				t.Errorf("falls %.4f, by hand %.4f", got, tc.fall)
			}
			if got := b.Highest(tc.face); got != tc.zero {
				t.Errorf("Z0 at its %s, want %s", got, tc.zero)
			}
			if got := b.Laid(tc.face); !strings.Contains(got, tc.says) || strings.Contains(got, tc.no) ||
				strings.Contains(b.Describe(tc.face), tc.no) {
				t.Errorf("says %q", got)
			}
		})
	}
	small := Bow{SagittaMM: -PressedMM, LengthMM: 400}
	if small.KeptMM(Top, 200) != 0 || !strings.Contains(small.Laid(Top), "pressed flat") {
		t.Errorf("a small bow: %.3f, %q", small.KeptMM(Top, 200), small.Laid(Top))
	}
	if got := (Bow{LengthMM: 400}).Laid(Top); got != ". Press it down." {
		t.Errorf("a flat board: %q", got)
	}
}

// TestBowIsAnArc: a shallow bow's parabola is the arc of a circle through the same three
// points, to a hundredth of a millimetre; no place lies above Z0.
func TestBowIsAnArc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(150, 900).Draw(t, "length")
		s := rapid.Float64Range(0.21, 3).Draw(t, "sagitta")
		u := rapid.Float64Range(0, l).Draw(t, "u")
		r := (l*l/4 + s*s) / (2 * s)
		arc := r - math.Sqrt(r*r-(u-l/2)*(u-l/2)) // below the middle
		up, down := Bow{s, l}, Bow{-s, l}
		if got := up.KeptMM(Top, u); math.Abs(got-arc) > 0.01 || got < 0 {
			t.Fatalf("falls %.4f, the arc %.4f", got, arc)
		}
		if got := down.KeptMM(Top, u); math.Abs(got-(s-arc)) > 0.01 || got < 0 || got != up.KeptMM(Under, u) {
			t.Fatalf("ends up: %.4f, the arc %.4f", got, s-arc)
		}
	})
}
