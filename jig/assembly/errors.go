package assembly

import "fmt"

// InputError reports a figure that cannot be meant.
type InputError struct {
	What  string  // which figure, with its unit
	Joint int     // index of the joint, -1 when it is not one joint's figure
	Got   float64 // what was given
	Want  string  // what would do
}

func (e *InputError) Error() string {
	if e.Joint < 0 {
		return fmt.Sprintf("assembly: %s is %g; want %s", e.What, e.Got, e.Want)
	}
	return fmt.Sprintf("assembly: joint %d: %s is %g; want %s", e.Joint, e.What, e.Got, e.Want)
}

// PatternError reports joints that stand so close together that the plate's
// rotation means nothing.
type PatternError struct{ SpanMM, LeastMM float64 }

func (e *PatternError) Error() string {
	return fmt.Sprintf("assembly: the two pins farthest apart stand %.4g mm apart; want at least %g mm", e.SpanMM, e.LeastMM)
}
