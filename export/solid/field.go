package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"

	"reseat/jig"
	"reseat/jig/geom"
)

// body is the signed distance function of a printed plate.
type body struct {
	thickness, top float64
	outline        *ring
	voids          []*ring
	rails          []column
	marks          []markArea
	marksTop       float64
	chamfers       []chamferedEdge
}

// markArea is what the strokes of one mark cover.
type markArea struct {
	box    geom.Box
	pieces []capsule
}

// column is a rail.
type column struct {
	ring *ring
	top  float64
}

// chamferedEdge is a contour with chamfers.
type chamferedEdge struct {
	ring        *ring
	outward     bool // a void
	foot, entry float64
}

// field returns the signed distance function of the printed plate, from its true
// lines and arcs: the plate less window and holes, and on it the rails, which
// end where the plate does, and the marks, less the chamfers. Lengths are
// millimetres; it is negative inside. It defines the body that the mesh follows,
// and knows nothing of the polygons that the mesh is made from.
//
// Inside and outside are exact. The distance is exact near the surface away from
// edges; near edges and where rail and plate join it can be too small, as with
// any union or extrusion by maximum and minimum.
func field(p *jig.Print) sdf.SDF3 {
	b := &body{thickness: p.ThicknessMM, top: p.ThicknessMM, outline: newRing(p.Outline)}
	chamfer := func(r *ring, outward bool, foot, entry float64) {
		if foot > 0 || entry > 0 {
			b.chamfers = append(b.chamfers, chamferedEdge{r, outward, foot, entry})
		}
	}
	chamfer(b.outline, false, p.FootMM, 0)
	if p.Window != nil {
		b.voids = append(b.voids, newRing(p.Window))
		chamfer(b.voids[0], true, p.WindowFootMM, 0)
	}
	for _, h := range p.Holes {
		r := newRing(holeLoop(h, 0))
		b.voids = append(b.voids, r)
		chamfer(r, true, p.FootMM, p.EntryMM)
	}
	for _, r := range p.Rails {
		b.rails = append(b.rails, column{newRing(r.Outline), r.TopMM})
		b.top = math.Max(b.top, r.TopMM)
	}
	for _, m := range p.Marks {
		g := markArea{geom.EmptyBox(), capsules(m)}
		for _, c := range g.pieces {
			g.box = g.box.Union(c.box)
		}
		b.marks, b.marksTop = append(b.marks, g), m.LevelMM
	}
	b.top = math.Max(b.top, b.marksTop)
	return b
}

// holeLoop returns the contour of a hole grown by d on the radius.
func holeLoop(h jig.PrintHole, d float64) geom.Loop {
	return geom.Slot(h.Center, h.Angle, h.Travel, h.Diameter+2*d)
}

// BoundingBox returns the box of the outline from z = 0 to the highest top.
func (b *body) BoundingBox() sdf.Box3 {
	lo, hi := b.outline.box.Min, b.outline.box.Max
	return sdf.Box3{Min: v3.Vec{X: lo.X, Y: lo.Y}, Max: v3.Vec{X: hi.X, Y: hi.Y, Z: b.top}}
}

// Evaluate returns the distance in millimetres, negative inside. With m the
// distance of a point from a contour into the material, the slopes of 45 degrees are
//
//	foot:   (foot - z - m) / sqrt 2
//	entry:  the lesser of entry - m and (entry - m - (thickness - z)) / sqrt 2, m taken to the entry's wide end
func (b *body) Evaluate(at v3.Vec) float64 {
	q, z := geom.Vec{X: at.X, Y: at.Y}, at.Z
	flat := b.flat(q)
	d := math.Max(math.Max(flat, -z), z-b.thickness)
	for i := range b.rails {
		// Each rail reaches down to z = 0, so that no false border lies between rail and
		// plate.
		r, near := &b.rails[i], math.Max(0, d)
		if over := z - r.top; over < d && boxDistance2(r.ring.box, q) <= near*near {
			side := math.Sqrt(r.ring.distance2(q, math.Inf(1)))
			if r.ring.contains(q) {
				side = -side
			}
			d = math.Min(d, math.Max(math.Max(side, flat), math.Max(-z, over)))
		}
	}
	// A mark stands on the plate from inside it.
	if up := math.Max(z-b.marksTop, b.thickness/2-z); b.marks != nil && up < d {
		d = math.Min(d, math.Max(up, b.mark(q, d)))
	}
	for i := range b.chamfers {
		e := &b.chamfers[i]
		low, high := e.foot-z, e.entry-b.thickness+z // what is cut back at this height
		cutFoot, cutEntry := e.foot > 0 && low > 0, e.entry > 0 && high > 0
		if !cutFoot && !cutEntry {
			continue
		}
		// Only what is nearer than this can count.
		reach := (math.Max(low, high) + math.Max(0, -d)*math.Sqrt2) * e.ring.mitre
		if e.outward && boxDistance2(e.ring.box, q) > reach*reach {
			continue
		}
		m := e.ring.offsetDistance(q, e.outward)
		if cutFoot {
			d = math.Max(d, (low-m)/math.Sqrt2)
		}
		if cutEntry {
			d = math.Max(d, math.Min(e.entry-m, (high-m)/math.Sqrt2))
		}
	}
	return d
}

// flat returns the distance in the plan from the border of the plate, negative in
// its material.
func (b *body) flat(q geom.Vec) float64 {
	d2, inside := b.outline.distance2(q, math.Inf(1)), b.outline.contains(q)
	for _, v := range b.voids {
		if boxDistance2(v.box, q) < d2 {
			d2 = v.distance2(q, d2)
		}
		inside = inside && !v.contains(q)
	}
	if inside {
		return -math.Sqrt(d2)
	}
	return math.Sqrt(d2)
}

// mark returns how far q lies from the border of what the marks' strokes cover, or any
// number not below bound. Inside it can be too near to zero.
func (b *body) mark(q geom.Vec, bound float64) float64 {
	apart := func(box geom.Box) bool {
		return bound > 0 && boxDistance2(box, q) >= bound*bound || bound <= 0 && !box.Contains(q)
	}
	for i := range b.marks {
		if apart(b.marks[i].box) {
			continue
		}
		for k := range b.marks[i].pieces {
			if c := &b.marks[i].pieces[k]; !apart(c.box) {
				bound = math.Min(bound, c.distance(q))
			}
		}
	}
	return bound
}

// byMark reports whether a place lies at the wall of a mark, which may stray by
// markTolMM.
func (b *body) byMark(at v3.Vec) bool {
	q := geom.Vec{X: at.X, Y: at.Y}
	return at.Z > b.thickness-markTolMM && math.Abs(b.mark(q, 2*markTolMM)) <= markTolMM
}
