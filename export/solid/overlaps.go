package solid

import (
	"fmt"
	"slices"

	"reseat/export/solid/plan"
)

// part is one loop of the plan and what it stands for.
type part struct {
	name   string
	role   partRole
	level  float32 // top of a rail or mark
	base   int     // loop of the contour that a chamfer belongs to, else the loop itself
	bottom bool    // a chamfer on the bed side
	top    bool    // a chamfer at the top; one loop may be both
}

type partRole int

const (
	voidPart    partRole = iota
	outlinePart          // the outline, and where its chamfer ends
	railPart
	chamferPart // the wide end of a chamfer of a void
	markPart
)

// overlaps finds parts that cover the same area though they should not, and
// contours that cross themselves. Holes must be whole: none meets another void, its
// chamfers or the plate's edge. Rails end where the plate does.
func (d *drawing) overlaps(pl *plan.Plan) error {
	var e inputError
	say := func(format string, args ...any) {
		if text := fmt.Sprintf(format, args...); !slices.Contains(e, text) {
			e = append(e, text)
		}
	}
	for _, face := range pl.Faces {
		for i, p := range d.parts {
			switch w := face.Winding[i]; {
			case w == 0:
				continue
			case w != 1:
				say("%s crosses itself", p.name)
			}
			if p.role != railPart && !face.Inside(d.outline) {
				say("%s reaches beyond the plate's outline", p.name)
			}
			if (p.role == voidPart || p.role == chamferPart && p.bottom) && !face.Inside(d.foot) {
				say("%s reaches into the chamfer of the outline", p.name)
			}
			for j := range i {
				if face.Inside(j) && p.conflicts(d.parts[j]) {
					say("%s overlaps %s", d.parts[j].name, p.name)
				}
			}
		}
	}
	return e.err()
}

// conflicts reports whether two parts must not cover the same area.
func (p part) conflicts(q part) bool {
	if p.role > q.role {
		p, q = q, p
	}
	switch {
	case p.base == q.base || p.role == outlinePart || q.role == outlinePart:
		return false
	case p.role == railPart || q.role == railPart:
		return q.role == markPart
	case p.role == chamferPart && q.role == markPart:
		return p.top
	case p.role == chamferPart:
		return p.bottom && q.bottom || p.top && q.top
	}
	return true
}
