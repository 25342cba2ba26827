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
	{"A4", 297, 210}, {"A3", 420, 297}, {"A2", 594, 420}, {"A1", 841, 594}, {"A0", 1189, 841},
	{"A3.2", 594, 297}, {"A3.1", 841, 297}, {"A3.0", 1189, 297},
	{"A2.1", 841, 420}, {"A2.0", 1189, 420}, {"A1.0", 1189, 594},
}

// longestMM is the longest sheet that is drawn, mm. Plotter rolls end at 50 m,
// and design.md's largest board is far below; beyond it the job is a mistake.
const longestMM = 20000.0

// candidates returns the sheets to try, the smallest area first, ending with
// sheets made to measure for a view of the given width.
func candidates(viewWidth float64) []size {
	out := append([]size(nil), standardSizes...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].w*out[i].h < out[j].w*out[j].h })
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
// boxes that are taken: each as high as it goes, then as far left as it goes.
// It returns the lower left corners, or false when one does not fit.
func pack(room geom.Box, taken []geom.Box, sizes []geom.Vec) ([]geom.Vec, bool) {
	var out []geom.Vec
	placed := append([]geom.Box(nil), taken...)
	for _, s := range sizes {
		xs := []float64{room.Min.X}
		tops := []float64{room.Max.Y}
		for _, p := range placed {
			xs = append(xs, p.Max.X+blockGap)
			tops = append(tops, p.Min.Y-blockGap)
		}
		sort.Float64s(xs)
		sort.Sort(sort.Reverse(sort.Float64Slice(tops)))
		found := false
	search:
		for _, top := range tops {
			for _, x := range xs {
				b := geom.Box{Min: geom.Vec{X: x, Y: top - s.Y}, Max: geom.Vec{X: x + s.X, Y: top}}
				if !within(room, b) {
					continue
				}
				free := true
				for _, p := range placed {
					if overlap(p.Grow(blockGap-1e-6), b) { // neighbours exactly one gap apart may meet by rounding
						free = false
						break
					}
				}
				if free {
					placed = append(placed, b)
					out = append(out, b.Min)
					found = true
					break search
				}
			}
		}
		if !found {
			return nil, false
		}
	}
	return out, true
}
