package plate

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

// TestNotch: the notch lies in the start end, left of the datum line, as deep as it
// says, tangential at every joint, on wide and narrow plates.
func TestNotch(t *testing.T) {
	for _, c := range []struct {
		name        string
		half, depth float64
	}{
		{"wide plate", 60, notchDepthMM},
		{"just wide enough", 4 + 2*notchRoomMM + 2*6.244998, notchDepthMM},
		{"narrow plate, smaller notch", 12, notchDepthMM * 8 / (2*notchRoomMM + 2*6.244998)},
	} {
		t.Run(c.name, func(t *testing.T) {
			plain := geom.RoundCorners(geom.Rect(geom.Box{Min: geom.Vec{X: -30, Y: -c.half},
				Max: geom.Vec{X: 300, Y: c.half}}), 4)
			l := notched(plain)
			if l.Bounds() != plain.Bounds() {
				t.Errorf("bounds %v, were %v", l.Bounds(), plain.Bounds())
			}
			deepest := geom.Vec{X: math.Inf(-1)}
			for _, p := range l.Flatten(1e-4) {
				if p.X < 0 && p.Y > -c.half+4 && p.Y < c.half-4 && p.X > deepest.X {
					deepest = p
				}
			}
			if got := deepest.X + 30; math.Abs(got-c.depth) > 1e-3 {
				t.Errorf("depth %.4f, want %.4f", got, c.depth)
			}
			if deepest.Y <= 0 {
				t.Errorf("the notch lies at v = %g, right of the datum line", deepest.Y)
			}
			for i := range l {
				a, b := l.Edge(i), l.Edge((i+1)%len(l))
				if d := leaving(b).Cross(arriving(a)); math.Abs(d) > 1e-9 {
					t.Errorf("edges %d and %d meet at an angle of %g", i, i+1, d)
				}
			}
		})
	}
}

// arriving and leaving are the directions of an edge at its ends.
func arriving(e geom.Edge) geom.Vec {
	if !e.IsArc() {
		return e.Q.Sub(e.P).Unit()
	}
	a := e.Arc()
	return geom.Polar(math.Copysign(1, a.Sweep), a.Start+a.Sweep+math.Pi/2)
}

func leaving(e geom.Edge) geom.Vec {
	if !e.IsArc() {
		return e.Q.Sub(e.P).Unit()
	}
	a := e.Arc()
	return geom.Polar(math.Copysign(1, a.Sweep), a.Start+math.Pi/2)
}

// TestInside: the closed form against the contour itself, over a plate.
func TestInside(t *testing.T) {
	for _, half := range []float64{12, 60} {
		l := notched(geom.RoundCorners(geom.Rect(geom.Box{Min: geom.Vec{X: -30, Y: -half},
			Max: geom.Vec{X: 300, Y: half}}), 4))
		room := EdgeRoom(l, 8)
		for u := -40.0; u <= 310; u += 0.7 {
			for v := -half - 8; v <= half+8; v += 0.7 {
				p := geom.Vec{X: u, Y: v}
				want := l.Depth(p)
				got := room(p)
				if want >= notchLipMM && math.Abs(got-want) > 1e-9 {
					t.Fatalf("half width %g, at %v: %.9f, contour %.9f", half, p, got, want)
				}
				if want < 0 && got > notchLipMM {
					t.Fatalf("half width %g, at %v: room %.3f outside the plate", half, p, got)
				}
			}
		}
	}
}
