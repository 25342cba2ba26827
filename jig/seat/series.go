package seat

import (
	"math"

	"reseat/jig/geom"
)

// Series returns the float of a board that sits on the last seat, which sits on
// the one before, and so on: a template on its pins and the board in the
// template. The moves add (Minkowski sum of the pose sets), so rotations and
// moves along one direction add exactly. Worst is exact to WorstTolerance; with a
// RoundSet among the seats it is exact to RoundWorstTolerance and never under the
// truth.
//
//	worst = max over unit d of the sum of reaches along d
//
// It returns an *InputError for a feature that is not a finite point.
func Series(features []geom.Vec, seats ...Seat) (Float, error) {
	if err := checkPoints("feature", features); err != nil {
		return Float{}, err
	}
	f := Float{At: make([]Motion, len(features))}
	tol, allow := WorstTolerance, 0.0
	for _, s := range seats {
		if _, ok := s.(*roundSeat); ok {
			tol, allow = RoundWorstTolerance/2, RoundWorstTolerance/2
		}
		f.ThetaMax += s.Turn()
		r := s.Rest()
		f.Rest = Pose{f.Rest.DU + r.DU, f.Rest.DV + r.DV, f.Rest.Theta + r.Theta}
	}
	for i, at := range features {
		reach := func(dir geom.Vec) float64 {
			var sum float64
			for _, s := range seats {
				sum += s.Reach(at, dir)
			}
			return sum
		}
		f.At[i] = Motion{
			Along:  math.Max(reach(alongU), reach(alongU.Scale(-1))),
			Across: math.Max(reach(acrossV), reach(acrossV.Scale(-1))),
			Worst:  Farthest(reach, tol) * (1 + allow),
		}
	}
	return f, nil
}

// Locator is what a template or a board stands on: a PinPair, a RoundSet, or a
// Nest.
type Locator interface {
	Seat() (Seat, error)
	Float(features []geom.Vec) (Float, error)
}

// FloatOn returns the float of a board that on locates: directly when nest is
// nil, otherwise in the window of a template that stands on it. Errors are those
// of on.Float and Nest.Float.
func FloatOn(on Locator, nest *Nest, features []geom.Vec) (Float, error) {
	if nest == nil {
		return on.Float(features)
	}
	p, err := on.Seat()
	if err != nil {
		return Float{}, err
	}
	n, err := nest.seat() // a float does without places
	if err != nil {
		return Float{}, err
	}
	return Series(features, p, n)
}

// SeatFloat returns the float of a board that is located by a round pin and a
// slot, as FloatOn does.
func SeatFloat(pins PinPair, nest *Nest, features []geom.Vec) (Float, error) {
	return FloatOn(pins, nest, features)
}

// WorstTolerance is the largest relative error of Motion.Worst from Series; the
// result is never above the truth. Of a float of a tenth of a millimetre it is a
// hundredth of a nanometre.
const WorstTolerance = 1e-7

// RoundWorstTolerance is the largest relative excess of Motion.Worst from Series
// with a RoundSet, whose Reach takes a microsecond and whose moves may fill a
// disc, so that every direction counts. Of a float of a tenth of a millimetre it
// is a nanometre.
const RoundWorstTolerance = 1e-5
