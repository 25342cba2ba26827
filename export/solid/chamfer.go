package solid

import (
	"slices"

	"reseat/export/solid/plan"
	"reseat/jig/geom"
)

// chamfer is a contour of the plate with its chamfers of 45 degrees: on the bed
// side, at the top or both.
type chamfer struct {
	base        int // loop of the contour itself
	poly        []geom.Vec
	outward     bool    // a void widens; the outline shrinks
	foot, entry float64 // mm; 0: none

	skeleton              *skeleton
	rings                 []int                  // loops of the contour offset by the legs
	times                 []float64              // the legs, rising
	nodes                 map[plan.Point]float64 // offset at which corners of the skeleton lie, mm
	footSlope, entrySlope height
}

// addChamfer keeps b if it has a leg.
func (d *drawing) addChamfer(b *chamfer) {
	if b.foot > 0 || b.entry > 0 {
		b.footSlope.at, b.entrySlope.at = map[int32]float32{}, map[int32]float32{}
		d.chamfers = append(d.chamfers, b)
	}
}

// at returns the loop of the wide end of the chamfer with the given leg: the
// contour itself when there is none.
func (b *chamfer) at(leg float64) int {
	for i, t := range b.times {
		if t == leg {
			return b.rings[i]
		}
	}
	return b.base
}

// offsetChamfers offsets the contours by their legs and adds what they sweep: the rings
// at the wide ends, and the edges between their planes.
func (d *drawing) offsetChamfers() error {
	var bad inputError
	for _, b := range d.chamfers {
		base := d.parts[b.base]
		for _, leg := range []float64{b.foot, b.entry} {
			if leg > 0 {
				b.times = append(b.times, leg)
			}
		}
		slices.Sort(b.times)
		b.times = slices.Compact(b.times)
		var err error
		if b.skeleton, err = newSkeleton(b.poly, b.outward, b.times); err != nil {
			bad.say("chamfer of %s: %v", base.name, err)
			continue
		}
		for i, t := range b.times {
			p := part{name: "chamfer of " + base.name, role: chamferPart, base: b.base, bottom: t == b.foot, top: t == b.entry}
			if base.role == outlinePart {
				p.role = outlinePart
			}
			b.rings = append(b.rings, d.add(p, b.skeleton.rings[i]))
		}
		d.addCornerPaths(b)
	}
	return bad.err()
}

// addCornerPaths adds the paths of the corners, so that each plane of the chamfer is a
// face of the plan.
func (d *drawing) addCornerPaths(b *chamfer) {
	b.nodes = map[plan.Point]float64{}
	for _, path := range b.skeleton.paths {
		var chain []plan.Point
		for _, s := range path {
			p := d.grid.snap(s.at)
			if len(chain) == 0 || chain[len(chain)-1] != p {
				chain = append(chain, p)
			}
			b.nodes[p] = s.t
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
// t is the offset of the contour that passes there; on rings and where corners of the
// skeleton lie it is set, not computed, so that no step is left by rounding.
func (d *drawing) slope(pl *plan.Plan) {
	for _, b := range d.chamfers {
		offset := map[int32]float64{}
		for _, v := range pl.OnLoop[b.base] {
			offset[v] = 0
		}
		for i, k := range b.rings {
			for _, v := range pl.OnLoop[k] {
				offset[v] = b.times[i]
			}
		}
		widest := b.at(b.skeleton.end)
		for _, t := range pl.Triangles {
			f := pl.Faces[t.Face]
			if f.Inside(widest) == f.Inside(b.base) {
				continue
			}
			for _, v := range t.V {
				if _, ok := offset[v]; !ok {
					p := pl.Points[v]
					at, ok := b.nodes[p]
					if !ok {
						at = b.skeleton.offsetAt(d.grid.mm(p))
					}
					offset[v] = at
				}
				if t := offset[v]; t <= b.foot {
					b.footSlope.at[v] = level(b.foot - t)
				}
				if t := offset[v]; t <= b.entry {
					b.entrySlope.at[v] = level(d.thickness - b.entry + t)
				}
			}
		}
	}
}
