package measuring

import (
	"fmt"
	"math"

	"reseat/jig/measure"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// note is something that the maker should know; Lines are those of the readings file that
// it is about, if any.
type note struct {
	Lines []int  `json:"lines,omitempty"`
	Says  string `json:"says"`
}

// notes collects them.
type notes []note

func (n *notes) say(lines []int, format string, a ...any) {
	*n = append(*n, note{lines, fmt.Sprintf(format, a...)})
}

// contradicted notes readings that scatter by more than their stated error.
func (n *notes) contradicted(is bool, errorMM float64) {
	if is {
		n.say(nil, "the readings scatter by more than the stated error of +-%s mm explains: is one wrong, or was "+
			"something loose?", units.Decimal(errorMM, 3))
	}
}

// pinsFrom notes where the places of the pins were taken from.
func (n *notes) pinsFrom(from string) {
	if from != "" {
		n.say(nil, "the places of the pins: %s", from)
	}
}

// sideFlag is what a command line needs for the face that is up.
func sideFlag(up setup.Face) string {
	if up == setup.Under {
		return " --side under"
	}
	return ""
}

// basisText tells what the intervals rest on.
func basisText(b *measure.Uncertainty, from string) string {
	switch {
	case b == nil:
		return "  confidence  none: " + from + " are just enough; measure one more, or give --error-mm"
	case b.Stated:
		return fmt.Sprintf("  confidence  %s %%, from the stated error; %s", units.Decimal(100*b.Confidence, 2), from)
	}
	return fmt.Sprintf("  confidence  %s %%, from the scatter of %s", units.Decimal(100*b.Confidence, 2), from)
}

// halfText writes a value or the half width of an interval; "" when it is not known.
func halfText(half *float64, n int) string {
	if half == nil {
		return ""
	}
	return units.Fixed(*half, n)
}

// degrees is for people only; inside, angles are radians.
func degrees(rad float64) float64 { return rad * 180 / math.Pi }

// workOffset explains the number in what is typed, which is no pin's.
const workOffset = "P1 is work offset G54 here (P2: G55 ...), not pin P1: give the offset that was measured in."
