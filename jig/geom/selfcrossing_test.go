package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestCrossing(t *testing.T) {
	round := RoundCorners(Rect(Box{Vec{}, Vec{30, 20}}), 4)
	for _, tc := range []struct {
		name string
		l    Loop
		want bool
	}{
		{"rectangle", Rect(Box{Vec{}, Vec{30, 20}}), false},
		{"rounded rectangle", round, false},
		{"circle of two arcs", Slot(Vec{}, 0, 0, 10), false},
		{"figure of eight", FromPoints([]Vec{{0, 0}, {30, 20}, {30, 0}, {0, 20}}), true},
		{"there and back", FromPoints([]Vec{{0, 0}, {30, 0}, {15, 0}, {15, 10}}), true},
		{"corner on an edge", FromPoints([]Vec{{0, 0}, {30, 0}, {30, 20}, {15, 0}, {0, 20}}), true},
		{"arc through the opposite edge", Loop{{Vec{0, 0}, 0}, {Vec{30, 0}, 0}, {Vec{30, 10}, -1}, {Vec{0, 10}, 0}}, true},
		{"arc that touches the opposite edge", Loop{{Vec{0, 0}, 0}, {Vec{30, 0}, 0}, {Vec{30, 15}, -1}, {Vec{0, 15}, 0}}, true},
		{"arc that stays off it", Loop{{Vec{0, 0}, 0}, {Vec{30, 0}, 0}, {Vec{30, 16}, -1}, {Vec{0, 16}, 0}}, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if i, k, at, got := tc.l.Crossing(); got != tc.want {
				t.Errorf("got %v (edges %d and %d at %v), want %v", got, i, k, at, tc.want)
			}
		})
	}
}

func TestThroughArc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Arc{C: Vec{3, -2}, R: rapid.Float64Range(1, 500).Draw(t, "r"),
			Start: rapid.Float64Range(-3, 3).Draw(t, "start"), Sweep: rapid.Float64Range(0.3, 6).Draw(t, "sweep")}
		if rapid.Bool().Draw(t, "clockwise") {
			a.Sweep = -a.Sweep
		}
		b, ok := ThroughArc(a.At(0), a.At(rapid.Float64Range(0.1, 0.9).Draw(t, "part")), a.At(1))
		if want := math.Tan(a.Sweep / 4); !ok || math.Abs(b-want) > 1e-6*math.Max(1, want*want) {
			t.Fatalf("%v: bulge %g, want %g", a, b, want)
		}
	})
	if _, ok := ThroughArc(Vec{}, Vec{5, 0}, Vec{10, 0}); ok {
		t.Error("three places on a line are no arc")
	}
}
