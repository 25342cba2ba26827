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
			Worst:  farthest(reach, tol) * (1 + allow),
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

// farthest returns the largest |x| of the convex set with the given support
// function, less a share tol at most. If x lies in direction phi*, then in a direction psi away from it
//
//	reach >= |x| cos(psi)
//
// so a sector of half angle delta holds no point beyond reach(middle)/cos(delta).
// Sectors that cannot hold a farther point are dropped, the others halved.
func farthest(reach func(dir geom.Vec) float64, tol float64) float64 {
	const sectors = 16
	var best float64
	todo := make([]sector, 0, 2*sectors)
	for i := range sectors {
		s := sector{mid: 2 * math.Pi * float64(i) / sectors, half: math.Pi / sectors}
		s.reach = reach(geom.Polar(1, s.mid))
		best = math.Max(best, s.reach)
		todo = append(todo, s)
	}
	for len(todo) > 0 {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.reach <= best*(1+tol)*math.Cos(s.half) {
			continue
		}
		for _, side := range [2]float64{-0.5, 0.5} {
			h := sector{mid: s.mid + side*s.half, half: s.half / 2}
			h.reach = reach(geom.Polar(1, h.mid))
			best = math.Max(best, h.reach)
			todo = append(todo, h)
		}
	}
	return best
}

// sector is a range of directions mid +- half with the reach at its middle.
type sector struct{ mid, half, reach float64 }
