package picture

// lineType is a pattern of ISO 128-2.
type lineType int

// The line types in use, with their numbers in ISO 128-2.
const (
	continuous        lineType = iota // 01
	dashed                            // 02
	longDashDot                       // 04
	longDashDoubleDot                 // 05
)

// Pen is how a line is drawn.
type Pen struct {
	Line    lineType // zero: continuous
	WidthMM float64
	Colour  Colour
	Round   bool // ends and joins round instead of square and mitred
}

// Line widths in millimetres: the 0.5 line group of ISO 128-2, in which wide to
// narrow is 2 to 1, and the 0.7 mm frame of ISO 5457.
const (
	WideMM   = 0.5
	NarrowMM = 0.25
	FrameMM  = 0.7
)

// The pens of a drawing, with the lines of ISO 128-2 that they draw: 01.2 visible
// edges; 01.1 dimension, projection and leader lines, hatching; 02.1 hidden edges;
// 04.1 centre lines; 04.2 cutting planes and the marked length of a stop; 05.1
// outlines of adjacent parts and the path of a cutter; the frame of a sheet; the
// lines behind a chart.
var (
	PenOutline  = Pen{Line: continuous, WidthMM: WideMM}
	PenThin     = Pen{Line: continuous, WidthMM: NarrowMM}
	PenHidden   = Pen{Line: dashed, WidthMM: NarrowMM}
	PenCentre   = Pen{Line: longDashDot, WidthMM: NarrowMM}
	PenCut      = Pen{Line: longDashDot, WidthMM: WideMM}
	PenAdjacent = Pen{Line: longDashDoubleDot, WidthMM: NarrowMM}
	PenFrame    = Pen{Line: continuous, WidthMM: FrameMM}
	PenGrid     = Pen{Line: continuous, WidthMM: 0.18, Colour: Colour{0x99, 0x99, 0x99}}
)

// Lengths of the line elements as multiples of the line width d (ISO 128-2,
// recalled): long dash 24 d, dash 12 d, gap 3 d, dot at most 0.5 d. The dot of
// half a width is the travel of a round pen, whose mark is longer by the pen
// itself; with the square ends drawn here a dot of 1 d leaves as much ink, where
// 0.5 d nearly vanishes.
const (
	longDashD = 24
	dashD     = 12
	gapD      = 3
	dotD      = 1
)

// dashes returns the lengths of dash and gap in turn, in millimetres, starting
// with a dash; nil for a continuous line.
func (p Pen) dashes() []float64 {
	var d []float64
	switch p.Line {
	case dashed:
		d = []float64{dashD, gapD}
	case longDashDot:
		d = []float64{longDashD, gapD, dotD, gapD}
	case longDashDoubleDot:
		d = []float64{longDashD, gapD, dotD, gapD, dotD, gapD}
	}
	for i := range d {
		d[i] *= p.WidthMM
	}
	return d
}
