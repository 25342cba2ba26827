package measure

import (
	"math"

	"reseat/jig/geom"
)

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// near reports whether got is within half a unit of the last printed digit.
func near(got, want, digit float64) bool { return math.Abs(got-want) <= digit/2*(1+1e-9) }
