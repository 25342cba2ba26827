package measure

import (
	"fmt"
	"math"
	"strings"
)

// InputError reports a figure that cannot be meant: not a number, negative
// where it must not be, or beyond a hundred metres.
type InputError struct {
	What string  // which figure, in trade words
	Got  float64 // what was given, in the unit that What names
	Want string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %g; want %s", e.What, e.Got, e.Want)
}

// TooFewError reports readings that give no direction.
type TooFewError struct {
	Points   int
	On       Edge    // the line of the board they were taken on; "": any
	SpanMM   float64 // longest distance along the board between two of them on one line
	AcrossMM float64 // the same across it
}

func (e *TooFewError) Error() string {
	remedy := fmt.Sprintf("measure at least two points %g mm apart, best at both ends of the board", leastSpanMM)
	if e.AcrossMM > leastSpanMM {
		remedy = fmt.Sprintf("they lie %.3g mm apart across it: are x and y exchanged, or is it the job's long axis?", e.AcrossMM)
	}
	on := "one line"
	if e.On != "" {
		on = "the line " + string(e.On)
	}
	return fmt.Sprintf("%d readings over %.3g mm along %s give no direction; %s", e.Points, e.SpanMM, on, remedy)
}

// ExchangedError reports a left edge that lies to the right of the right one.
type ExchangedError struct {
	WidthMM float64 // measured width at the start, negative
}

func (e *ExchangedError) Error() string {
	return fmt.Sprintf("the left edge lies %.3g mm to the right of the right one; exchange left and right, which are seen from the start end", -e.WidthMM)
}

// several is every fault found, for errors.As to take apart.
type several []error

// together returns nil for no fault, the fault itself for one, and the first of
// too many.
func together(faults []error) error {
	switch len(faults) {
	case 0:
		return nil
	case 1:
		return faults[0]
	}
	if n := len(faults); n > faultsShown {
		faults = append(faults[:faultsShown:faultsShown], fmt.Errorf("and %d faults more; mend these first", n-faultsShown))
	}
	return several(faults)
}

func (s several) Unwrap() []error { return s }

func (s several) Error() string {
	lines := make([]string, len(s))
	for i, e := range s {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// largestMM bounds every length that the package accepts: a hundred metres.
// No board is near it, and squares of it stay far from overflow.
const largestMM = 1e5

// finite reports whether every x is a number of a size that can be a length in
// millimetres.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.Abs(x) > largestMM {
			return false
		}
	}
	return true
}
