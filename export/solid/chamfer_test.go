package solid

import (
	"math"
	"testing"

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

func TestChamferedNotchAndReliefs(t *testing.T) {
	for _, r := range []float64{0.5, 1, 2.5, 6} {
		for _, relief := range []float64{0.3, 1, 1.6, 3.2} {
			for _, foot := range []float64{0.4, 1, 2} {
				p := chamfered(notched(r, relief))
				p.WindowFootMM = foot
				s, err := Build(p)
				if err != nil {
					t.Errorf("notch %g, relief %g, window foot %g: %v", r, relief, foot, err)
					continue
				}
				if e := s.VolumeMM3/s.FormulaMM3 - 1; math.Abs(e) > 1e-4 {
					t.Errorf("volume %.3f mm3, formula %.3f", s.VolumeMM3, s.FormulaMM3)
				}
				t.Logf("notch %g relief %g window foot %g: %d facets, volume %.3f (%+.5f %%), free %.5f, deviation %.5f", r, relief, foot, s.Facets, s.VolumeMM3, 100*(s.VolumeMM3/s.FormulaMM3-1), s.Holes[0].FreeMM, s.DeviationMM)
			}
		}
	}
}
