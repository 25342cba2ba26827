package solid

import "reseat/export/solid/plan"

// height states a surface over the plan: level, or a ramp with a height of its
// own at each plan vertex of the ramp.
type height struct {
	z  float32
	at map[int32]float32 // nil: level at z
}

func (h height) over(v int32) (float32, bool) {
	if h.at == nil {
		return h.z, true
	}
	z, ok := h.at[v]
	return z, ok
}

// interval is the material over a face of the plan: none, or from bottom to top.
type interval struct {
	solid       bool
	bottom, top height
}

// coat is one step of building a relief: over every face inside one loop and, if
// stated, outside another, it clears the material or sets its bottom, its top or
// both. Coats go on in order; bottom and top only where there is material.
type coat struct {
	inside  int
	outside int // below 0: anywhere
	clear   bool
	fill    bool // makes material; needs both heights
	bottom  *height
	top     *height
}

// relief is the material over a whole plan.
type relief struct {
	plan *plan.Plan
	over []interval // by face
}

// newRelief puts the coats on. Outside all of them there is nothing.
func newRelief(p *plan.Plan, coats []coat) *relief {
	r := &relief{p, make([]interval, len(p.Faces))}
	for i, f := range p.Faces {
		for _, c := range coats {
			if !f.Inside(c.inside) || c.outside >= 0 && f.Inside(c.outside) {
				continue
			}
			c.apply(&r.over[i])
		}
	}
	return r
}

func (c coat) apply(v *interval) {
	switch {
	case c.clear:
		*v = interval{}
		return
	case c.fill:
		v.solid = true
	case !v.solid:
		return
	}
	if c.bottom != nil {
		v.bottom = *c.bottom
	}
	if c.top != nil {
		v.top = *c.top
	}
}
