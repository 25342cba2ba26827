package solid

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

// chamfered puts the usual chamfers on a print.
func chamfered(p *jig.Print) *jig.Print {
	p.FootMM, p.WindowFootMM, p.EntryMM = 0.4, 1.2, 0.6
	return p
}

func TestChamferedReferencePlate(t *testing.T) {
	p := chamfered(referencePlate())
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	if e := s.VolumeMM3/s.FormulaMM3 - 1; math.Abs(e) > 1e-4 {
		t.Errorf("volume %.3f mm3, formula %.3f", s.VolumeMM3, s.FormulaMM3)
	}
	t.Logf("%d facets, volume %.3f (%+.5f %%), free %.5f, deviation %.5f", s.Facets, s.VolumeMM3, 100*(s.VolumeMM3/s.FormulaMM3-1), s.Holes[0].FreeMM, s.DeviationMM)
	needJudge(t)
	t.Log(judge(t, s, p.Holes, "--foot", "0.4", "--max-tri", "40000"))
}

// notched is a plate whose outline has a half-round mark in its start end and
// whose window has relieved corners: arcs that meet lines at an angle.
func notched(r, relief float64) *jig.Print {
	o := geom.RoundCorners(box(0, 0, 120, 60), 3)
	// The start end runs down at x = 0, between the last corner and the first.
	at := len(o) - 1
	o = append(append(append(geom.Loop{}, o[:at]...), o[at], geom.Vertex{Vec: geom.Vec{X: 0, Y: 30 + r}, Bulge: -1}, geom.Vertex{Vec: geom.Vec{X: 0, Y: 30 - r}}), o[at+1:]...)
	p := &jig.Print{File: "t.stl", Outline: o, ThicknessMM: 6, Window: geom.Relieve(box(20, 20, 100, 40), relief)}
	p.Holes = append(p.Holes, hole("p1", 10, 10, 6.1), hole("p2", 110, 50, 6.1),
		jig.PrintHole{ID: "p3", Center: geom.Vec{X: 110, Y: 10}, Diameter: 5, Travel: 1.5, Angle: 0.3})
	return p
}

// TestChamferedNotchAndReliefs: where an arc meets a line at an angle the chamfer
// runs along a parabola in plan, and the chords at the arc's end are eaten.
func TestChamferedNotchAndReliefs(t *testing.T) {
	for _, r := range []float64{0.5, 2.5, 6} {
		for _, relief := range []float64{0.3, 1.6, 3.2} {
			for _, foot := range []float64{0.4, 2} {
				p := chamfered(notched(r, relief))
				p.WindowFootMM = foot
				s, err := Build(p)
				if err != nil {
					t.Errorf("notch %g, relief %g, window foot %g: %v", r, relief, foot, err)
					continue
				}
				if e := s.VolumeMM3/s.FormulaMM3 - 1; math.Abs(e) > VolumeTol {
					t.Errorf("notch %g, relief %g, window foot %g: volume %.3f mm3, formula %.3f", r, relief, foot, s.VolumeMM3, s.FormulaMM3)
				}
			}
		}
	}
}

// TestChamferVolume holds the summed formula against closed forms.
func TestChamferVolume(t *testing.T) {
	// Frustum of a cone: V = pi h (R^2 + R r + r^2) / 3, a pyramid's likewise with
	// areas and their geometric mean (elementary mensuration).
	cone := func(r, s float64) float64 {
		return math.Abs(math.Pi * (s - r) * (r*r + r*s + s*s) / 3)
	}
	// A half-round notch of radius r in a straight edge, widened by t, cuts off
	//	K(t) = (r+t)^2 arccos(t/(r+t)) - t sqrt(r^2 + 2 r t)
	// of the plate beyond the moved edge: a circular segment (elementary mensuration).
	segment := func(r, t float64) float64 { return (r+t)*(r+t)*math.Acos(t/(r+t)) - t*math.Sqrt(r*r+2*r*t) }
	for _, tc := range []struct {
		name    string
		loop    geom.Loop
		outward bool
		leg     float64
		want    float64
		tol     float64 // share
	}{
		{"round hole", geom.Slot(geom.Vec{X: 5, Y: 7}, 0, 0, 6), true, 0.5, cone(3, 3.5) - math.Pi*9*0.5, 1e-12},
		{"slot: half cones and straight prisms", geom.Slot(geom.Vec{X: 5, Y: 7}, 0.4, 2, 6), true, 0.5, cone(3, 3.5) - math.Pi*9*0.5 + 2*2*0.5*0.5/2, 1e-12},
		{"square window, mitred", box(0, 0, 10, 10), true, 1, (100+144+120)/3. - 100, 1e-12},
		{"square outline", box(0, 0, 10, 10), false, 1, 100 - (100+64+80)/3., 1e-12},
		{"disc", geom.Slot(geom.Vec{}, 0, 0, 10), false, 1, math.Pi*25 - cone(4, 5), 1e-12},
		{"half-round notch", notched(2.5, 1).Outline, false, 0.4, func() float64 {
			// By the midpoint rule in a million steps, unlike the formula's own sum.
			plain := geom.RoundCorners(box(0, 0, 120, 60), 3)
			sum, n := 0.0, 1000000
			for i := range n {
				x := 0.4 * (float64(i) + 0.5) / float64(n)
				whole := (120-2*x)*(60-2*x) - (4-math.Pi)*(3-x)*(3-x)
				sum += plain.Area() - math.Pi*2.5*2.5/2 - (whole - segment(2.5, x))
			}
			return sum * 0.4 / float64(n)
		}(), 1e-6},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := chamferVolume(tc.loop, tc.outward, tc.leg); math.Abs(got-tc.want) > tc.tol*tc.want {
				t.Errorf("%.9f mm3, want %.9f", got, tc.want)
			}
		})
	}
}

