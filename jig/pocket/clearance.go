package pocket

import (
	"math"

	"reseat/jig/geom"
)

// clearance is the wood between a pocket's rim and what lies nearest, in millimetres;
// negative when the rim reaches beyond it.
type clearance struct {
	mm float64
	to string // "fret 5", "left edge", another pocket's name
}

// nothing is farther than anything.
var nothing = clearance{mm: math.Inf(1)}

// near keeps the smaller of two clearances, the first of those that tie.
func (c *clearance) near(mm float64, to string) {
	if mm < c.mm {
		*c = clearance{mm, to}
	}
}

// toFret is the distance from the rim to the nearest slot's edge. A slot runs straight
// across the whole board.
//
//	|u - station| - slot/2 - bore/2
func (b Board) toFret(u, boreMM float64) clearance {
	c := nothing
	for _, f := range b.Frets {
		c.near(math.Abs(u-f.StationMM)-f.WidthMM/2-boreMM/2, "fret "+f.Name)
	}
	return c
}

// toEdge is the distance from the rim to the nearest edge of the tapered board. Inside a
// convex outline the nearest edge is the nearest of the edges' lines, so the distance is
// exact; where the rim reaches out it is minus the farthest reach beyond a line. Rounded
// corners are taken as sharp.
//
//	left edge: (w(u)/2 - v) cos(a) - bore/2,  w(u) = w0 + (w1 - w0) u/L,  tan(a) = (w1 - w0)/(2 L)
func (b Board) toEdge(u, v, boreMM float64) clearance {
	c := nothing
	if b.Outline != nil {
		c.near(b.Outline.Depth(geom.Vec{X: u, Y: v})-boreMM/2, "outline")
		return c
	}
	slope := (b.WidthEndMM - b.WidthStartMM) / (2 * b.LengthMM)
	cos := 1 / math.Hypot(1, slope)
	half := b.WidthStartMM/2 + float64(slope*u)
	c.near((half-v)*cos-boreMM/2, "left edge")
	c.near((half+v)*cos-boreMM/2, "right edge")
	c.near(u-boreMM/2, "start end")
	c.near(b.LengthMM-u-boreMM/2, "far end")
	return c
}

// toOthers is the distance from pocket i to the nearest other pocket's rim.
func toOthers(i int, all []Pocket) clearance {
	c, k := nothing, all[i]
	for j, o := range all {
		if j != i {
			c.near(math.Hypot(k.UMM-o.UMM, k.VMM-o.VMM)-k.Size.BoreMM/2-o.Size.BoreMM/2, o.Name)
		}
	}
	return c
}
