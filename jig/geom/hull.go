package geom

import (
	"cmp"
	"slices"
)

// Hull returns the corners of the convex hull, counter-clockwise; one or two
// points when the hull has no area.
//
// Reference: Andrew's monotone chain.
func Hull(pts []Vec) []Vec {
	p := slices.Clone(pts)
	slices.SortFunc(p, func(a, b Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	var out []Vec
	half := func(add Vec, floor int) {
		for len(out) > floor+1 {
			a, b := out[len(out)-2], out[len(out)-1]
			if b.Sub(a).Cross(add.Sub(a)) > 0 {
				break
			}
			out = out[:len(out)-1]
		}
		out = append(out, add)
	}
	for _, v := range p {
		half(v, 0)
	}
	floor := len(out) - 1
	for i := len(p) - 2; i >= 0; i-- {
		half(p[i], floor)
	}
	return out[:len(out)-1]
}
