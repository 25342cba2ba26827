package solid

import (
	"math"
	"testing"

	"reseat/jig"
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