// TestOffsetKeepsItsDistance: what is moved lies at the given distance from where
// it was, at corners that open further out by no more than the mitre.
func TestOffsetKeepsItsDistance(t *testing.T) {
	for _, tc := range []struct {
		name    string
		loop    geom.Loop
		outward bool
		mitre   float64 // most over the distance, as a factor
	}{
		{"round", geom.Slot(geom.Vec{X: 1, Y: 2}, 0, 0, 6), true, 1},
		{"slot inward", geom.Slot(geom.Vec{X: 1, Y: 2}, 0.3, 3, 6), false, 1},
		{"notch inward", notched(2.5, 1).Outline, false, 1},
		{"notch outward", notched(2.5, 1).Outline, true, math.Sqrt2},
		{"reliefs outward", geom.Relieve(geom.Taper(80, 20, 26), 1.6), true, 1},
		{"square outward", box(0, 0, 10, 10), true, math.Sqrt2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			const leg = 0.7
			moved, err := offset(tc.loop, tc.outward, leg)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range moved.Flatten(1e-4) {
				if d := tc.loop.Distance(p); d < leg-1e-9 || d > leg*tc.mitre+1e-9 || tc.loop.Contains(p) == tc.outward {
					t.Fatalf("(%g, %g) is %.6f from the contour, inside: %v", p.X, p.Y, d, tc.loop.Contains(p))
				}
			}
		})
	}
}

// plainSHA256 is the reference plate's STL from before there were chamfers.
const plainSHA256 = "9f6be01437ab275d15b9553fd25bbaad395ecdb26f95cc13515cb2f8e3ef953a"

func TestNoChamfersSameMesh(t *testing.T) {
	s, err := Build(referencePlate())
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprintf("%x", sha256.Sum256(stlOf(t, s.Mesh))); got != plainSHA256 {
		t.Errorf("the plain reference plate has changed: %s", got)
	}
}

// TestChamfersOnTightShapes: prints that random ones have found to go wrong.
func TestChamfersOnTightShapes(t *testing.T) {
	outline := geom.RoundCorners(box(0, 0, 110, 140), 2)
	for _, tc := range []struct {
		name string
		p    *jig.Print
	}{
		{"a corner of 0.1 under a chamfer of 2.9 keeps its chords", &jig.Print{
			ThicknessMM: 5.875, FootMM: 1.46875, WindowFootMM: 2.9375,
			Outline: outline, Window: geom.RoundCorners(box(30, 60, 80, 80), 0.1),
		}},
		{"a slot of no travel to speak of has no corners of a hair", &jig.Print{
			ThicknessMM: 1, FootMM: 0.25, EntryMM: 1. / 3, Outline: outline,
			Holes: []jig.PrintHole{{ID: "p1", Center: geom.Vec{X: 55, Y: 15}, Diameter: 1, Travel: 3.7e-14, Angle: -3.31}},
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if _, err := Build(tc.p); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestRandomChamfers: whatever the legs, the solid is right or the print is
// refused as a faulty description; never a mesh that does not hold what the package promises.
func TestRandomChamfers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPrint(t)
		leg := func(name string, most float64) float64 {
			if rapid.Bool().Draw(t, name+" or none") {
				return 0
			}
			return rapid.Float64Range(leastFeatureMM, math.Max(leastFeatureMM, most)).Draw(t, name)
		}
		p.FootMM, p.WindowFootMM = leg("foot", p.ThicknessMM/4), leg("window foot", math.Min(3, p.ThicknessMM/2))
		p.EntryMM = leg("entry", p.ThicknessMM/3)
		s, err := Build(p)
		if err != nil {
			var bad *InputError
			if !errors.As(err, &bad) {
				t.Fatal(err)
			}
			return
		}
		if e := s.VolumeMM3/s.FormulaMM3 - 1; s.FormulaMM3 > 0 && math.Abs(e) > 3*VolumeTol {
			t.Fatalf("volume %g, formula %g", s.VolumeMM3, s.FormulaMM3)
		}
		handles := len(p.Holes)
		if p.Window != nil {
			handles++
		}
		if got := s.Vertices - s.Facets/2; got != 2-2*handles {
			t.Fatalf("Euler's number %d, want %d for %d holes through", got, 2-2*handles, handles)
		}
		if again := s.Mesh.Check(p.Holes).tight(); again != nil {
			t.Fatal(again)
		}
	})
}
