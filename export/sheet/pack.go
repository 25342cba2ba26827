package sheet

import (
	"sort"

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
	p := packer{
		room: room, sizes: sizes, at: make([]geom.Vec, len(sizes)), done: make([]bool, len(sizes)),
		placed: append(make([]geom.Box, 0, len(taken)+len(sizes)), taken...),
	}
	if !p.next(len(sizes)) {
		return nil, false
	}
	return p.at, true
}

// packer is a search through the orders of boxes in dictionary order. Orders
// that begin alike share the places of that beginning, and none that begins
// with a failure is tried again.
type packer struct {
	room   geom.Box
	sizes  []geom.Vec
	placed []geom.Box // taken boxes, then those that have a place
	done   []bool     // by box: it has a place
	at     []geom.Vec
}

// next places one more box and then the rest, left in number; false when no
// order of them fits.
func (p *packer) next(left int) bool {
	if left == 0 {
		return true
	}
	for k, s := range p.sizes {
		if p.done[k] {
			continue
		}
		if at, ok := highest(p.room, p.placed, s); ok {
			p.at[k], p.done[k] = at, true
			p.placed = append(p.placed, geom.Box{Min: at, Max: at.Add(s)})
			if p.next(left - 1) {
				return true
			}
			p.placed, p.done[k] = p.placed[:len(p.placed)-1], false
		}
		if k == 0 {
			return false // the first box comes first or not at all
		}
	}
	return false
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
	sort.Float64s(xs)
	sort.Sort(sort.Reverse(sort.Float64Slice(tops)))
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
	for _, p := range placed {
		if overlap(p.Grow(blockGap-rounding), b) {
			return false
		}
	}
	return true
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
