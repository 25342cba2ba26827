package seat

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Motion is the largest move of one feature over every pose that a seat allows,
// each way, in millimetres, measured from the place of rest. Along is the
// largest |move| along u, Across along v, Worst in any direction.
type Motion struct{ Along, Across, Worst float64 }

// Float is how far a seated board can still move.
type Float struct {
	ThetaMax float64  // largest rotation each way, radians
	At       []Motion // one per feature, in the caller's order
}

// Series returns the float of a board that sits on the last seat, which sits on
// the one before, and so on: a template on its pins and the board in the
// template. The moves add (Minkowski sum of the pose sets), so rotations and
// moves along one direction add exactly. Worst is exact to WorstTolerance; with a
// RoundSet among the seats it is exact to roundWorstTolerance and never under the
// truth.
//
//	worst = max over unit d of the sum of reaches along d
//
// It returns an error for a feature that is not a finite point.
func Series(features []geom.Vec, seats ...Seat) (Float, error) {
	f := Float{At: make([]Motion, len(features))}
	tol, allow := WorstTolerance, 0.0
	for _, s := range seats {
		if _, ok := s.(*roundSeat); ok {
			tol, allow = roundWorstTolerance/2, roundWorstTolerance/2
		}
		f.ThetaMax += s.Turn()
	}
	along, across := geom.Vec{X: 1}, geom.Vec{Y: 1}
	for i, at := range features {
		if !finite(at) {
			return Float{}, fmt.Errorf("feature %d is not a finite point", i)
		}
		reach := func(dir geom.Vec) float64 {
			var sum float64
			for _, s := range seats {
				sum += s.Reach(at, dir)
			}
			return sum
		}
		f.At[i] = Motion{
			Along:  math.Max(reach(along), reach(along.Scale(-1))),
			Across: math.Max(reach(across), reach(across.Scale(-1))),
			Worst:  Farthest(reach, tol) * (1 + allow),
		}
	}
	return f, nil
}

// WorstTolerance is the largest relative error of Motion.Worst; the result is never
// above the truth. Of a float of a tenth of a millimetre it is a hundredth of a
// nanometre.
const WorstTolerance = 1e-7

// roundWorstTolerance is the largest relative excess of Motion.Worst with a RoundSet,
// whose moves may fill a disc, so that every direction counts. Of a float of a tenth
// of a millimetre it is a nanometre.
const roundWorstTolerance = 1e-5

// largestMM bounds every length that the package accepts: a hundred metres.
// No board is near it, and squares of it stay far from overflow.
const largestMM = 1e5

// finite reports whether every point has coordinates of a size that can be a length
// in millimetres.
func finite(pts ...geom.Vec) bool {
	for _, p := range pts {
		if !(math.Abs(p.X) <= largestMM && math.Abs(p.Y) <= largestMM) {
			return false
		}
	}
	return true
}
