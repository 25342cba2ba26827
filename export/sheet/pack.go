package sheet

import (
	"slices"

	"reseat/jig/geom"
)

// pack finds places for boxes of the given sizes inside room, clear of the
// boxes that are taken, the first box always first. It tries the others in the
// order given and then in every other order, so that a sheet is not rejected
// for a clumsy start. It returns the lower left corners, or false when no order
// fits.
func pack(room geom.Box, taken []geom.Box, sizes []geom.Vec) ([]geom.Vec, bool) {
	var area float64
	for _, s := range sizes {
		area += s.X * s.Y
	}
	for _, b := range taken {
		area += b.Size().X * b.Size().Y
	}
	if r := room.Size(); area > r.X*r.Y {
		return nil, false
	}
	at, done := make([]geom.Vec, len(sizes)), make([]bool, len(sizes))
	// next places one more box and then the rest, left in number. Orders that begin
	// alike share the places of that beginning, and none that begins with a failure
	// is tried again.
	var next func(placed []geom.Box, left int) bool
	next = func(placed []geom.Box, left int) bool {
		if left == 0 {
			return true
		}
		// A box that has no place now has none later: more boxes leave no more room.
		places := make([]geom.Vec, len(sizes))
		for k, s := range sizes {
			if done[k] {
				continue
			}
			var ok bool
			if places[k], ok = highest(room, placed, s); !ok {
				return false
			}
		}
		for k, s := range sizes {
			if done[k] {
				continue
			}
			p := places[k]
			at[k], done[k] = p, true
			if next(append(placed[:len(placed):len(placed)], geom.Box{Min: p, Max: p.Add(s)}), left-1) {
				return true
			}
			done[k] = false
			if k == 0 {
				return false // the first box comes first or not at all
			}
		}
		return false
	}
	if !next(taken, len(sizes)) {
		return nil, false
	}
	return at, true
}

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
			if within(room, b) && clearOf(placed, b) {
				return b.Min, true
			}
		}
	}
	return geom.Vec{}, false
}

func clearOf(placed []geom.Box, b geom.Box) bool {
	const rounding = 1e-6 // mm; neighbours exactly one gap apart may meet by rounding
	return !slices.ContainsFunc(placed, func(p geom.Box) bool { return overlap(p.Grow(blockGap-rounding), b) })
}

// centre shifts box b sideways into the middle of the free space that it has in
// the room, when no other box stands beside it.
func centre(room geom.Box, others []geom.Box, b geom.Box) geom.Vec {
	for _, o := range others {
		if o.Min.Y < b.Max.Y && b.Min.Y < o.Max.Y {
			return b.Min
		}
	}
	return geom.Vec{X: room.Center().X - b.Size().X/2, Y: b.Min.Y}
}
