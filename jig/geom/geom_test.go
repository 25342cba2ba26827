package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// roundErr is what a few dozen float64 operations on lengths up to a metre can
// lose: 1000 mm * 2^-52 * 1000 operations, rounded up.
const roundErr = 1e-9

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func TestAreaAndLength(t *testing.T) {
	// Formulas of elementary mensuration.
	for _, tc := range []struct {
		name         string
		l            Loop
		area, length float64
	}{
		{"rectangle", Rect(Box{Vec{1, 2}, Vec{4, 6}}), 12, 14},
		{"clockwise rectangle", Rect(Box{Vec{1, 2}, Vec{4, 6}}).Reverse(), -12, 14},
		{"circle of two arcs", Slot(Vec{3, 4}, 0.3, 0, 10), 25 * math.Pi, 10 * math.Pi},
		{"slot", Slot(Vec{3, 4}, 0.3, 20, 6), 120 + 9*math.Pi, 40 + 6*math.Pi},
		{"trapezium", Taper(478, 41.5, 55), 478 * (41.5 + 55) / 2, 41.5 + 55 + 2*math.Hypot(478, 6.75)},
		{"rounded rectangle", RoundCorners(Rect(Box{Vec{}, Vec{30, 20}}), 4), 600 - (4-math.Pi)*16, 100 - (8-2*math.Pi)*4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			near(t, "area", tc.l.Area(), tc.area, roundErr)
			near(t, "length", tc.l.Length(), tc.length, roundErr)
			near(t, "area reversed", tc.l.Reverse().Area(), -tc.area, roundErr)
		})
	}
}

// anyLoop draws a loop with straight and curved edges of every kind the jig makes.
func anyLoop(t *rapid.T) Loop {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	base := Taper(f("length", 60, 1500), f("start", 20, 80), f("end", 20, 80))
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return base
	case 1:
		return RoundCorners(base, f("radius", 0.5, 9))
	case 2:
		return Relieve(base, f("relief", 0.5, 5))
	}
	return Slot(Vec{f("cx", -50, 50), f("cy", -50, 50)}, f("phi", -4, 4), f("travel", 0, 30), f("width", 1, 30))
}

func anyMove(t *rapid.T) Rigid {
	return Rigid{
		Angle:  rapid.Float64Range(-7, 7).Draw(t, "angle"),
		Mirror: rapid.Bool().Draw(t, "mirror"),
		Shift:  Vec{rapid.Float64Range(-900, 900).Draw(t, "dx"), rapid.Float64Range(-900, 900).Draw(t, "dy")},
	}
}

// TestAgainstFlattened checks arcs against a fine polygon, which is the slow and
// independent way to the same numbers.
func TestAgainstFlattened(t *testing.T) {
	const chord = 1e-4
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		poly := FromPoints(l.Flatten(chord))
		if d := math.Abs(l.Area() - poly.Area()); d > chord*l.Length() {
			t.Fatalf("area %g, flattened %g", l.Area(), poly.Area())
		}
		b, pb := l.Bounds(), poly.Bounds()
		if b.Min.Dist(pb.Min) > 2*chord || b.Max.Dist(pb.Max) > 2*chord {
			t.Fatalf("bounds %v, flattened %v", b, pb)
		}
		p := Vec{
			rapid.Float64Range(b.Min.X-20, b.Max.X+20).Draw(t, "px"),
			rapid.Float64Range(b.Min.Y-20, b.Max.Y+20).Draw(t, "py"),
		}
		d, pd := l.Distance(p), poly.Distance(p)
		if math.Abs(d-pd) > 2*chord {
			t.Fatalf("distance of %v: %g, flattened %g", p, d, pd)
		}
		if d > 2*chord && l.Contains(p) != poly.Contains(p) {
			t.Fatalf("contains %v: %v, flattened %v", p, l.Contains(p), poly.Contains(p))
		}
	})
}

func TestPreparedAgreesWithLoop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		r, b := Prepare(l), l.Bounds()
		p := Vec{
			rapid.Float64Range(b.Min.X-20, b.Max.X+20).Draw(t, "px"),
			rapid.Float64Range(b.Min.Y-20, b.Max.Y+20).Draw(t, "py"),
		}
		// A point that lies on the contour to within rounding may go either way.
		want, got := l.Depth(p), r.Depth(p)
		if math.Abs(got-want) > roundErr && (math.Abs(want) > roundErr || math.Abs(got) > roundErr) {
			t.Fatalf("depth of %v: ruler %g, loop %g", p, got, want)
		}
	})
}

func TestRoundedAgreesWithLoop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		b := Box{Min: Vec{f("x", -50, 50), f("y", -50, 50)}}
		b.Max = b.Min.Add(Vec{f("long", 10, 200), f("wide", 10, 200)})
		// Two corners that leave a shorter straight between them meet, in the loop alone.
		r, p := f("corner", 0, (10-leastEdgeMM)/2), Vec{f("u", -120, 320), f("v", -120, 320)}
		if got, want := b.Rounded(r)(p), RoundCorners(Rect(b), r).Depth(p); math.Abs(got-want) > roundErr {
			t.Fatalf("depth of %v: %g, loop %g", p, got, want)
		}
	})
}

