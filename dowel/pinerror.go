package dowel

import (
	"fmt"
	"math"
	"strings"
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
			return fmt.Sprintf(" (%s in)", inchName(d))
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
func short(v float64) string {
	s := fmt.Sprintf("%.4f", v)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// inchName writes a diameter in mm as a fraction of an inch where it is one.
func inchName(d float64) string {
	const parts = 64 // the finest fraction on a rule
	n := math.Round(d / mmPerInch * parts)
	if math.Abs(n/parts*mmPerInch-d) > sameSizeMM || n == 0 {
		return short(d / mmPerInch)
	}
	a, b := int(n), parts
	for a%2 == 0 && b > 1 {
		a, b = a/2, b/2
	}
	if b == 1 {
		return fmt.Sprint(a)
	}
	if a > b {
		return fmt.Sprintf("%d %d/%d", a/b, a%b, b)
	}
	return fmt.Sprintf("%d/%d", a, b)
}

// mmPerInch is exact (international inch, 1959).
const mmPerInch = 25.4
