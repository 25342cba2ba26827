package seat

import "fmt"

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

// BaselineError reports two locating pins that are too close to each other to
// give a direction.
type BaselineError struct{ LengthMM, LeastMM float64 }

func (e *BaselineError) Error() string {
	return fmt.Sprintf("two locating pins are %.4g mm apart; no direction can be taken from less than %g mm", e.LengthMM, e.LeastMM)
}

// WindowError reports a window that the board does not go into.
type WindowError struct {
	ShortMM float64 // by how much every wall must move outward before the board goes in
}

func (e *WindowError) Error() string {
	return fmt.Sprintf("the board does not go into the window; every wall must move out by %.3g mm", e.ShortMM)
}

// OutlineError reports a window or board outline that a nest cannot work with.
type OutlineError struct {
	Which  string // "window" or "board"
	Corner int    // index of the corner at fault; -1 when it is the whole outline
	Why    string
}

func (e *OutlineError) Error() string {
	if e.Corner < 0 {
		return fmt.Sprintf("%s outline %s", e.Which, e.Why)
	}
	return fmt.Sprintf("%s outline, corner %d: %s", e.Which, e.Corner, e.Why)
}
