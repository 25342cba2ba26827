package dowel

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/units"
)

// A StandardError is a pin standard that is not known.
type StandardError struct {
	Got        string
	Known      []string
	DidYouMean string // "" when nothing is near
}

func (e *StandardError) Error() string {
	s := fmt.Sprintf("dowel: no pin standard %q; there are %s", e.Got, strings.Join(e.Known, ", "))
	if e.DidYouMean != "" {
		s += fmt.Sprintf(" (did you mean %s?)", e.DidYouMean)
	}
	return s
}

// A DiameterError is a diameter that a standard does not have.
type DiameterError struct {
	Standard string
	GotMM    float64
	KnownMM  []float64 // ascending; nil when the standard has any
}

// NearestMM is the nearest diameter that the standard has, 0 when it has any or
// the one asked for is not a number.
func (e *DiameterError) NearestMM() float64 {
	best := 0.0
	for _, d := range e.KnownMM {
		if best == 0 || math.Abs(d-e.GotMM) < math.Abs(best-e.GotMM) {
			best = d
		}
	}
	if math.IsNaN(e.GotMM) {
		return 0
	}
	return best
}

func (e *DiameterError) Error() string {
	if math.IsNaN(e.GotMM) || e.GotMM <= 0 || e.GotMM > largestPinMM {
		return fmt.Sprintf("dowel: a pin of %s mm; want a diameter over 0, up to %s", short(e.GotMM), short(largestPinMM))
	}
	inch := func(d float64) string {
		if e.Standard == asmeInch {
			return fmt.Sprintf(" (%s in)", units.Inches(d))
		}
		return ""
	}
	n := e.NearestMM()
	return fmt.Sprintf("dowel: %s has no pin of %s mm; the nearest is %s mm%s", e.Standard, short(e.GotMM), short(n), inch(n))
}

// A ClassError is a tolerance class that a standard does not have.
type ClassError struct {
	Standard string
	Got      string
	Known    []string // nil: the standard has limits of its own and no class
}

func (e *ClassError) Error() string {
	if e.Known == nil {
		return fmt.Sprintf("dowel: %s has limits of its own and no class %s; leave the class out", e.Standard, e.Got)
	}
	return fmt.Sprintf("dowel: %s has no class %s; there are %s", e.Standard, e.Got, strings.Join(e.Known, ", "))
}

// A RequestError is a request for a hole that cannot be met whatever the hole.
type RequestError struct{ Says string }

func (e *RequestError) Error() string { return "dowel: " + e.Says }

func requestFault(format string, a ...any) error { return &RequestError{fmt.Sprintf(format, a...)} }

// short writes a length with at most four decimals and no trailing zeros.
func short(v float64) string { return units.Decimal(v, 4) }
