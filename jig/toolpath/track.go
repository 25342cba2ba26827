package toolpath

import (
	"math"

	"reseat/jig/geom"
)

// track is a closed path of the tool's centre: a circle, or a slot's outline of two
// straight sides and two half circles.
type track struct {
	c      geom.Vec // middle
	along  geom.Vec // unit vector of the slot; +X for a circle
	travel float64  // 0 for a circle
	r      float64  // radius of the circle or of the ends
}

// hub returns the centre of the end where the track begins.
func (k track) hub() geom.Vec { return k.c.Sub(k.along.Scale(k.travel / 2)) }

// start returns where the track begins: right of the hub, so that the way counter-clockwise
// leaves it in the direction of along.
func (k track) start() geom.Vec { return k.hub().Sub(k.along.Left().Scale(k.r)) }

// length returns the way once around, seen from above.
//
//	2 pi r + 2 travel
func (k track) length() float64 { return 2*math.Pi*k.r + 2*k.travel }

// moves is how many moves go once around.
func (k track) moves() int {
	if k.travel == 0 {
		return 1
	}
	return 4
}

// around goes once around from the starting point, from the tool's height to z, evenly
// along the way.
func (k track) around(w *writer, r Router, z float64) {
	drop := w.here.Z - z
	arcFeed := r.sinkFeed(r.wallFeed(k.r), drop, k.length())
	p := k.start()
	if k.travel == 0 {
		w.arc(at(p, z), k.c, arcFeed)
		return
	}
	lineFeed := r.sinkFeed(r.FeedMMmin, drop, k.length())
	z0 := w.here.Z
	down := func(way float64) float64 { return z0 - drop*way/k.length() }
	half := math.Pi * k.r
	step := k.along.Scale(k.travel)
	across := k.along.Left().Scale(2 * k.r)
	w.feed(at(p.Add(step), down(k.travel)), lineFeed)
	w.arc(at(p.Add(step).Add(across), down(k.travel+half)), k.hub().Add(step), arcFeed)
	w.feed(at(p.Add(across), down(2*k.travel+half)), lineFeed)
	w.arc(at(p, z), k.hub(), arcFeed)
}

// finish goes once around at full depth, meeting and leaving the wall on half circles from
// the hub, so that no mark stays where the tool came in. The half circles are half as wide
// as the wall's: the centre runs slower there, so that the edge keeps its feed.
func (k track) finish(w *writer, r Router) {
	z := w.here.Z
	mid := k.hub().Lerp(k.start(), 0.5)
	lead := r.wallFeed(k.r / 2)
	w.feed(at(k.hub(), z), r.FeedMMmin)
	w.arc(at(k.start(), z), mid, lead)
	k.around(w, r, z)
	w.arc(at(k.hub(), z), mid, lead)
}
