package holddown

import (
	"fmt"
	"strings"
)

// InputError reports a figure that cannot be meant, NaN and infinity among them.
type InputError struct {
	What string  // which figure, in trade words, with its unit
	Got  float64 // in that unit
	Want string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("holddown: %s is %g; want %s", e.What, e.Got, e.Want)
}

// WordError reports a word that is none of those there are.
type WordError struct{ What, Got, Want string }

func (e *WordError) Error() string {
	return fmt.Sprintf("holddown: %s is %q; want %s", e.What, e.Got, e.Want)
}

const prefix = "holddown: "

// mostShown bounds the list of faults: nobody reads past the first screen.
const mostShown = 40

// faults is every fault found, for errors.As to take apart.
type faults []error

// within asks that v lies between least and most; NaN does not.
func (f *faults) within(what string, v, least, most float64) bool {
	ok := v >= least && v <= most
	if !ok {
		*f = append(*f, &InputError{what, v, fmt.Sprintf("%g to %.6g", least, most)})
	}
	return ok
}

// or is within for an entry that may be left 0.
func (f *faults) or(what string, v, least, most float64) {
	if v != 0 {
		f.within(what, v, least, most)
	}
}

func (f faults) err() error {
	switch n := len(f); {
	case n == 0:
		return nil
	case n == 1:
		return f[0]
	case n > mostShown:
		f = append(f[:mostShown:mostShown], fmt.Errorf("%sand %d faults more; mend these first", prefix, n-mostShown))
	}
	return f
}

func (f faults) Unwrap() []error { return f }

func (f faults) Error() string {
	lines := make([]string, len(f))
	for i, e := range f {
		lines[i] = strings.TrimPrefix(e.Error(), prefix)
	}
	return prefix + strings.Join(lines, "\n")
}
