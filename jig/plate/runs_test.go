package plate

import (
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

func TestRunsByHand(t *testing.T) {
	for _, tc := range []struct {
		name  string
		sizes []geom.Vec
		runs  []int
		at    []geom.Vec
	}{
		{"one, in the middle", []geom.Vec{{X: 100, Y: 60}}, []int{1}, []geom.Vec{{X: 50, Y: 70}}},
		{"two above each other", []geom.Vec{{X: 150, Y: 80}, {X: 150, Y: 80}}, []int{1, 1},
			[]geom.Vec{{X: 25, Y: 17.5}, {X: 25, Y: 102.5}}},
		{"two side by side", []geom.Vec{{X: 90, Y: 150}, {X: 95, Y: 150}}, []int{1, 1},
			[]geom.Vec{{X: 5, Y: 25}, {X: 100, Y: 25}}},
		{"the third on a new bed", []geom.Vec{{X: 150, Y: 80}, {X: 150, Y: 80}, {X: 150, Y: 80}}, []int{1, 1, 2},
			[]geom.Vec{{X: 25, Y: 17.5}, {X: 25, Y: 102.5}, {X: 25, Y: 60}}},
		{"too large for any bed", []geom.Vec{{X: 210, Y: 80}, {X: 20, Y: 20}}, []int{1, 1},
			[]geom.Vec{{X: -5, Y: 47.5}, {X: -5, Y: 132.5}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			run, at := Runs(tc.sizes, 200, 200)
			for i := range tc.sizes {
				if run[i] != tc.runs[i] || at[i].Dist(tc.at[i]) > 1e-9 {
					t.Errorf("part %d: run %d at %v, want %d at %v", i, run[i], at[i], tc.runs[i], tc.at[i])
				}
			}
		})
	}
}

// TestRunsFit: parts that fit the bed one by one lie on it, apart, whatever their sizes.
func TestRunsFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bedX, bedY := rapid.Float64Range(50, 400).Draw(t, "x"), rapid.Float64Range(50, 400).Draw(t, "y")
		sizes := make([]geom.Vec, rapid.IntRange(1, 12).Draw(t, "n"))
		for i := range sizes {
			sizes[i] = geom.Vec{X: rapid.Float64Range(5, bedX).Draw(t, "w"), Y: rapid.Float64Range(5, bedY).Draw(t, "h")}
		}
		run, at := Runs(sizes, bedX, bedY)
		for i, p := range at {
			q := p.Add(sizes[i])
			if p.X < -1e-9 || p.Y < -1e-9 || q.X > bedX+1e-9 || q.Y > bedY+1e-9 {
				t.Fatalf("part %d from %v to %v on a bed of %.1f x %.1f", i, p, q, bedX, bedY)
			}
			if i > 0 && run[i] != run[i-1] && run[i] != run[i-1]+1 || i == 0 && run[i] != 1 {
				t.Fatalf("runs %v", run)
			}
			for k := range i {
				o := at[k].Add(sizes[k])
				clear := o.X+apartMM <= p.X+1e-9 || q.X+apartMM <= at[k].X+1e-9 ||
					o.Y+apartMM <= p.Y+1e-9 || q.Y+apartMM <= at[k].Y+1e-9
				if run[k] == run[i] && !clear {
					t.Fatalf("parts %d and %d meet in run %d", k, i, run[i])
				}
			}
		}
	})
}
