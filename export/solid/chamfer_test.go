package solid

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

// TestChamferedNotchAndReliefs: where an arc meets a line at an angle the chamfer
// runs along a parabola in plan, and the chords at the arc's end are eaten.
func TestChamferedNotchAndReliefs(t *testing.T) {
	for _, r := range []float64{0.5, 2.5, 6} {
		for _, relief := range []float64{0.3, 1.6, 3.2} {
			for _, foot := range []float64{0.4, 2} {
				p := chamfered(notched(r, relief))
				p.WindowFootMM = foot
				if _, err := Build(p); err != nil {
					t.Errorf("notch %g, relief %g, window foot %g: %v", r, relief, foot, err)
				}
			}
		}
	}
}

// TestChamferVolume holds what chamfers take off against closed forms: frustums of
// cones and pyramids, V = h (A + sqrt(A B) + B) / 3 (elementary mensuration).
func TestChamferVolume(t *testing.T) {
	frustum := func(a, b, h float64) float64 { return math.Abs(h*(a+math.Sqrt(a*b)+b)/3 - h*a) }
	disc := func(r float64) float64 { return math.Pi * r * r }
	for _, tc := range []struct {
		name string
		edit func(p *jig.Print)
		want float64
	}{
		{"hole, foot and entry", func(p *jig.Print) { p.Holes, p.EntryMM = []jig.PrintHole{hole("p1", 30, 30, 6)}, 0.5 },
			frustum(disc(3), disc(3.5), 0.5)},
		{"slot: half cones and straight prisms", func(p *jig.Print) {
			p.Holes, p.EntryMM = []jig.PrintHole{{ID: "p1", Center: geom.Vec{X: 30, Y: 30}, Diameter: 6, Travel: 2,
				Angle: 0.4}}, 0.5
		}, frustum(disc(3), disc(3.5), 0.5) + 2*2*0.5*0.5/2},
		{"square window, mitred", func(p *jig.Print) { p.Window, p.WindowFootMM = box(40, 20, 50, 30), 1 },
			frustum(100, 144, 1)},
		{"outline", func(p *jig.Print) { p.FootMM = 1 }, 120*60 - (120*60+118*58+4*119*59)/6.},
		{
			"rounding that vanishes", func(p *jig.Print) { p.Outline, p.FootMM = geom.RoundCorners(p.Outline, 0.3), 1 },
			120*60 - (120*60+118*58+4*119*59)/6. - (4-math.Pi)*0.09 + (4-math.Pi)*0.3*0.09/3,
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := plate()
			tc.edit(p)
			s, err := Build(p)
			if err != nil {
				t.Fatal(err)
			}
			bare := *p
			bare.FootMM, bare.WindowFootMM, bare.EntryMM = 0, 0, 0
			b, err := Build(&bare)
			if err != nil {
				t.Fatal(err)
			}
			if got := b.VolumeMM3 - s.VolumeMM3; math.Abs(got-tc.want) > 0.01*tc.want {
				t.Errorf("takes %.4f mm3, want %.4f", got, tc.want)
			}
		})
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
			var bad inputError
			if !errors.As(err, &bad) {
				t.Fatal(err)
			}
			return
		}
		if err := facesOut(s.Mesh, field(p)); err != nil {
			t.Fatal(err)
		}
		handles := len(p.Holes)
		if p.Window != nil {
			handles++
		}
		if got := len(s.Mesh.Vertices) - s.Facets/2; got != 2-2*handles {
			t.Fatalf("Euler's number %d, want %d for %d holes through", got, 2-2*handles, handles)
		}
	})
}
