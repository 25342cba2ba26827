package trace

import (
	"cmp"
	"fmt"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// contours returns the outline first, then the holes in it; nil where faults leave none.
func (t *tracer) contours(all []contour) []contour {
	if len(all) == 0 {
		if len(t.faults) == 0 {
			t.missing("draw the outline as a closed contour", "nothing that is drawn encloses an area")
		}
		return nil
	}
	if t.crossings(all) {
		return nil
	}
	slices.SortStableFunc(all, func(a, b contour) int { return cmp.Compare(b.area, a.area) })
	outer := all[0]
	boxes := make([]geom.Box, len(all))
	for i, c := range all {
		boxes[i] = c.loop.Bounds()
	}
	solid := geom.Prepare(outer.loop)
	outside := 0
	for i, c := range all[1:] {
		e := &t.d.Entities[c.pieces[0].of]
		if p := c.pieces[0].P; solid.Depth(p) < 0 {
			if outside++; outside <= faultsShown {
				t.fault(e, p, "name the layer of the one that is the board", "a contour of %s lies outside the largest, of %s",
					size(boxes[i+1]), size(boxes[0]))
			}
			continue
		}
		for k := 1; k <= i; k++ {
			p := c.pieces[0].P
			if boxes[k].Contains(p) && all[k].loop.Contains(p) && outside == 0 {
				t.fault(e, c.pieces[0].P, "take it off the outline's layer", "a contour of %s within a hole of %s",
					size(boxes[i+1]), size(boxes[k]))
				break
			}
		}
	}
	return all
}

func size(b geom.Box) string {
	s := b.Size()
	return fmt.Sprintf("%s x %s mm", units.Decimal(s.X, 2), units.Decimal(s.Y, 2))
}

// swept is a piece with its box, its contour and where it stands in it.
type swept struct {
	piece
	box                geom.Box
	contour, at, count int // its contour, its place in it, how many pieces that has
}

// mostPairs bounds the pairs of edges of which the boxes overlap: ten for each edge, where outlines have two or three.
const mostPairs = 100_000

// crossings makes every place where contours meet each other, or one itself, a fault, and reports whether any does. The
// pieces are swept along the longer side of the drawing: only those that reach past each other there are compared.
func (t *tracer) crossings(all []contour) bool {
	var s []swept
	whole := geom.EmptyBox()
	for c := range all {
		for i, p := range all[c].pieces {
			b := p.Bounds().Grow(geom.MeetTol)
			whole = whole.Union(b)
			s = append(s, swept{p, b, c, i, len(all[c].pieces)})
		}
	}
	from := func(b geom.Box) (lo, hi float64) { return b.Min.X, b.Max.X }
	if d := whole.Size(); d.Y > d.X {
		from = func(b geom.Box) (lo, hi float64) { return b.Min.Y, b.Max.Y }
	}
	slices.SortStableFunc(s, func(a, b swept) int {
		x, _ := from(a.box)
		y, _ := from(b.box)
		return cmp.Compare(x, y)
	})
	var reported []geom.Vec
	var live []int
	compared := 0
	for i := range s {
		lo, _ := from(s[i].box)
		kept := live[:0]
		for _, k := range live {
			if _, hi := from(s[k].box); hi < lo {
				continue
			}
			kept = append(kept, k)
			if !s[k].box.Meets(s[i].box) {
				continue
			}
			if compared++; compared > mostPairs {
				t.missing("leave the board's outline and holes alone on their layer",
					"so many lines and arcs lie abreast that crossings cannot be looked for")
				return true
			}
			p, meets := s[k].meets(s[i])
			if !meets || slices.ContainsFunc(reported, func(q geom.Vec) bool { return p.Dist(q) < leastMM }) {
				continue
			}
			if reported = append(reported, p); len(reported) > faultsShown {
				return true
			}
			a, b := &t.d.Entities[s[k].of], &t.d.Entities[s[i].of]
			if a == b {
				t.fault(a, p, "mend it in the drawing", "it crosses or touches itself")
			} else {
				t.fault(a, p, t.orLayer("mend it in the drawing"), "it crosses or touches %v", *b)
			}
		}
		live = append(kept, i)
	}
	return len(reported) > 0
}

// meets returns a place where two pieces meet other than in the corner that they share.
func (a swept) meets(b swept) (geom.Vec, bool) {
	var shared []geom.Vec
	if a.contour == b.contour {
		if (a.at+1)%a.count == b.at {
			shared = append(shared, a.Q)
		}
		if (b.at+1)%b.count == a.at {
			shared = append(shared, a.P)
		}
	}
	for _, p := range geom.Intersect(a.Edge, b.Edge) {
		if !slices.ContainsFunc(shared, func(q geom.Vec) bool { return p.Dist(q) < leastMM }) {
			return p, true
		}
	}
	return geom.Vec{}, false
}
