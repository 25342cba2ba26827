package outlined

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/plate"
)

// standing returns an outline with what of each edge has a wall of the window opposite, and the
// gaps of its edges: the clearance, or +Inf where none stands, as where the window is sharper
// than a rounding of the board, or a relief has eaten the end of a wall. What lies beyond that
// end touches nothing, so that the board turns farther than with walls to the corners.
func standing(outline geom.Loop, o plate.Opened, clearance float64) (out geom.Loop, gaps []float64) {
	add := func(e geom.Edge, from, to, gap float64) {
		if to > from {
			bulge := math.Tan(float64(math.Atan(e.Bulge) * (to - from)))
			out, gaps = append(out, geom.Vertex{Vec: e.At(from), Bulge: bulge}), append(gaps, gap)
		}
	}
	none := math.Inf(1)
	for i, rounds := range plate.Roundings(outline) {
		e := outline.Edge(i)
		from, to := 0.0, 1.0
		if rounds {
			add(e, 0, 1, none)
			continue
		}
		if len(o.Reliefs) > 0 {
			stands := func(share float64) bool { return o.Window.Distance(beside(e, share, clearance)) < standsMM }
			from = first(e.Length(), stands)
			to = 1 - first(e.Length(), func(share float64) bool { return stands(1 - share) })
		}
		if from >= to {
			add(e, 0, 1, none)
			continue
		}
		add(e, 0, from, none)
		add(e, from, to, clearance)
		add(e, to, 1, none)
	}
	return out, gaps
}

const (
	// standsMM is how far off its place a wall may be for rounding.
	standsMM = 1e-5
	// lookMM is in which steps the end of a wall is looked for: reliefs are wider.
	lookMM = 0.25
)

// beside is the place at a distance outside an edge.
func beside(e geom.Edge, share, mm float64) geom.Vec {
	p := e.At(share)
	if e.IsArc() {
		a := e.Arc()
		return p.Add(p.Sub(a.C).Scale(math.Copysign(mm, e.Bulge) / a.R))
	}
	return p.Sub(e.Q.Sub(e.P).Unit().Left().Scale(mm))
}

// first is the least share from which on a wall stands; 1 when it does nowhere in its first half.
func first(length float64, stands func(share float64) bool) float64 {
	if stands(0) {
		return 0
	}
	before := 0.0
	for at := lookMM / length; at <= 0.5; at += lookMM / length {
		if !stands(at) {
			before = at
			continue
		}
		for at-before > standsMM/length {
			if mid := (before + at) / 2; stands(mid) {
				at = mid
			} else {
				before = mid
			}
		}
		return at
	}
	return 1
}
