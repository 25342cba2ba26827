package solid

import (
	"math"

	"reseat/export/solid/plan"
	"reseat/jig/geom"
)

// Grid sets plane coordinates on whole multiples of a power of two.
//
// An STL stores float32, whose 24 bit significand is exact for whole multiples
// of 2^-k mm up to 2^(24-k) mm. On such a grid what was triangulated is what is
// stored, to the last bit.
type Grid struct {
	unitMM float64 // a power of two
}

// finestUnitMM is 0.24 micrometres, exact in float32 up to 4096 mm. Finer would
// gain nothing: a printer's step is 50 times that.
const finestUnitMM = 1.0 / 4096

// largestMM is the largest plane coordinate taken, three times the longest
// printer bed known to the author (recalled, not seen); the grid is then 1
// micrometre.
const largestMM = 16384 - 1

// gridFor returns the finest grid that holds coordinates up to reach mm exactly
// in float32.
func gridFor(reach float64) Grid {
	unit := finestUnitMM
	for reach > unit*(1<<24) {
		unit *= 2
	}
	return Grid{unit}
}

// snapMM is the furthest that snapping moves a point: half a grid square's
// diagonal.
func (g Grid) snapMM() float64 { return g.unitMM * math.Sqrt2 / 2 }

func (g Grid) snap(p geom.Vec) plan.Point {
	return plan.Point{X: int64(math.Round(p.X / g.unitMM)), Y: int64(math.Round(p.Y / g.unitMM))}
}

func (g Grid) snapAll(pts []geom.Vec) []plan.Point {
	out := make([]plan.Point, len(pts))
	for i, p := range pts {
		out[i] = g.snap(p)
	}
	return out
}

func (g Grid) mm(p plan.Point) geom.Vec {
	return geom.Vec{X: float64(p.X) * g.unitMM, Y: float64(p.Y) * g.unitMM}
}

// weldMM is the distance below which two things in the plan become one. It is
// above the 0.001 mm under which readers weld vertices themselves or call the
// file broken (cut-file rule B03), and far below what a printer can show.
const weldMM = 0.0012

// weldUnits is weldMM in whole grid units, at least two so that rounding of a
// crossing cannot leave it beside the edges that cross.
func (g Grid) weldUnits() int64 { return max(2, int64(math.Ceil(weldMM/g.unitMM))) }

// level returns the height that is stored for z: the nearest float32.
func level(z float64) float32 { return float32(z) + 0 }
