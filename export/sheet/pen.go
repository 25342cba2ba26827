package sheet

// LineType is a pattern of ISO 128-2, named by its number there.
type LineType string

// The line types in use.
const (
	Continuous           LineType = "01"
	Dashed               LineType = "02"
	LongDashDot          LineType = "04"
	LongDashDoubleDotted LineType = "05"
)

// Pen is a line type with its width in millimetres.
type Pen struct {
	Type    LineType
	WidthMM float64
}

// Line widths in millimetres: the 0.5 line group of ISO 128-2, in which wide to
// narrow is 2 to 1, and the 0.7 mm frame of ISO 5457.
const (
	wideMM   = 0.5
	narrowMM = 0.25
	frameMM  = 0.7
)

// The pens of the drawing.
var (
	PenOutline  = Pen{Continuous, wideMM}             // 01.2 visible edges
	PenThin     = Pen{Continuous, narrowMM}           // 01.1 dimension, projection and leader lines, hatching
	PenHidden   = Pen{Dashed, narrowMM}               // 02.1 hidden edges
	PenCentre   = Pen{LongDashDot, narrowMM}          // 04.1 centre lines, the datum line
	PenCut      = Pen{LongDashDot, wideMM}            // 04.2 cutting planes; also the marked length of a stop
	PenAdjacent = Pen{LongDashDoubleDotted, narrowMM} // 05.1 outlines of adjacent parts; the way of a cutter
	PenFrame    = Pen{Continuous, frameMM}            // frame of the sheet
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

// Dashes returns the lengths of dash and gap in turn, in millimetres, starting
// with a dash; nil for a continuous line.
func (p Pen) Dashes() []float64 {
	var d []float64
	switch p.Type {
	case Dashed:
		d = []float64{dashD, gapD}
	case LongDashDot:
		d = []float64{longDashD, gapD, dotD, gapD}
	case LongDashDoubleDotted:
		d = []float64{longDashD, gapD, dotD, gapD, dotD, gapD}
	}
	for i := range d {
		d[i] *= p.WidthMM
	}
	return d
}
