package solid

import (
	"slices"

	"reseat/export/solid/plan"
	"reseat/jig/geom"
)

// bevel is a contour of the plate with its chamfers of 45 degrees: on the bed
// side, at the top or both.
type bevel struct {
	base        int // loop of the contour itself
	poly        []geom.Vec
	outward     bool    // a void widens; the outline shrinks
	foot, entry float64 // mm; 0: none

	front                 *front
	rings                 []int // loops of the front at its times
	times                 []float64
	stops                 map[plan.Point]float64 // what the front had marched where its corners stopped, mm
	footSlope, entrySlope height
}

// bevel keeps b for chamfer if it has any chamfers.
func (d *drawing) bevel(b *bevel) {
	if b.foot > 0 || b.entry > 0 {
		b.footSlope.at, b.entrySlope.at = map[int32]float32{}, map[int32]float32{}
		d.bevels = append(d.bevels, b)
	}
}

// at returns the loop of the wide end of the chamfer with the given leg: the
// contour itself when there is none.
func (b *bevel) at(leg float64) int {
	for i, t := range b.times {
		if t == leg {
			return b.rings[i]
		}
	}
	return b.base
}

// chamfer marches the contours by their legs and adds what they sweep: the rings
// at the wide ends, and the ways of the corners as edges.
func (d *drawing) chamfer() error {
	var bad inputError
	for _, b := range d.bevels {
		base := d.parts[b.base]
		for _, leg := range []float64{b.foot, b.entry} {
			if leg > 0 {
				b.times = append(b.times, leg)
			}
		}
		slices.Sort(b.times)
		b.times = slices.Compact(b.times)
		var err error
		if b.front, err = march(b.poly, b.outward, b.times); err != nil {
			bad.say("chamfer of %s: %v", base.name, err)
			continue
		}
		for i, t := range b.times {
			p := part{name: "chamfer of " + base.name, role: chamferPart, base: b.base, bottom: t == b.foot, top: t == b.entry}
			if base.role == outlinePart {
				p.role = outlinePart
			}
			b.rings = append(b.rings, d.add(p, b.front.rings[i]))
		}
		d.lay(b)
	}
	return bad.err()
}

// lay adds the ways of the corners, so that each plane of the chamfer is a face
// of the plan.
func (d *drawing) lay(b *bevel) {
	b.stops = map[plan.Point]float64{}
	for _, way := range b.front.ways {
		var chain []plan.Point
		for _, s := range way {
			p := d.grid.snap(s.at)
			if len(chain) == 0 || chain[len(chain)-1] != p {
				chain = append(chain, p)
			}
			b.stops[p] = s.t
		}
		if len(chain) > 1 {
			d.contours = append(d.contours, plan.Contour{Points: chain, Loop: -1})
		}
	}
}

// slope gives every vertex of the plan on a chamfer its height there.
//
//	foot:  z = foot - t,  entry:  z = thickness - entry + t
//
// t is what the front has marched, and what it has on rings and where corners
// stopped is set, not computed, so that no step is left by rounding.
func (d *drawing) slope(pl *plan.Plan) {
	for _, b := range d.bevels {
		marched := map[int32]float64{}
		for _, v := range pl.OnLoop[b.base] {
			marched[v] = 0
		}
		for i, k := range b.rings {
			for _, v := range pl.OnLoop[k] {
				marched[v] = b.times[i]
			}
		}
		widest := b.at(b.front.end)
		for _, t := range pl.Triangles {
			f := pl.Faces[t.Face]
			if f.Inside(widest) == f.Inside(b.base) {
				continue
			}
			for _, v := range t.V {
				if _, ok := marched[v]; !ok {
					p := pl.Points[v]
					at, ok := b.stops[p]
					if !ok {
						at = b.front.time(d.grid.mm(p))
					}
					marched[v] = at
				}
				if t := marched[v]; t <= b.foot {
					b.footSlope.at[v] = level(b.foot - t)
				}
				if t := marched[v]; t <= b.entry {
					b.entrySlope.at[v] = level(d.thickness - b.entry + t)
				}
			}
		}
	}
}
