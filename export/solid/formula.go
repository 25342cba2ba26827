package solid

import (
	"slices"

	"reseat/jig"
	"reseat/jig/geom"
)

// formula returns the volume from the true contours.
//
//	V = thickness (A outline - A window - sum A holes) + sum A rail (top - thickness) - chamfers - marks
func formula(p *jig.Print) float64 {
	area := p.Outline.Area()
	if p.Window != nil {
		area -= p.Window.Area()
	}
	for _, h := range p.Holes {
		area -= holeLoop(h, 0).Area()
	}
	v := area * p.ThicknessMM
	for _, r := range p.Rails {
		v += r.Outline.Area() * (r.TopMM - p.ThicknessMM)
	}
	v -= chamferVolume(p.Outline, false, p.FootMM)
	if p.Window != nil {
		v -= chamferVolume(p.Window, true, p.WindowFootMM)
	}
	for _, h := range p.Holes {
		v -= chamferVolume(holeLoop(h, 0), true, p.FootMM) + chamferVolume(holeLoop(h, 0), true, p.EntryMM)
	}
	return v - markVolume(p)
}

// markVolume returns what the marks take off, in cubic millimetres: by floors,
// deepest first, the ground that no deeper mark has taken.
func markVolume(p *jig.Print) float64 {
	var v, taken float64
	var pieces []capsule
	for _, e := range slices.Backward(engravings(p)) {
		pieces = append(pieces, e.pieces...)
		area := sweptArea(pieces)
		v += (area - taken) * (p.ThicknessMM - e.floor)
		taken = area
	}
	return v
}

// chamferSteps is how many intervals the volume of a chamfer is summed over. The
// area grows by a quadratic, for which Simpson's rule is exact, but for corners
// where an arc is cut off by its neighbour; there the error is below 1e-6 of the
// chamfer's volume.
const chamferSteps = 16

// chamferVolume returns the volume that a 45 degree chamfer of the given leg
// takes off a contour, in cubic millimetres; 0 when the contour cannot be moved
// so far.
//
//	V = integral of |A(t) - A(0)| dt, t = 0 to leg, A(t) the area of the contour moved by t
//
// For straight edges and tangent arcs A(t) = A + L t + K t^2, where K is the sum
// of half the sweep of arcs and tan(turn/2) of corners: leg^2/2 per length, and
// round a hole the frustum of a cone.
//
// Reference: J. Steiner's formula for parallel curves (recalled, not seen);
// Simpson's rule.
func chamferVolume(l geom.Loop, outward bool, leg float64) float64 {
	if leg == 0 {
		return 0
	}
	h := leg / chamferSteps
	base, sum := l.Area(), 0.0
	for i := 1; i <= chamferSteps; i++ {
		moved, err := offset(l, outward, h*float64(i))
		if err != nil {
			return 0
		}
		weight := 4.0
		switch {
		case i == chamferSteps:
			weight = 1
		case i%2 == 0:
			weight = 2
		}
		a := moved.Area() - base
		if !outward {
			a = -a
		}
		sum += weight * a
	}
	return sum * h / 3
}
