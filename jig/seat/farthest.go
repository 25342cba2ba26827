package seat

import (
	"math"

	"reseat/jig/geom"
)

// Farthest returns the largest |x| of the convex set with the given support
// function, less a share tol at most. Between two directions the set lies inside
// the corner where their support lines meet; ranges whose corner is no farther out
// than a point that is reached already are dropped, the others halved.
//
//	a, b reaches at the ends of a range of angle w:
//	corner^2 = (a^2 + b^2 - 2 a b cos w) / sin^2 w
//
// A reach along d is a distance that some point of the set attains or exceeds.
// NaN ends the search with NaN.
func Farthest(reach func(dir geom.Vec) float64, tol float64) float64 {
	const sectors = 16
	var best float64
	var from [sectors + 1]float64
	for i := range sectors {
		from[i] = reach(geom.Polar(1, 2*math.Pi*float64(i)/sectors))
		best = math.Max(best, from[i]) // NaN stays
	}
	from[sectors] = from[0]
	todo := make([]sector, 0, 2*sectors)
	for i := range sectors {
		todo = append(todo, sector{2 * math.Pi * float64(i) / sectors, 2 * math.Pi / sectors, from[i], from[i+1]})
	}
	for len(todo) > 0 && !math.IsNaN(best) {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.width < leastSectorRad || s.corner() <= best*(1+tol) {
			continue
		}
		w := s.width / 2
		mid := reach(geom.Polar(1, s.at+w))
		best = math.Max(best, mid)
		todo = append(todo, sector{s.at, w, s.a, mid}, sector{s.at + w, w, mid, s.b})
	}
	return best
}

// leastSectorRad ends the halving where reaches differ by rounding alone: a
// point seen from directions 1e-5 apart is reached to 1e-10 of its distance.
const leastSectorRad = 1e-5

// sector is a range of directions from at on, with the reaches at its ends.
type sector struct{ at, width, a, b float64 }

// corner returns how far out a point can be whose direction lies in s.
func (s sector) corner() float64 {
	sin, cos := math.Sincos(s.width)
	// The corner lies in direction phi from the first end, tan phi = (b - a cos)/(a sin);
	// when that is outside the range, the farther end bounds the points in it.
	if s.b <= s.a*cos || s.a <= s.b*cos {
		return math.Max(s.a, s.b)
	}
	return math.Sqrt(math.Max(0, s.a*s.a+s.b*s.b-2*s.a*s.b*cos)) / sin
}
