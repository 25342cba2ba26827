package trace

import (
	"math"

	"reseat/jig/geom"
)

const (
	// fewEdges is how many lines and arcs a contour has that was drawn as such; one of more was cut into chords by a
	// program, and is thinned. Practice.
	fewEdges = 200
	// mostEdges is what may be left: at that a design still takes seconds.
	mostEdges = 1000
	// mostSweep of an arc that replaces chords, radians; a longer run takes several.
	mostSweep = math.Pi / 2
	// backShare is how much longer than its arc a run of chords may be: one that runs to and fro is longer. Practice.
	backShare = 1.01
)

// thinned replaces runs of chords by lines and arcs that leave none by more than tol, each as long as can be. It takes
// time n log n.
func thinned(l geom.Loop, tol float64) geom.Loop {
	if len(l) <= fewEdges {
		return l
	}
	l = fromSharpest(l)
	var out geom.Loop
	for i := 0; i < len(l); {
		n := run(l, i, tol)
		e := l.Edge(i)
		if n > 1 {
			e, _ = replaced(l, i, n, tol)
		}
		out = append(out, geom.Vertex{Vec: e.P, Bulge: e.Bulge})
		i += n
	}
	return out
}

// fromSharpest begins the contour where it turns most, so that no run goes over that corner.
func fromSharpest(l geom.Loop) geom.Loop {
	at, least := 0, math.Inf(1)
	for i := range l {
		_, in := l.Edge((i + len(l) - 1) % len(l)).Tangents()
		out, _ := l.Edge(i).Tangents()
		if c := in.Dot(out); c < least {
			at, least = i, c
		}
	}
	return append(append(geom.Loop{}, l[at:]...), l[:at]...)
}

// run is how many edges from i on one line or arc replaces: doubled while that goes, then halved between.
func run(l geom.Loop, i int, tol float64) int {
	fits := func(n int) bool {
		_, ok := replaced(l, i, n, tol)
		return i+n <= len(l) && ok
	}
	good, bad := 1, 2
	for fits(bad) {
		good, bad = bad, 2*bad
	}
	for bad-good > 1 {
		if m := (good + bad) / 2; fits(m) {
			good = m
		} else {
			bad = m
		}
	}
	return good
}

// replaced is the line or arc for n chords from i on; ok is false where one leaves it by more than tol.
func replaced(l geom.Loop, i, n int, tol float64) (e geom.Edge, ok bool) {
	at := func(k int) geom.Vec { return l[(i+k)%len(l)].Vec }
	e = geom.Edge{P: at(0), Q: at(n)}
	way := 0.0
	for k := range n {
		if i+k >= len(l) || l[i+k].Bulge != 0 {
			return e, false
		}
		way += at(k).Dist(at(k + 1))
	}
	near := func(e geom.Edge) bool {
		if way > backShare*e.Length() {
			return false
		}
		for k := range n {
			if e.Distance(at(k)) > tol || e.Distance(at(k).Lerp(at(k+1), 0.5)) > tol {
				return false
			}
		}
		return true
	}
	if near(e) {
		return e, true
	}
	bulge, curved := geom.ThroughArc(e.P, at(n/2), e.Q)
	e.Bulge = bulge
	return e, curved && n > 1 && math.Abs(bulge) <= math.Tan(mostSweep/4) && near(e)
}
