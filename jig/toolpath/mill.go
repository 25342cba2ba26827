package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Bore mills a round hole with a cutter smaller than it.
//
// The tool goes over the centre, down to the approach height, out to its circle while
// still in air, down in a helix of full circles, and once around flat on the floor. A hole
// too wide for one ring is cleared level by level with rings from the inside outward. A
// last pass at full depth takes the stock that was left for it. Then back to the centre and
// up.
//
//	radius of the tool's centre = (hole - tool) / 2
//
// The error is a cutter that is not smaller than the hole.
func (r Router) Bore(h Hole) (*Cut, error) {
	k := track{c: h.At, along: geom.Vec{X: 1}, r: (h.DiameterMM - r.DiameterMM) / 2}
	return r.mill(h.ID, fmt.Sprintf("bore %.3f", h.DiameterMM), k, h.DiameterMM, h.FromMM, h.DepthMM)
}

// Slot mills a slot with a cutter smaller than its width, in the manner of Bore, along the
// slot's own outline. The ends are true half circles.
func (r Router) Slot(h Slot) (*Cut, error) {
	k := track{
		c: h.At, along: geom.Rigid{Angle: h.AngleRad}.Apply(geom.Vec{X: 1}),
		travel: h.TravelMM, r: (h.WidthMM - r.DiameterMM) / 2,
	}
	return r.mill(h.ID, fmt.Sprintf("slot %.3f wide, travel %.3f", h.WidthMM, h.TravelMM), k, h.WidthMM, 0, h.DepthMM)
}

// clearing is the work of one milled hole or slot.
type clearing struct {
	outer  track   // the path along the finished wall
	rings  int     // of roughing, equally spaced
	rough  float64 // radius of the outermost one
	levels []level
	finish bool
	from   float64 // depth where the stock begins
}

// level is one depth of the roughing: passes of the innermost ring from one height to the
// other.
type level struct {
	from, to float64
	passes   int
}

// mill plans the cut of a track.
func (r Router) mill(id, what string, k track, width, from, depth float64) (*Cut, error) {
	room := width - r.DiameterMM
	switch {
	case !(room > 0): // NaN too
		return nil, fmt.Errorf("the tool of %.4g mm must be smaller than the hole, %.4g mm: take a smaller one, or drill",
			r.DiameterMM, width)
	case room < 2*leastOrbitMM:
		return nil, fmt.Errorf("the tool of %.4g mm is hardly smaller than the hole, %.4g mm, and a circle of %.4g mm is "+
			"finer than the machine draws: take a smaller one, or drill",
			r.DiameterMM, width, room)
	}
	cut := &Cut{ID: id, At: k.hub()}
	if width < tightRatio*r.DiameterMM {
		cut.Cautions = append(cut.Cautions,
			fmt.Sprintf("%s: the tool is only %.3g mm smaller than the hole: the helix is nearly a plunge, clear the chips",
				id, room))
	}
	c := &clearing{outer: k, rings: 1, rough: k.r - r.FinishMM, finish: true, from: from}
	if c.rough < leastOrbitMM {
		c.rough, c.finish = k.r, false
		cut.Cautions = append(cut.Cautions,
			fmt.Sprintf("%s: no room for a finishing pass of %.3g mm; cut to size at once", id, r.FinishMM))
	}
	if c.rough > reachOver*r.DiameterMM {
		c.rings = int(math.Ceil(c.rough / (stepover * r.DiameterMM)))
	}
	c.descend(depth, math.Min(r.PassMM, c.ring(1).length()*math.Tan(rampRad)))
	for _, l := range c.levels {
		cut.Passes += l.passes + c.rings
		cut.PassMM = math.Max(cut.PassMM, (l.from-l.to)/float64(l.passes))
	}
	if c.finish {
		cut.Passes++
	}
	// A way to each ring; down, out and up, and the arcs of the finishing pass.
	cut.most = cut.Passes*k.moves() + len(c.levels)*(c.rings+1) + 8
	cut.Says = fmt.Sprintf("%s: %s to Z%.3f, %d passes, at most %.3f deep", id, what, -depth, cut.Passes, cut.PassMM)
	cut.make = func(w *writer) { c.cut(w, r) }
	return cut, nil
}

// descend chooses the depths. One ring goes down in one helix. Several are cut level by
// level, so that no ring takes more than one pass's depth.
func (c *clearing) descend(depth, pitch float64) {
	levels := 1
	if c.rings > 1 {
		levels = ceilRatio(depth-c.from, pitch)
	}
	z := approachMM - c.from
	for i := 1; i <= levels; i++ {
		next := -c.from - float64((depth-c.from)*(float64(i)/float64(levels)))
		c.levels = append(c.levels, level{z, next, ceilRatio(z-next, pitch)})
		z = next
	}
}

// ring returns roughing ring i of c.rings; the last is the outermost.
func (c *clearing) ring(i int) track {
	k := c.outer
	k.r = c.rough * float64(i) / float64(c.rings)
	return k
}

// cut makes the moves.
func (c *clearing) cut(w *writer, r Router) {
	w.start(c.outer.hub(), r.SafeMM)
	w.feed(at(c.outer.hub(), approachMM-c.from), r.FeedMMmin)
	first := c.ring(1)
	for _, l := range c.levels {
		w.feed(at(first.start(), w.here.Z), r.FeedMMmin)
		for n := 1; n <= l.passes && !w.done; n++ {
			z := l.to
			if n < l.passes {
				z = l.from - (l.from-l.to)*float64(n)/float64(l.passes)
			}
			first.around(w, r, z)
		}
		for n := 1; n <= c.rings; n++ {
			k := c.ring(n)
			w.feed(at(k.start(), l.to), r.FeedMMmin)
			k.around(w, r, l.to)
		}
	}
	if c.finish {
		c.outer.finish(w, r)
	}
	w.feed(at(c.outer.hub(), w.here.Z), r.FeedMMmin)
	w.lift(r.SafeMM)
}
