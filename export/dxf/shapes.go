package dxf

import (
	"fmt"
	"math"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Decimals in the file. A millionth of a millimetre is far below any machine; a
// bulge b moves the middle of an arc by chord/2 per unit, so three decimals more
// keep a one-metre chord within the same. More would show on which machine the
// design was made: bulges come from tangents, true to some 1e-16.
const (
	coordDecimals = 6
	bulgeDecimals = 9
)

const (
	// minSegmentMM is the shortest line or arc: below it lie only strays and
	// rounding, and a laser would dwell. Common practice, no source.
	minSegmentMM = 0.02

	// maxCoordMM is beyond every sheet and every machine; a larger number is a
	// slip of units.
	maxCoordMM = 1e5

	// maxBulge is a half circle; some readers refuse more. The slack is for
	// tan(pi/4), which falls an ulp short of or beyond 1.
	maxBulge = 1 + 1e-12
)

// rounded returns a shape as it will be written, or why it cannot be cut.
func rounded(s jig.Shape) (jig.Shape, error) {
	s.Center, s.R = coords(s.Center), coord(s.R)
	if len(s.Loop) == 0 {
		if !usable(s.Center.X, s.Center.Y, s.R) || s.R < minSegmentMM {
			return s, fmt.Errorf("a circle of radius %g mm about (%g, %g); want at least %g mm, within %g mm",
				s.R, s.Center.X, s.Center.Y, minSegmentMM, maxCoordMM)
		}
		return s, nil
	}
	loop := make(geom.Loop, len(s.Loop))
	for k, v := range s.Loop {
		loop[k] = geom.Vertex{Vec: coords(v.Vec), Bulge: units.Round(v.Bulge, bulgeDecimals)}
		if !usable(v.X, v.Y) || !(math.Abs(v.Bulge) <= maxBulge) {
			return s, fmt.Errorf("a corner at (%g, %g) with bulge %g; want a place within %g mm and at most a half circle",
				v.X, v.Y, v.Bulge, maxCoordMM)
		}
	}
	s.Loop = loop
	if s.Open {
		loop[len(loop)-1].Bulge = 0 // no edge leaves the last vertex
	}
	if len(loop) < 2 {
		return s, fmt.Errorf("a contour of one corner")
	}
	for _, e := range edges(s) {
		if length := e.P.Dist(e.Q); length < minSegmentMM {
			return s, fmt.Errorf("the line or arc from (%g, %g) is %g mm long; want at least %g mm",
				e.P.X, e.P.Y, length, minSegmentMM)
		}
	}
	return s, nil
}

// edges returns the pieces of a contour or stroke.
func edges(s jig.Shape) []geom.Edge {
	n := len(s.Loop)
	if s.Open {
		n--
	}
	var out []geom.Edge
	for k := range n {
		out = append(out, s.Loop.Edge(k))
	}
	return out
}

// usable reports whether coordinates or a radius can be written at all; NaN cannot.
func usable(xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= maxCoordMM) {
			return false
		}
	}
	return true
}

func coord(x float64) float64 { return units.Round(x, coordDecimals) }

func coords(v geom.Vec) geom.Vec { return geom.Vec{X: coord(v.X), Y: coord(v.Y)} }

// extent returns the box of the shapes whose layer is in the set; of all when the
// set is nil. Arcs are included.
func extent(shapes []jig.Shape, layers map[string]bool) geom.Box {
	b := geom.EmptyBox()
	for _, s := range shapes {
		if layers != nil && !layers[s.Layer] {
			continue
		}
		if s.R > 0 {
			b = b.Union(geom.Box{Min: s.Center, Max: s.Center}.Grow(s.R))
		}
		for _, e := range edges(s) {
			b = b.Union(e.Bounds())
		}
	}
	return b
}
