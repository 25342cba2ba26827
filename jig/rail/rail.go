// Package rail lays out the gluing rails: the strips of wood left beside the
// glue land, the rails that keep the board from sliding, and whether the
// pressure bears on the board and not on a rail. Glue gives the figures of the
// gluing itself: glue, squeeze-out and its groove, closing force, load on a rail.
package rail

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// WidthMM is the width of a printed rail. Common practice, no source: four
// lines of a 0.4 mm nozzle on either side of an infill.
const WidthMM = 4.0

// LeastBearingMM is how far the board's lowest edge should stand above the rail
// so that a pad under the caul still presses on the board. Common practice, no
// source: about the thickness of a pad of cork or card when pressed.
const LeastBearingMM = 0.5

// Spec is what the rails are laid out from. Lengths in millimetres.
type Spec struct {
	LengthMM, WidthStartMM, WidthEndMM, ThicknessMM float64
	Outline                                         geom.Loop // of any outline, which has no printed rails; nil: straight sides
	ReachMM                                         float64   // of the board from its datum line, at most
	CrownRadiusMM                                   float64   // 0: flat
	StripMM                                         float64   // wood left beside the glue land, per side
	HeightMM                                        float64   // top of the rail above its plate's underside
	FilmMM                                          float64   // under that plate
	GapMM                                           float64   // rail to board edge, takes the release film
	// left, right: a rail on a plate may not hang over its window
	LeastGapMM [2]float64
	// plate that lies on the glue land's level and carries the rails; 0: none
	PlateMM    float64
	EndInsetMM float64 // rails stop this far from the board's ends
}

// Plan is the layout: Strips and Rails are left first, then right, all counter-clockwise in the
// board frame; the strip of any outline is the contour round it.
type Plan struct {
	Strips    []geom.Loop
	Rails     []geom.Loop
	EdgeMM    float64 // lowest board edge above the glue land
	WallMM    float64 // highest thing beside the board: rail or plate
	BearingMM float64 // EdgeMM - WallMM; the pressure bears on the board when positive
}

// Lay returns the plan.
func Lay(s Spec) Plan {
	p := Plan{
		EdgeMM: s.ThicknessMM - CrownDrop(s.CrownRadiusMM, s.ReachMM),
		WallMM: s.FilmMM + math.Max(s.HeightMM, s.PlateMM),
	}
	p.BearingMM = p.EdgeMM - p.WallMM
	if s.Outline != nil {
		if s.StripMM > 0 {
			p.Strips = offset.Grow([]geom.Loop{s.Outline}, s.StripMM, offset.Round)
		}
		return p
	}
	for i, side := range []float64{1, -1} {
		gap := math.Max(s.GapMM, s.LeastGapMM[i])
		if s.StripMM > 0 {
			p.Strips = append(p.Strips, s.beside(side, 0, s.StripMM, 0))
		}
		p.Rails = append(p.Rails, s.beside(side, gap, gap+WidthMM, s.EndInsetMM))
	}
	return p
}

// CrownDrop returns how far a cylindrical top of radius r has fallen at distance
// v from the datum line; 0 for a flat board (r = 0).
//
//	drop = r - sqrt(r^2 - v^2)
//
// Reference: the circle's equation. v beyond r gives r.
func CrownDrop(r, v float64) float64 {
	switch {
	case r == 0:
		return 0
	case math.Abs(v) >= r:
		return r
	}
	return r - math.Sqrt(r*r-v*v)
}

// beside returns the counter-clockwise quadrilateral between the distances near
// and far from the board's edge on one side (+1 left, -1 right).
func (s Spec) beside(side, near, far, inset float64) geom.Loop {
	a := geom.Vec{X: 0, Y: side * s.WidthStartMM / 2}
	b := geom.Vec{X: s.LengthMM, Y: side * s.WidthEndMM / 2}
	along := b.Sub(a).Unit()
	out := along.Left().Scale(side)
	at := func(u, d float64) geom.Vec {
		// The edge's point at station u, then straight out by d.
		return a.Lerp(b, u/s.LengthMM).Add(out.Scale(d))
	}
	u0, u1 := inset, s.LengthMM-inset
	pts := []geom.Vec{at(u0, near), at(u1, near), at(u1, far), at(u0, far)}
	if side < 0 {
		pts = []geom.Vec{pts[3], pts[2], pts[1], pts[0]}
	}
	return geom.FromPoints(pts)
}
