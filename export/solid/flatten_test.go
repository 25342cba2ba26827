package solid

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// anyVoid draws the contours that a jig cuts out: holes, slots, windows with
// rounded or relieved corners, turned by any angle.
func anyVoid(t *rapid.T) geom.Loop {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	taper := geom.Taper(f("length", 50, 600), f("start", 20, 60), f("end", 20, 60))
	var l geom.Loop
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		travel := rapid.SampledFrom([]float64{0, 0.01, 1, 20}).Draw(t, "travel")
		l = geom.Slot(geom.Vec{X: f("x", -9, 9)}, f("phi", -4, 4), travel, f("d", 0.2, 40))
	case 1:
		l = taper
	case 2:
		l = geom.RoundCorners(taper, f("r", 0.05, 9))
	default:
		l = geom.Relieve(taper, f("relief", 0.1, 4))
	}
	return geom.Rigid{Angle: f("angle", -4, 4)}.Loop(l)
}

// along returns points of a polygon's edges, corners included.
func along(pts []geom.Vec) []geom.Vec {
	var out []geom.Vec
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		for k := range 8 {
			out = append(out, p.Lerp(q, float64(k)/8))
		}
	}
	return out
}

func TestPolygonsKeepTheirSide(t *testing.T) {
	const chord = 0.004
	// A polygon corner that was left out may leave the line by straightMM.
	const tol = straightMM
	rapid.Check(t, func(t *rapid.T) {
		l := anyVoid(t)
		out, in := outward(l, chord, 0), inward(l, chord, 0)
		for _, p := range along(out) {
			switch d := l.Distance(p); {
			case d > chord+tol:
				t.Fatalf("outward: %v is %g off the contour", p, d)
			case d > tol && l.Contains(p):
				t.Fatalf("outward: %v is %g inside the void", p, d)
			}
		}
		for _, p := range along(in) {
			if d := l.Distance(p); d > chord+tol {
				t.Fatalf("inward: %v is %g off the contour", p, d)
			}
		}
		// Both go round once: areas differ from the true one by no more than a
		// rim of the chord's height.
		rim := (chord + tol) * (l.Length() + 1)
		for name, poly := range map[string][]geom.Vec{"outward": out, "inward": in} {
			if a := geom.FromPoints(poly).Area(); math.Abs(a-l.Area()) > rim {
				t.Fatalf("%s: area %g, contour %g", name, a, l.Area())
			}
		}
	})
}

func TestCirclePolygon(t *testing.T) {
	const r, chord = 3.05, 0.0046
	pts := outward(geom.Slot(geom.Vec{X: 1, Y: 2}, 0, 0, 2*r), chord, 0)
	if len(pts)%4 != 0 || len(pts) < 48 || len(pts) > 72 {
		t.Errorf("%d corners, wanted a multiple of four near 60", len(pts))
	}
	// Regular polygon about a circle: inradius r, circumradius r/cos(pi/n).
	want := r / math.Cos(math.Pi/float64(len(pts)))
	for i, p := range pts {
		if d := p.Dist(geom.Vec{X: 1, Y: 2}); math.Abs(d-want) > 1e-12 {
			t.Fatalf("corner %d at radius %g, want %g", i, d, want)
		}
		m := p.Lerp(pts[(i+1)%len(pts)], 0.5)
		if d := m.Dist(geom.Vec{X: 1, Y: 2}); math.Abs(d-r) > 1e-12 {
			t.Fatalf("side %d at distance %g, want %g", i, d, r)
		}
	}
	if want-r > chord {
		t.Errorf("corners %g outside the circle, allowed %g", want-r, chord)
	}
}

func TestStraightenKeepsShape(t *testing.T) {
	for _, tc := range []struct {
		name string
		pts  []geom.Vec
		want int
	}{
		{"square", box(0, 0, 9, 9).Corners(), 4},
		{"corner in the middle of a side", []geom.Vec{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 9, Y: 0}, {X: 9, Y: 9}, {X: 0, Y: 9}},
			4},
		{"the first corner in the middle of a side",
			[]geom.Vec{{X: 4, Y: 0}, {X: 9, Y: 0}, {X: 9, Y: 9}, {X: 0, Y: 9}, {X: 0, Y: 0}}, 4},
		{"square with corners rounded below the grid", geom.RoundCorners(box(0, 0, 9, 9), 0.0003).Corners(), 4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := straighten(tc.pts, 0)
			if len(got) != tc.want {
				t.Errorf("%v: %d corners, want %d", got, len(got), tc.want)
			}
			if a := geom.FromPoints(got).Area(); math.Abs(a-81) > 0.02 {
				t.Errorf("area %g, want 81", a)
			}
		})
	}
}

func TestProfileAgainstGeom(t *testing.T) {
	// geom follows the same lines and arcs by another road; the finely flattened
	// polygon decides what is inside.
	const fine = 1e-5
	rapid.Check(t, func(t *rapid.T) {
		l := anyVoid(t)
		r := newRing(l)
		poly := geom.FromPoints(l.Flatten(fine))
		b := l.Bounds().Grow(5)
		for range 20 {
			p := geom.Vec{
				X: rapid.Float64Range(b.Min.X, b.Max.X).Draw(t, "x"),
				Y: rapid.Float64Range(b.Min.Y, b.Max.Y).Draw(t, "y"),
			}
			d := l.Distance(p)
			if got := math.Sqrt(r.distance2(p, math.Inf(1))); math.Abs(got-d) > 1e-9*(1+d) { // float64 rounding
				t.Fatalf("distance of %v: %g, want %g", p, got, d)
			}
			if d > 2*fine && r.contains(p) != poly.Contains(p) {
				t.Fatalf("%v inside: %v, want %v", p, r.contains(p), poly.Contains(p))
			}
		}
	})
}

// TestInsideOnChords: points on the chords of arcs are inside or outside as the
// arcs say, whichever way the chord runs.
func TestInsideOnChords(t *testing.T) {
	for k := range 16 {
		phi := float64(k) * math.Pi / 8
		round := newRing(geom.Slot(geom.Vec{X: 5, Y: 5}, phi, 0, 6))
		if !round.contains(geom.Vec{X: 5, Y: 5}) {
			t.Errorf("the middle of a round hole turned by %g is outside", phi)
		}
	}
	for name, l := range map[string]geom.Loop{
		"rounded": geom.RoundCorners(box(0, 0, 20, 10), 4), "reversed": geom.RoundCorners(box(0, 0, 20, 10), 4).Reverse(),
	} {
		r := newRing(l)
		for i := range l {
			e := l.Edge(i)
			if m := e.P.Lerp(e.Q, 0.5); e.IsArc() && !r.contains(m) {
				t.Errorf("%s: the middle %v of a convex arc's chord is outside", name, m)
			}
		}
	}
}