// TestContainsOnChord: a point exactly on the chord of an arc lies where its
// neighbours lie.
func TestContainsOnChord(t *testing.T) {
	for _, tc := range []struct {
		name string
		l    Loop
		p    Vec
	}{
		{"middle of a round hole", Slot(Vec{3, 4}, 0, 0, 6), Vec{3, 4}},
		{"middle of a round hole, level", Slot(Vec{3, 4}, math.Pi/2, 0, 6), Vec{3, 4}},
		{"middle of a round hole, askew", Slot(Vec{0, 0}, 0.7, 0, 6), Vec{0, 0}},
		{"end centre of a slot", Slot(Vec{0, 0}, 0, 10, 6), Vec{5, 0}},
		{"chord of a rounded corner", RoundCorners(Rect(Box{Vec{}, Vec{30, 20}}), 4), Vec{28, 18}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if !tc.l.Contains(tc.p) || tc.l.Depth(tc.p) <= 0 {
				t.Errorf("%v counts as outside, depth %g", tc.p, tc.l.Depth(tc.p))
			}
			if got, want := Prepare(tc.l).Depth(tc.p), tc.l.Depth(tc.p); math.Abs(got-want) > roundErr {
				t.Errorf("ruler %g, loop %g", got, want)
			}
		})
	}
}

func TestRigidKeepsShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, m := anyLoop(t), anyMove(t)
		moved := m.Loop(l)
		if d := math.Abs(moved.Area() - l.Area()); d > roundErr*math.Abs(l.Area())+1e-7 {
			t.Fatalf("area %g became %g", l.Area(), moved.Area())
		}
		if d := math.Abs(moved.Length() - l.Length()); d > 1e-7 {
			t.Fatalf("length %g became %g", l.Length(), moved.Length())
		}
		p := l[0].Vec
		if d := m.Inverse().Apply(m.Apply(p)).Dist(p); d > 1e-9 {
			t.Fatalf("inverse misses by %g", d)
		}
	})
}

func TestQuarterTurnsAreExact(t *testing.T) {
	p := Vec{123.456, 7.89}
	for _, tc := range []struct {
		name  string
		angle float64
		want  Vec
	}{
		{"none", 0, p},
		{"left", math.Pi / 2, Vec{-7.89, 123.456}},
		{"half", math.Pi, Vec{-123.456, -7.89}},
		{"right", -math.Pi / 2, Vec{7.89, -123.456}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := (Rigid{Angle: tc.angle}).Apply(p); got != tc.want {
				t.Errorf("got %v, want exactly %v", got, tc.want)
			}
		})
	}
}

func TestOffset(t *testing.T) {
	// Steiner: a convex body with area A and perimeter P grown by d with round
	// corners has area A + P d + pi d^2; a rounded rectangle stays one.
	l := RoundCorners(Rect(Box{Vec{}, Vec{30, 20}}), 4)
	for _, d := range []float64{2.5, -1.5, 0.1} {
		near(t, "grown area", l.Offset(d).Area(), l.Area()+l.Length()*d+math.Pi*d*d, roundErr)
	}
	// Mitred corners: a rectangle stays a rectangle.
	near(t, "grown rectangle", Rect(Box{Vec{}, Vec{30, 20}}).Offset(1).Area(), 32*22, roundErr)
}

func TestRelieveFreesTheCorner(t *testing.T) {
	l := Taper(478, 41.5, 55)
	const r = 1.6
	relieved := Relieve(l, r)
	for i, v := range l {
		if d := relieved.Distance(v.Vec); d > roundErr {
			t.Errorf("corner %d: relief misses it by %g", i, d)
		}
	}
	for i, v := range relieved {
		if math.Abs(v.Bulge) > 1 {
			t.Errorf("vertex %d: bulge %g above 1", i, v.Bulge)
		}
	}
	if relieved.Area() <= l.Area() {
		t.Error("a relief must take material away, not add it")
	}
}

func TestSegmentDistance(t *testing.T) {
	for _, tc := range []struct {
		name       string
		a, b, c, d Vec
		want       float64
	}{
		{"crossing", Vec{0, 0}, Vec{2, 2}, Vec{0, 2}, Vec{2, 0}, 0},
		{"parallel", Vec{0, 0}, Vec{9, 0}, Vec{2, 3}, Vec{5, 3}, 3},
		{"end to end", Vec{0, 0}, Vec{1, 0}, Vec{4, 4}, Vec{9, 9}, 5},
		{"point and line", Vec{3, 1}, Vec{3, 1}, Vec{0, 0}, Vec{9, 0}, 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			near(t, "distance", SegmentDistance(tc.a, tc.b, tc.c, tc.d), tc.want, roundErr)
		})
	}
}
