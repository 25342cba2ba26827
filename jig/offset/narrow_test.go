package offset

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// Where a region that shrinks or grows falls apart, or its outside does, the width there is
// that of a narrow place.
func TestNarrowsAgainstParting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := star(t)
		sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side")
		contours := func(r float64) int { return len(Grow([]geom.Loop{l}, sign*r, Round)) }
		lo, hi := 1e-3, 1e-3
		for hi < 4 && contours(hi) == 1 {
			lo, hi = hi, hi+0.05
		}
		if hi >= 4 || lo == hi {
			return
		}
		for hi-lo > 1e-6 {
			if m := (lo + hi) / 2; contours(m) == 1 {
				lo = m
			} else {
				hi = m
			}
		}
		if contours(hi) == 0 {
			return // shrunk to nothing
		}
		found := passes([]geom.Loop{l}, 2*hi+0.01)
		for _, n := range found {
			if n.Inside == (sign < 0) && math.Abs(n.Width()-2*hi) < 1e-5 {
				return
			}
		}
		t.Fatalf("%v parts at %v: %v", l, sign*hi, found)
	})
}

func TestNarrows(t *testing.T) {
	box := func(x1, y1, x2, y2 float64) geom.Loop {
		return geom.Rect(geom.Box{Min: geom.Vec{X: x1, Y: y1}, Max: geom.Vec{X: x2, Y: y2}})
	}
	slot := geom.Slot(geom.Vec{X: 20, Y: 10}, 0.3, 12, 2)
	slotAt := func(along, left float64) geom.Vec {
		u := geom.Polar(1, 0.3)
		return geom.Vec{X: 20, Y: 10}.Add(u.Scale(along)).Add(u.Left().Scale(left))
	}
	for _, c := range []struct {
		name   string
		region []geom.Loop
		limit  float64
		want   []Narrow
	}{
		{"a bar, in its middle", []geom.Loop{box(0, 0, 30, 2)}, 3, []Narrow{{geom.Vec{X: 15}, geom.Vec{X: 15, Y: 2}, true}}},
		{"a wide bar", []geom.Loop{box(0, 0, 30, 3.1)}, 3, nil},
		{"two bars, between them", []geom.Loop{box(0, 0, 30, 9), box(10, 10, 40, 19)}, 3,
			[]Narrow{{geom.Vec{X: 20, Y: 9}, geom.Vec{X: 20, Y: 10}, false}}},
		{"a disc", []geom.Loop{geom.Slot(geom.Vec{}, math.Pi/2, 0, 2)}, 3,
			[]Narrow{{geom.Vec{X: 1}, geom.Vec{X: -1}, true}}},
		{"ring", []geom.Loop{geom.Slot(geom.Vec{}, math.Pi/2, 0, 20), geom.Slot(geom.Vec{X: 1}, 0, 0, 16).Reverse()}, 1.5,
			[]Narrow{{geom.Vec{X: 9}, geom.Vec{X: 10}, true}}},
		{"round slot beside an edge", []geom.Loop{box(0, 0, 60, 20), slot.Reverse()}, 8, []Narrow{
			{slotAt(0, 1), slotAt(0, -1), false},
			{geom.Vec{X: slotAt(-6, 0).X, Y: slotAt(-6, 0).Y - 1}, geom.Vec{X: slotAt(-6, 0).X}, true},
			{geom.Vec{X: slotAt(6, 0).X, Y: slotAt(6, 0).Y + 1}, geom.Vec{X: slotAt(6, 0).X, Y: 20}, true},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Narrows(c.region, c.limit)
			if len(got) != len(c.want) {
				t.Fatalf("got %v, want %v", got, c.want)
			}
			for i, n := range got {
				w := c.want[i]
				if n.Inside != w.Inside || min(n.P.Dist(w.P)+n.Q.Dist(w.Q), n.P.Dist(w.Q)+n.Q.Dist(w.P)) > 1e-9 {
					t.Errorf("got %v, want %v", n, w)
				}
			}
		})
	}
}
