package register

import (
	"fmt"
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
	return fmt.Sprintf("register: %s is %g; want %s", e.What, e.Got, e.Want)
}

// BaselineError reports two locating pins that are too close to each other to
// give a direction.
type BaselineError struct{ LengthMM, LeastMM float64 }

func (e *BaselineError) Error() string {
	return fmt.Sprintf("register: two locating pins are %.4g mm apart; no direction can be taken from less than %g mm", e.LengthMM, e.LeastMM)
}

// WindowError reports a window that the board does not go into.
type WindowError struct {
	ShortMM float64 // by how much every wall must move outward before the board goes in
}

func (e *WindowError) Error() string {
	return fmt.Sprintf("register: the board does not go into the window; every wall must move out by %.3g mm", e.ShortMM)
}

// OutlineError reports a window or board outline that a nest cannot work with.
type OutlineError struct {
	Which  string // "window" or "board"
	Corner int    // index of the corner at fault; -1 when it is the whole outline
	Why    string
}

func (e *OutlineError) Error() string {
	if e.Corner < 0 {
		return fmt.Sprintf("register: %s outline %s", e.Which, e.Why)
	}
	return fmt.Sprintf("register: %s outline, corner %d: %s", e.Which, e.Corner, e.Why)
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
	return fmt.Sprintf("register: %d readings over %.3g mm along %s give no direction; %s", e.Points, e.SpanMM, on, remedy)
}

// ExchangedError reports a left edge that lies to the right of the right one.
type ExchangedError struct {
	WidthMM float64 // measured width at the start, negative
}

func (e *ExchangedError) Error() string {
	return fmt.Sprintf("register: the left edge lies %.3g mm to the right of the right one; exchange left and right, which are seen from the start end", -e.WidthMM)
}

// several is every fault found, for errors.As to take apart.
type several []error

// together returns nil for no fault, the fault itself for one.
func together(faults []error) error {
	switch len(faults) {
	case 0:
		return nil
	case 1:
		return faults[0]
	}
	return several(faults)
}

func (s several) Unwrap() []error { return s }

func (s several) Error() string {
	lines := make([]string, len(s))
	for i, e := range s {
		lines[i] = strings.TrimPrefix(e.Error(), prefix)
	}
	return prefix + strings.Join(lines, "\n")
}

// prefix stands before every message of the package, once.
const prefix = "register: "
