package solid

import (
	"math"

	"reseat/jig/geom"
)

// tangentTol is the turn, in radians, below which an arc counts as running on
// smoothly from its neighbour: 1e-6 over a 10 mm arc is 0.01 micrometres, well
// below the grid, and rounding in the contours is well below that.
const tangentTol = 1e-6

// straightMM is how far a corner may lie off the line through its neighbours and
// still be left out: about twice the grid. Such corners shape nothing but make
// needles.
const straightMM = 0.0005

// inward returns the polygon of a counter-clockwise contour of material: chords
// at most chord mm from its arcs, and so that they still are when the polygon is
// moved inward by a chamfer's leg. It never reaches beyond a convex arc.
func inward(l geom.Loop, chord, leg float64) []geom.Vec {
	out := make([]geom.Vec, 0, len(l))
	for i := range l {
		e := l.Edge(i)
		out = append(out, e.P)
		if !e.IsArc() {
			continue
		}
		a := e.Arc()
		r := a.R
		if concaveArc(e) {
			r = widest(a.R, leg)
		}
		n := geom.ArcSegments(r, math.Abs(a.Sweep), chord)
		for k := 1; k < n; k++ {
			out = append(out, a.At(float64(k)/float64(n)))
		}
	}
	return straighten(out, leg)
}

// widest returns the radius that sets how many chords an arc gets that a chamfer
// widens by leg. What a chord strays in plan at the wide end counts less by the
// slope of 45 degrees.
func widest(r, leg float64) float64 { return math.Max(r, (r+leg)/math.Sqrt2) }

// outward returns the polygon of a counter-clockwise contour of a void, at most
// chord mm outside it and never inside: convex arcs are followed by tangents,
// concave ones by chords. When the polygon is moved outward by a chamfer's leg
// it still follows the arcs as well.
//
//	corners at r / cos(step/2),  step <= 2 acos(r / (r + chord))
//
// An arc of n steps touches its n tangents' middles but for the ends: the first
// and last corner lie half a step in, on the end tangents, so that a straight
// edge that runs on smoothly needs no corner where the arc starts.
func outward(l geom.Loop, chord, leg float64) []geom.Vec {
	var out []geom.Vec
	n := len(l)
	for i := range l {
		e, before := l.Edge(i), l.Edge((i+n-1)%n)
		if !(smooth(before, e) && (convexArc(e) || convexArc(before)) && !concaveArc(e) && !concaveArc(before)) {
			out = append(out, e.P)
		}
		if !e.IsArc() {
			continue
		}
		a := e.Arc()
		if !convexArc(e) {
			k := geom.ArcSegments(a.R, math.Abs(a.Sweep), chord)
			for j := 1; j < k; j++ {
				out = append(out, a.At(float64(j)/float64(k)))
			}
			continue
		}
		k := tangentSteps(widest(a.R, leg), a.Sweep, chord)
		step := a.Sweep / float64(k)
		r := a.R / math.Cos(step/2)
		for j := range k {
			out = append(out, a.C.Add(geom.Polar(r, a.Start+(float64(j)+0.5)*step)))
		}
	}
	return straighten(out, leg)
}

func convexArc(e geom.Edge) bool  { return e.Bulge > 0 }
func concaveArc(e geom.Edge) bool { return e.Bulge < 0 }

// leastSteps keeps a tiny round hole round: eight corners, two per quarter.
const leastSteps = 8

// tangentSteps returns in how many equal steps tangents follow an arc with
// corners at most chord mm outside it. Whole quarter turns get a whole number of
// steps, so that holes come out alike in all four quarters.
func tangentSteps(r, sweep, chord float64) int {
	quarters := sweep / (math.Pi / 2)
	least := math.Ceil(leastSteps / 4 * quarters)
	most := 2 * math.Acos(r/(r+chord))
	if q := math.Round(quarters); q >= 1 && math.Abs(quarters-q) < tangentTol {
		return int(q) * int(math.Max(math.Ceil(math.Pi/2/most), leastSteps/4))
	}
	return int(math.Max(math.Ceil(sweep/most), math.Max(least, 1)))
}

// smooth reports whether the second edge starts in the direction in which the
// first ends.
func smooth(first, second geom.Edge) bool {
	_, in := endDirections(first)
	out, _ := endDirections(second)
	return math.Abs(math.Atan2(in.Cross(out), in.Dot(out))) < tangentTol
}

// endDirections returns the directions of travel at an edge's ends. An arc's
// tangents make half its sweep with the chord, to either side.
func endDirections(e geom.Edge) (start, end geom.Vec) {
	d := e.Q.Sub(e.P)
	phi, half := math.Atan2(d.Y, d.X), 2*math.Atan(e.Bulge)
	return geom.Polar(1, phi-half), geom.Polar(1, phi+half)
}

// straighten leaves out corners within straightMM of the line between the corner
// kept before and the one after. It starts at the corner furthest from the
// first, which no line between others comes near.
//
// A chamfer of the given leg opens the small corners of a tight arc into wide
// ones. So a corner stays whose sides, no shorter than straightMM, then part by as much:
//
//	leg (1 - cos turn) >= straightMM
func straighten(pts []geom.Vec, leg float64) []geom.Vec {
	n, start := len(pts), 0
	for i, p := range pts {
		if p.Dist(pts[0]) > pts[start].Dist(pts[0]) {
			start = i
		}
	}
	out := make([]geom.Vec, 0, n)
	for k := range n {
		p := pts[(start+k)%n]
		if k > 0 {
			before, after := out[len(out)-1], pts[(start+k+1)%n]
			chord, in, on := after.Sub(before), p.Sub(before), after.Sub(p)
			straight := math.Abs(chord.Cross(in)) < straightMM*chord.Norm() && chord.Dot(in) >= 0
			hair := math.Min(in.Norm(), on.Norm()) < straightMM
			if straight && (hair || leg*(1-in.Unit().Dot(on.Unit())) < straightMM) {
				continue
			}
		}
		out = append(out, p)
	}
	return out
}
