package sheet

import (
	"fmt"
	"math"
	"sort"

	"reseat/jig/geom"
)

// Margins of the frame in millimetres (ISO 5457): 20 on the left for filing, 10
// on the other sides. All ink keeps within it.
const (
	marginLeft = 20.0
	marginSide = 10.0
	blockGap   = 8.0 // least free space between blocks, and to the frame
)

// size is a sheet, landscape.
type size struct {
	name string
	w, h float64
}

// standardSizes are the A series and the elongated sizes of ISO 5457 (the short
// side of one size with the long side of a larger one), landscape, mm.
var standardSizes = []size{
	{"A4", 297, 210},
	{"A3", 420, 297},
	{"A2", 594, 420},
	{"A1", 841, 594},
	{"A0", 1189, 841},
	{"A3.2", 594, 297},
	{"A3.1", 841, 297},
	{"A3.0", 1189, 297},
	{"A2.1", 841, 420},
	{"A2.0", 1189, 420},
	{"A1.0", 1189, 594},
}

// longestMM is the longest sheet that is drawn and the largest figure that is
// put on it, mm. No board is 20 m long; beyond it the job is a mistake, and the
// hatching alone would fill the memory.
const longestMM = 20000.0

// candidates returns the sheets to try, the smallest area first, ending with
// sheets made to measure for a view of the given width.
func candidates(viewWidth float64) []size {
	out := append([]size(nil), standardSizes...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		// Standard sizes are trimmed to whole millimetres, so areas that ought to
		// be equal differ a little; of those the squarer sheet is handier.
		const alike = 0.01
		if p, q := a.w*a.h, b.w*b.h; math.Abs(p-q) > alike*p {
			return p < q
		}
		return a.w < b.w
	})
	// Made to measure, whole centimetres long, on the heights of paper rolls.
	long := math.Ceil((viewWidth+marginLeft+marginSide+2*blockGap)/10) * 10
	long = math.Max(long, 420)
	for _, h := range []float64{297, 420, 594, 841, 1189, 2400, 6000} {
		out = append(out, size{fmt.Sprintf("%s x %s", mm(long), mm(h)), long, h})
	}
	return out
}

// frame returns the drawing space of a sheet.
func (s size) frame() geom.Box {
	return geom.Box{Min: geom.Vec{X: marginLeft, Y: marginSide}, Max: geom.Vec{X: s.w - marginSide, Y: s.h - marginSide}}
}

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
	order := make([]int, len(sizes))
	for i := range order {
		order[i] = i
	}
	for {
		if at, ok := packInOrder(room, taken, sizes, order); ok {
			return at, true
		}
		if len(order) < 2 || !nextOrder(order[1:]) {
			return nil, false
		}
	}
}

// nextOrder turns p into its next permutation in dictionary order; false after
// the last.
func nextOrder(p []int) bool {
	i := len(p) - 2
	for i >= 0 && p[i] > p[i+1] {
		i--
	}
	if i < 0 {
		return false
	}
	j := len(p) - 1
	for p[j] < p[i] {
		j--
	}
	p[i], p[j] = p[j], p[i]
	for a, b := i+1, len(p)-1; a < b; a, b = a+1, b-1 {
		p[a], p[b] = p[b], p[a]
	}
	return true
}

// packInOrder puts each box as high as it goes, then as far left as it goes.
func packInOrder(room geom.Box, taken []geom.Box, sizes []geom.Vec, order []int) ([]geom.Vec, bool) {
	out := make([]geom.Vec, len(sizes))
	placed := append([]geom.Box(nil), taken...)
	for _, k := range order {
		at, ok := highest(room, placed, sizes[k])
		if !ok {
			return nil, false
		}
		out[k] = at
		placed = append(placed, geom.Box{Min: at, Max: at.Add(sizes[k])})
	}
	return out, true
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
