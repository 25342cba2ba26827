package solid

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// crowded finds chamfers that leave less than leastFeatureMM of plate to the next
// edge on their side: to another hole, the window or the outline, chamfered or
// not. It returns an *InputError, nil when there is room everywhere. Edges that meet without
// chamfers are left to overlaps.
func (d *drawing) crowded() error {
	legs := make(map[int]*bevel, len(d.bevels))
	for _, b := range d.bevels {
		legs[b.base] = b
	}
	var bad InputError
	for i, p := range d.parts {
		for j := i + 1; j < len(d.parts); j++ {
			q := d.parts[j]
			if !p.role.edge() || !q.role.edge() {
				continue
			}
			for _, top := range []bool{false, true} {
				a, legA := legs[i].wideEnd(i, top)
				b, legB := legs[j].wideEnd(j, top)
				if legA+legB == 0 {
					continue
				}
				inner := q.role == outlinePart
				if gap(d.polys[a], d.polys[b], inner, leastFeatureMM) >= leastFeatureMM {
					continue
				}
				web := gap(d.polys[i], d.polys[j], inner, math.Inf(1))
				if web <= 0 {
					continue
				}
				side := "the bed side"
				if top {
					side = "the top"
				}
				bad.Problems = append(bad.Problems, Problem{p.name, fmt.Sprintf(
					"too near to the %s for chamfers on %s: %.3f mm of plate between them, the chamfers take %.3f and %g must stay",
					q.name, side, web, legA+legB, leastFeatureMM)})
			}
		}
	}
	if bad.Problems != nil {
		return &bad
	}
	return nil
}

// edge reports whether a part bounds the plate.
func (r partRole) edge() bool { return r == holePart || r == windowPart || r == outlinePart }

// wideEnd returns the loop where the chamfer of contour k ends on one side of the
// plate and its leg: k and 0 without a chamfer.
func (b *bevel) wideEnd(k int, top bool) (loop int, leg float64) {
	if b == nil {
		return k, 0
	}
	leg = b.foot
	if top {
		leg = b.entry
	}
	if leg == 0 {
		return k, 0
	}
	return b.at(leg), leg
}

// gap returns the least distance between polygon a and polygon b, which it should
// lie inside of (inner) or apart from; 0 when it does not. What is not below
// enough may come out as any number not below it.
func gap(a, b []geom.Vec, inner bool, enough float64) float64 {
	boxA, boxB := boxOf(a...), boxOf(b...)
	if !inner && !meet(boxA.Grow(enough), boxB) {
		return enough
	}
	if geom.FromPoints(b).Contains(a[0]) != inner || !inner && geom.FromPoints(a).Contains(b[0]) {
		return 0
	}
	least := enough
	for i, p := range a {
		q := a[(i+1)%len(a)]
		near := boxOf(p, q).Grow(least)
		if math.IsInf(least, 1) {
			near = boxB
		}
		for k, r := range b {
			s := b[(k+1)%len(b)]
			if meet(near, boxOf(r, s)) {
				least = math.Min(least, geom.SegmentDistance(p, q, r, s))
			}
		}
	}
	return least
}

func boxOf(pts ...geom.Vec) geom.Box {
	b := geom.EmptyBox()
	for _, p := range pts {
		b = b.Include(p)
	}
	return b
}

// meet reports whether two boxes have a point in common.
func meet(a, b geom.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}
