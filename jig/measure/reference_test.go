package measure

import "reseat/jig/geom"

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
