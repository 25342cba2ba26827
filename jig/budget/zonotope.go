package budget

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// zonotope is the set of all
//
//	centre + sum of t g,  each |t| <= 1, g over the generators
//
// It is convex, symmetric about its centre, and has two vertices per direction.
type zonotope struct {
	centre     geom.Vec
	generators []geom.Vec
}

// reach returns the support in the unit direction d, in mm.
func (z zonotope) reach(d geom.Vec) float64 {
	r := z.centre.Dot(d)
	for _, g := range z.generators {
		r += math.Abs(g.Dot(d))
	}
	return r
}

// farthest returns the largest distance of a point of z from the origin; exact
// but for rounding. A walk round the border passes every vertex: with all
// generators turned into one half plane and sorted by angle, each step along
// the border is twice the next generator.
func (z zonotope) farthest() float64 {
	gs := make([]geom.Vec, len(z.generators))
	corner := geom.Vec{}
	for i, g := range z.generators {
		if g.Y < 0 || g.Y == 0 && g.X < 0 {
			g = g.Scale(-1)
		}
		gs[i] = g
		corner = corner.Sub(g)
	}
	// By angle, not by cross product: a generator of no length is at right
	// angles to all and would leave them out of order.
	slices.SortFunc(gs, func(a, b geom.Vec) int {
		return cmp.Compare(math.Atan2(a.Y, a.X), math.Atan2(b.Y, b.X))
	})
	// The other half of the border is this one turned about the centre.
	most := 0.0
	visit := func() {
		most = math.Max(most, math.Max(z.centre.Add(corner).Norm(), z.centre.Sub(corner).Norm()))
	}
	visit()
	for _, g := range gs {
		corner = corner.Add(g.Scale(2))
		visit()
	}
	return most
}
