package job

import (
	"fmt"

	"reseat/jig/units"
)

// MaxFileBytes is the largest job file that is read: 1 MiB. A job is a page of
// text; anything near this is not one.
const MaxFileBytes = 1 << 20

// Bounds on the shape of a file. They keep a wrong file from filling the screen.
const (
	maxListed   = 50  // faults that are told one by one
	maxDepth    = 8   // sections in sections; a job needs four
	maxText     = 80  // characters of a title or a name; it must fit a title block
	maxFeatures = 200 // of a board
	maxKeepOuts = 100
	maxReadings = 100 // micrometer readings
)

// span is a closed range that a value can lie in at all. Whether it is wise is
// for the rules to say. Lengths are mm.
type span struct{ least, most float64 }

func (s span) holds(v float64) bool { return v >= s.least && v <= s.most }

// The bounds of lengths, in millimetres. A board is anything from a small inlay
// plate to a neck of a double bass; a machine is one that stands in a workshop.
// All: common practice, no source, chosen wide, so that only a slip (a wrong
// unit, a lost point) falls outside.
var (
	boardLengthSpan    = span{30, 3000}
	boardWidthSpan     = span{5, 600}
	boardThicknessSpan = span{0.5, 200}
	cornerSpan         = span{0, 300}
	crownSpan          = span{10, 20000} // 0 is taken too: flat
	scaleSpan          = span{100, 1500}
	placeSpan          = span{-3000, 3000} // u or v
	boreSpan           = span{0.5, 100}
	depthSpan          = span{0.05, 200}
	spreadSpan         = span{0, 300} // between the two dots of a pair

	blankLengthSpan    = span{30, 4000}
	blankWidthSpan     = span{5, 1000}
	blankThicknessSpan = span{0.5, 300}
	bedThicknessSpan   = span{1, 200}
	bedSizeSpan        = span{30, 5000}

	travelSpan   = span{10, 10000}
	positionSpan = span{0, 2}
	squareSpan   = span{0, 5} // over 300 mm: a degree
	cutterSpan   = span{0.1, 60}

	pinDiameterSpan = span{1, 25}
	pinLengthSpan   = span{3, 200}

	plateThicknessSpan = span{0.5, 100}
	marginSpan         = span{0, 500}
	clearanceSpan      = span{0, 5}
	kerfSpan           = span{0, 5}
	holeSpreadSpan     = span{0, 2}
	holeBiasSpan       = span{-2, 2}
	nozzleSpan         = span{0.1, 3}
	printBedSpan       = span{30, 3000}

	stripSpan      = span{0, 50}
	railHeightSpan = span{0.2, 200}
	railGapSpan    = span{0, 10}
	accuracySpan   = span{0.001, 10}

	turnSpan       = span{0.01, 20} // depth of one turn
	finishSpan     = span{0.01, 5}
	safeSpan       = span{2, 200} // toolpath refuses less
	gapSpan        = span{0, 2}
	underSpan      = span{0, 5}
	stepSpan       = span{0.005, 2}
	proudSpan      = span{0, 10}
	opaqueSpan     = span{0, 20}
	inlayThickSpan = span{0.1, 50}
)

// The bounds of other numbers.
var (
	pinCountSpan = span{2, 12}     // two pins locate; more than twelve is a misprint
	feedSpan     = span{10, 20000} // mm/min
	rpmSpan      = span{100, 100000}
	shrinkSpan   = span{-2, 5} // percent; filaments run from 0 to 3
	teethSpan    = span{1, 12}
	forceSpan    = span{1, 1000} // N/mm2
	fretSpan     = span{0, 40}   // three octaves and a third
	movementSpan = span{0.01, 1} // percent of the width per 1 % of moisture; woods run from 0.1 to 0.45
	tempSpan     = span{-20, 60} // degrees Celsius
	rhSpan       = span{0, 100}  // percent
)

// micrometerOffMM is how far a micrometer reading may lie from the pin's nominal
// diameter: no tolerance class of a dowel pin comes near it, so a reading beyond
// it is a slip or another pin.
const micrometerOffMM = 0.25

// readingSpan only keeps a reading finite; the pin's size is the real bound.
var readingSpan = span{0, 1e6}

// words tells the range in the unit u, for a message.
func (s span) words(u units.Unit) string {
	return fmt.Sprintf("%s to %s %s", units.Significant(s.least/u.MM(), 4), units.Significant(s.most/u.MM(), 4), u)
}
