package jig

import (
	"math"

	"reseat/jig/geom"
)

// plateCornerMM is the corner radius of a sheet or printed plate: blunt to the
// hand and no crack starter in acrylic. Common practice, no source.
const plateCornerMM = 4.0

// reliefOverMM is added to the cutter's radius in a corner relief, so that the
// cutter turns in the corner instead of stopping there. Common practice, no source.
const reliefOverMM = 0.1

// wall numbers the edges of the board's outline as geom.Taper runs them.
type wall int

const (
	rightWall wall = iota
	farWall
	leftWall
	startWall
)

// windowGaps returns the distance of each window wall from the board as it must
// lie. Both pairs of opposite walls leave twice the clearance; a wall that the
// board is pushed against has none, so that the pushed board lies true.
func windowGaps(clearance float64, push string) [4]float64 {
	g := [4]float64{clearance, clearance, clearance, clearance}
	if push == "none" {
		return g
	}
	g[startWall], g[farWall] = 0, 2*clearance
	if push == "left" {
		g[leftWall], g[rightWall] = 0, 2*clearance
	} else {
		g[rightWall], g[leftWall] = 0, 2*clearance
	}
	return g
}

// offsetWalls moves each edge of the convex counter-clockwise polygon outward by
// its own distance and intersects neighbours.
func offsetWalls(l geom.Loop, d [4]float64) geom.Loop {
	n := len(l)
	out := make([]geom.Vec, n)
	for i := range l {
		in, next := l.Edge((i+n-1)%n), l.Edge(i)
		t1, t2 := in.Q.Sub(in.P).Unit(), next.Q.Sub(next.P).Unit()
		n1, n2 := t1.Left().Scale(-1), t2.Left().Scale(-1)
		// The corner p + x solves x.n1 = d1, x.n2 = d2.
		d1, d2 := d[(i+n-1)%n], d[i]
		det := n1.Cross(n2)
		x := geom.Vec{X: (d1*n2.Y - d2*n1.Y) / det, Y: (d2*n1.X - d1*n2.X) / det}
		out[i] = l[i].Add(x)
	}
	return geom.FromPoints(out)
}

// cornerSide says how the corners of a window come out with a given tool.
type cornerSide struct {
	radius float64 // the board's corner radius plus the clearance; 0: sharp
	relief float64 // radius of the corner relief; 0: none
}

// windowCorners decides between following the board's corner and relieving it.
// A cutter of radius rc reaches into a rounding of at least rc; a sharper corner
// needs a relief. A laser (rc = 0) needs none.
// A rounding that the kerf would leave too small to cut comes out sharp, which only
// gives the board's corner more room.
func windowCorners(boardRadius, clearance, rc, kerf float64) cornerSide {
	var c cornerSide
	if r := boardRadius + clearance; boardRadius > 0 && r-kerf/2 >= leastRadiusMM {
		c.radius = r
	}
	if rc > 0 && c.radius < rc {
		return cornerSide{relief: rc + reliefOverMM}
	}
	return c
}

// leastRadiusMM is the smallest rounding that is drawn: a laser's beam is wider.
// Common practice, no source.
const leastRadiusMM = 0.1

func (c cornerSide) shape(walls geom.Loop) geom.Loop {
	if c.relief > 0 {
		return geom.Relieve(walls, c.relief)
	}
	return geom.RoundCorners(walls, c.radius)
}

// plateOutline returns the rounded rectangle that leaves at least margin round
// box. Its sides are rounded up to whole grid steps, so that the plate can be
// cut to a ruler. A notch marks the start end, left side.
func plateOutline(box geom.Box, margin, step float64) geom.Loop {
	b := box.Grow(margin)
	up := func(x float64) float64 { return math.Ceil(x/step-gridSlack) * step }
	b = geom.Box{
		Min: geom.Vec{X: -up(-b.Min.X), Y: -up(-b.Min.Y)},
		Max: geom.Vec{X: up(b.Max.X), Y: up(b.Max.Y)},
	}
	return notched(geom.RoundCorners(geom.Rect(b), plateCorner(margin)))
}

// plateCorner is the plate's corner radius.
func plateCorner(margin float64) float64 { return math.Min(plateCornerMM, margin/2) }

// gridSlack keeps a size that is whole but for rounding error from growing by a
// step: 1e-6 of a step is far above float64 rounding and far below a machine's.
const gridSlack = 1e-6
