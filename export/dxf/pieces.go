package dxf

import (
	"math"

	"reseat/jig/geom"
)

// arc is an arc as the file tells it: always counter-clockwise, angles in degrees, from 0 up
// to below 360.
type arc struct {
	center     geom.Vec
	r          float64
	start, end float64
}

// arcDecimals are those of an arc's centre, radius and angles. A reader computes the
// arc's ends from them; for radii below 10 m they meet the corners, which have six decimals, to
// 2e-7 mm: rounded as the corners are, they are the same.
const arcDecimals = 9

// arcOf returns the arc of a curved edge, whose corners and bulge are as written.
// Products are rounded before they are added, so that every machine finds the same.
func arcOf(e geom.Edge) arc {
	b := e.Bulge
	chord := e.Q.Sub(e.P)
	h := (1 - float64(b*b)) / (4 * b) // from the chord's middle to its left, in chords
	c := geom.Vec{
		X: (e.P.X+e.Q.X)/2 - float64(h*chord.Y),
		Y: (e.P.Y+e.Q.Y)/2 + float64(h*chord.X),
	}
	length := math.Sqrt(float64(chord.X*chord.X) + float64(chord.Y*chord.Y))
	from, to := e.P, e.Q
	if b < 0 {
		from, to = to, from
	}
	return arc{c, length * (1 + float64(b*b)) / (4 * math.Abs(b)), degrees(from.Sub(c)), degrees(to.Sub(c))}
}

// degrees is the direction of a vector.
func degrees(v geom.Vec) float64 {
	if a := math.Atan2(v.Y, v.X) * 180 / math.Pi; a >= 0 {
		return a
	} else {
		return a + 360
	}
}
