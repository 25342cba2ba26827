package solid

import (
	"math"

	"reseat/export/solid/plan"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// grid sets plane coordinates on whole multiples of a power of two.
//
// An STL stores float32, whose 24 bit significand is exact for whole multiples
// of 2^-k mm up to 2^(24-k) mm. On such a grid what was triangulated is what is
// stored, to the last bit.
type grid struct {
	unitMM float64 // a power of two
}

// finestUnitMM is 0.24 micrometres, exact in float32 up to 4096 mm. Finer would
// gain nothing: a printer's step is 50 times that.
const finestUnitMM = 1.0 / 4096

// largestMM is the largest plane coordinate taken, far beyond any
// printer's bed; the grid is then 1 micrometre.
const largestMM = 16384 - 1

// gridFor returns the finest grid that holds coordinates up to reach mm exactly
// in float32.
func gridFor(reach float64) grid {
	unit := finestUnitMM
	for reach > unit*(1<<24) {
		unit *= 2
	}
	return grid{unit}
}

// snapMM is the furthest that snapping moves a point: half a grid square's
// diagonal.
func (g grid) snapMM() float64 { return g.unitMM * math.Sqrt2 / 2 }

// snap returns the grid point nearest to p.
func (g grid) snap(p geom.Vec) plan.Point {
	return plan.Point{X: int64(units.Round(p.X/g.unitMM, 0)), Y: int64(units.Round(p.Y/g.unitMM, 0))}
}

func (g grid) snapAll(pts []geom.Vec) []plan.Point {
	out := make([]plan.Point, len(pts))
	for i, p := range pts {
		out[i] = g.snap(p)
	}
	return out
}

func (g grid) mm(p plan.Point) geom.Vec {
	return geom.Vec{X: float64(p.X) * g.unitMM, Y: float64(p.Y) * g.unitMM}
}

// weldMM is the distance below which two things in the plan become one. It is
// above the 0.001 mm under which readers weld vertices themselves or call the
// file broken (nearMM), and far below what a printer can show.
const weldMM = 0.0012

// weldUnits is weldMM in whole grid units, rounded up.
func (g grid) weldUnits() int64 { return int64(math.Ceil(weldMM / g.unitMM)) }

// surfaceTolMM is the furthest that the mesh may lie from the true surface: the
// 0.005 mm that the edges of a printed plate are asked to hold.
const surfaceTolMM = 0.005

// hairMM is kept free below surfaceTolMM for rounding in float64.
const hairMM = 1e-6

// holeChordMM returns how far the polygon of a hole may stray from its arcs: the
// surface tolerance less the growth against snapping and the snapping itself.
func (g grid) holeChordMM() float64 { return surfaceTolMM - 2*g.snapMM() - hairMM }

// edgeChordMM returns the same for contours that others may meet, whose corners
// can also be welded: by up to sqrt(2) weld distances.
func (g grid) edgeChordMM() float64 {
	return g.holeChordMM() - math.Sqrt2*float64(g.weldUnits())*g.unitMM
}

// level returns the height that is stored for z: the nearest float32.
func level(z float64) float32 { return float32(z) + 0 }
