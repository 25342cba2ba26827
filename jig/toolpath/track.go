package toolpath

import (
	"math"

	"reseat/jig/geom"
)

// track is a closed path of the tool's centre: a circle, or a slot's outline of
// two straight sides and two half circles.
type track struct {
	c      geom.Vec // middle
	along  geom.Vec // unit vector of the slot; +X for a circle
	travel float64  // 0 for a circle
	r      float64  // radius of the circle or of the ends
	ccw    bool
}

// hub returns the centre of the end where the track begins.
func (k track) hub() geom.Vec { return k.c.Sub(k.along.Scale(k.travel / 2)) }

// side returns the unit vector from the hub to the starting point. Going round
// counter-clockwise the tool leaves it in the direction of along, clockwise too:
// it lies right of the axis for the one and left for the other.
func (k track) side() geom.Vec {
	if k.ccw {
		return k.along.Left().Scale(-1)
	}
	return k.along.Left()
}

func (k track) start() geom.Vec { return k.hub().Add(k.side().Scale(k.r)) }

// length returns the way once around, seen from above.
//
//	2 pi r + 2 travel
func (k track) length() float64 { return 2*math.Pi*k.r + 2*k.travel }

// around goes once around from the starting point, from the tool's height to z,
// evenly along the way.
func (k track) around(w *writer, t Tool, z float64) {
	drop := w.here.Z - z
	arcFeed := sinkFeed(w.s, wallFeed(w.s, t, k.r), drop, k.length())
	p := k.start()
	if k.travel == 0 {
		w.arc(k.ccw, at(p, z), k.c, arcFeed)
		return
	}
	lineFeed := sinkFeed(w.s, w.s.FeedXYMMmin, drop, k.length())
	z0 := w.here.Z
	down := func(way float64) float64 { return z0 - drop*way/k.length() }
	half := math.Pi * k.r
	step := k.along.Scale(k.travel)
	across := k.side().Scale(2 * k.r)
	w.feed(at(p.Add(step), down(k.travel)), lineFeed)
	w.arc(k.ccw, at(p.Add(step).Sub(across), down(k.travel+half)), k.hub().Add(step), arcFeed)
	w.feed(at(p.Sub(across), down(2*k.travel+half)), lineFeed)
	w.arc(k.ccw, at(p, z), k.hub(), arcFeed)
}

// sinkFeed lowers a feed so that the tool sinks no faster than FeedZMMmin.
func sinkFeed(s Settings, mmmin, drop, length float64) float64 {
	if drop <= 0 {
		return mmmin
	}
	return math.Max(leastFeed, math.Min(mmmin, s.FeedZMMmin*math.Hypot(length, drop)/drop))
}

// finish goes once around at full depth, meeting and leaving the wall on half
// circles from the hub, so that no mark stays where the tool came in.
func (k track) finish(w *writer, t Tool) {
	z := w.here.Z
	mid := k.hub().Lerp(k.start(), 0.5)
	mmmin := wallFeed(w.s, t, k.r)
	w.feed(at(k.hub(), z), w.s.FeedXYMMmin)
	w.arc(k.ccw, at(k.start(), z), mid, mmmin)
	k.around(w, t, z)
	w.arc(k.ccw, at(k.hub(), z), mid, mmmin)
}
