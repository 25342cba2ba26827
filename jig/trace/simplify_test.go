package trace

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// A contour that was cut into chords comes back as few arcs: every chord stays within the tolerance of them, every
// one of them within the tolerance of the chords, and corners stay corners.
func TestThinned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const tol = 0.005
		n := rapid.IntRange(fewEdges+1, 700).Draw(t, "chords")
		a, b := rapid.Float64Range(20, 300).Draw(t, "a"), rapid.Float64Range(20, 100).Draw(t, "b")
		waves := rapid.Float64Range(0, 0.2).Draw(t, "waves")
		notch := rapid.Bool().Draw(t, "notch")
		noise := rapid.Float64Range(0, 0.002).Draw(t, "noise")
		var l geom.Loop
		for i := range n {
			phi := 2 * math.Pi * float64(i) / float64(n)
			r := 1 + waves*math.Sin(3*phi) + noise/a*math.Sin(float64(i*i))
			if notch && i > n/3 && i < n/2 {
				r -= 0.3
			}
			l = append(l, geom.Vertex{Vec: geom.Vec{X: a * r * math.Cos(phi), Y: b * r * math.Sin(phi)}})
		}
		m := thinned(l, tol)
		if len(m) > len(l) || n > 600 && noise == 0 && len(m) > n/5 {
			t.Fatalf("%d of %d edges", len(m), n)
		}
		for i := range l {
			for _, p := range []geom.Vec{l[i].Vec, l.Edge(i).At(0.5)} {
				if d := m.Distance(p); d > tol*(1+1e-9) {
					t.Fatalf("a chord lies %.5f off", d)
				}
			}
		}
		sag := 0.0
		for i := range l {
			sag = max(sag, l.Edge(i).Length()) // a chord of a curve at least so round
		}
		sag = sag * sag / 8 / 5
		for i := range m {
			for k := range 4 {
				if d := l.Distance(m.Edge(i).At(float64(k) / 20)); d > tol+sag {
					t.Fatalf("an arc lies %.5f off the chords", d)
				}
			}
		}
	})
}

// What was drawn by hand stays as it was drawn.
func TestThinnedFew(t *testing.T) {
	l := geom.RoundCorners(geom.Rect(geom.Box{Max: geom.Vec{X: 400, Y: 60}}), 5)
	if m := thinned(l, 1); len(m) != len(l) || m[0] != l[0] {
		t.Errorf("%d edges of %d", len(m), len(l))
	}
}
