package sheet

import (
	"fmt"
	"math"
	"slices"

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
// side of one size with the long side of a larger one), landscape, mm: the smallest
// area first, and of equal areas the squarer sheet, which is handier.
var standardSizes = []size{
	{"A4", 297, 210},
	{"A3", 420, 297},
	{"A3.2", 594, 297},
	{"A2", 594, 420},
	{"A3.1", 841, 297},
	{"A2.1", 841, 420},
	{"A3.0", 1189, 297},
	{"A1", 841, 594},
	{"A2.0", 1189, 420},
	{"A1.0", 1189, 594},
	{"A0", 1189, 841},
}

// candidates returns the sheets to try: the standard sizes, then sheets made to
// measure for a view of the given width, whole centimetres long, on the heights of
// paper rolls.
func candidates(viewWidth float64) []size {
	out := slices.Clone(standardSizes)
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
