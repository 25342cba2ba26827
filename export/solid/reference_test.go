package solid

import (
	"crypto/sha256"
	"fmt"
	"math"
	"testing"

	"github.com/deadsy/sdfx/render"
)

// referenceVolumeMM3 is given with the plate, to 0.01 mm3.
const referenceVolumeMM3 = 289331.34

// plainSHA256 is the reference plate's STL, on every machine.
const plainSHA256 = "9f6be01437ab275d15b9553fd25bbaad395ecdb26f95cc13515cb2f8e3ef953a"

func TestReferencePlate(t *testing.T) {
	s, err := Build(referencePlate())
	if err != nil {
		t.Fatal(err)
	}
	if e := s.VolumeMM3/referenceVolumeMM3 - 1; math.Abs(e) > 1e-4 {
		t.Errorf("volume %.3f mm3 is off by %.5f %%, wanted 0.01 %%", s.VolumeMM3, 100*e)
	}
	if len(s.Holes) != 6 {
		t.Fatalf("%d holes measured", len(s.Holes))
	}
	for _, h := range s.Holes {
		if h.FreeMM < 6.1 || h.FreeMM > 6.11 {
			t.Errorf("free diameter %.5f, wanted 6.100 to 6.110", h.FreeMM)
		}
	}
	if s.Facets > 1880 {
		t.Errorf("%d facets, at most 1880 wanted", s.Facets)
	}
	if got := fmt.Sprintf("%x", sha256.Sum256(stlOf(t, s.Mesh))); got != plainSHA256 {
		t.Errorf("the plain reference plate has changed: %s", got)
	}
}

// BenchmarkReferencePlate runs ours (build, verification, STL, read-back) beside
// sdfx's octree marching cubes with 0.5 mm cells on the same field.
func BenchmarkReferencePlate(b *testing.B) {
	b.Run("ours", func(b *testing.B) { benchmarkThroughFile(b, referencePlate) })
	b.Run("marching-cubes-0.5mm", func(b *testing.B) {
		var facets int
		for b.Loop() {
			facets = len(render.ToTriangles(field(referencePlate()), render.NewMarchingCubesOctree(520/0.5)))
		}
		b.ReportMetric(float64(facets), "facets")
	})
}
