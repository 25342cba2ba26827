package solid

import (
	"crypto/sha256"
	"fmt"
	"math"
	"testing"

	"github.com/deadsy/sdfx/render"
	"github.com/deadsy/sdfx/sdf"
	v2 "github.com/deadsy/sdfx/vec/v2"
	v3 "github.com/deadsy/sdfx/vec/v3"
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

// halfPlanes is a convex polygon as the largest distance to its sides' lines:
// the cheapest field there is, so that the comparison is not won on the field.
type halfPlanes struct {
	at, normal []v2.Vec
	box        sdf.Box2
}

func convex(pts ...v2.Vec) *halfPlanes {
	h := &halfPlanes{at: pts, box: sdf.Box2{Min: pts[0], Max: pts[0]}}
	for i, p := range pts {
		d := pts[(i+1)%len(pts)].Sub(p).Normalize()
		h.normal = append(h.normal, v2.Vec{X: d.Y, Y: -d.X})
		h.box = h.box.Include(p)
	}
	return h
}

func (h *halfPlanes) Evaluate(p v2.Vec) float64 {
	d := math.Inf(-1)
	for i, n := range h.normal {
		d = math.Max(d, n.X*(p.X-h.at[i].X)+n.Y*(p.Y-h.at[i].Y))
	}
	return d
}

func (h *halfPlanes) BoundingBox() sdf.Box2 { return h.box }

// sdfxPlate is the reference plate by that library's own shapes, as lean as they
// allow.
func sdfxPlate(b *testing.B) sdf.SDF3 {
	circle, err := sdf.Circle2D(3.05)
	if err != nil {
		b.Fatal(err)
	}
	plate := sdf.Difference2D(sdf.Box2D(v2.Vec{X: 520, Y: 110}, 4), convex(
		v2.Vec{X: -235, Y: -21.75}, v2.Vec{X: 235, Y: -28.6}, v2.Vec{X: 235, Y: 28.6}, v2.Vec{X: -235, Y: 21.75}))
	for _, u := range []float64{-225, 10, 225} {
		for _, v := range []float64{-44, 44} {
			plate = sdf.Difference2D(plate, sdf.Transform2D(circle, sdf.Translate2d(v2.Vec{X: u, Y: v})))
		}
	}
	left := convex(v2.Vec{X: -235, Y: 21.85}, v2.Vec{X: 235, Y: 28.7}, v2.Vec{X: 235, Y: 32.7}, v2.Vec{X: -235, Y: 25.85})
	right := convex(v2.Vec{X: -235, Y: -25.85}, v2.Vec{X: 235, Y: -32.7}, v2.Vec{X: 235, Y: -28.7}, v2.Vec{X: -235, Y: -21.85})
	raised := func(s sdf.SDF2) sdf.SDF3 {
		return sdf.Transform3D(sdf.Extrude3D(s, 6), sdf.Translate3d(v3.Vec{Z: 7}))
	}
	return sdf.Union3D(sdf.Extrude3D(plate, 8), raised(left), raised(right))
}

// BenchmarkReferencePlate runs ours (build, verification, STL, read-back) beside
// sdfx's octree marching cubes with 0.5 mm cells on the same plate.
func BenchmarkReferencePlate(b *testing.B) {
	b.Run("ours", func(b *testing.B) { benchmarkThroughFile(b, referencePlate) })
	b.Run("marching-cubes-0.5mm", func(b *testing.B) {
		var facets int
		for b.Loop() {
			plate := sdfxPlate(b)
			cells := int(math.Round(520 / 0.5))
			facets = len(render.ToTriangles(plate, render.NewMarchingCubesOctree(cells)))
		}
		b.ReportMetric(float64(facets), "facets")
	})
}
