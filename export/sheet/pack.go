package sheet

import (
	"slices"

	"reseat/export/block"
	"reseat/jig/geom"
)

// highest returns the lower left corner of the highest, then leftmost, free
// place whose top and left side line up with the room or with a placed box.
func highest(room geom.Box, placed []geom.Box, s geom.Vec) (geom.Vec, bool) {
	xs := []float64{room.Min.X}
	tops := []float64{room.Max.Y}
	for _, p := range placed {
		xs = append(xs, p.Max.X+blockGap)
		tops = append(tops, p.Min.Y-blockGap)
	}
	slices.Sort(xs)
	slices.Sort(tops)
	slices.Reverse(tops)
	for _, top := range tops {
		for _, x := range xs {
			b := geom.Box{Min: geom.Vec{X: x, Y: top - s.Y}, Max: geom.Vec{X: x + s.X, Y: top}}
			if block.Within(room, b) && clearOf(placed, b) {
				return b.Min, true
			}
		}
	}
	return geom.Vec{}, false
}

func clearOf(placed []geom.Box, b geom.Box) bool {
	const rounding = 1e-6 // mm; neighbours exactly one gap apart may meet by rounding
	return !slices.ContainsFunc(placed, func(p geom.Box) bool { return block.Overlap(p.Grow(blockGap-rounding), b) })
}
