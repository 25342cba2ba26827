package fit

import "fmt"

// Kind is how a hole and a shaft go together.
type Kind string

// The kinds of fit of ISO 286-1:2010, 3.3.
const (
	Clearance    Kind = "clearance"    // the shaft is never larger than the hole
	Transition   Kind = "transition"   // either can be the larger
	Interference Kind = "interference" // the shaft is never smaller than the hole
)

// Fit is a hole and a shaft of one nominal size. Build it with NewFit.
type Fit struct {
	SizeMM       float64
	Hole, Shaft  Class
	HoleLimits   Limits // deviations, micrometres
	ShaftLimits  Limits
	ClearanceMax float64 // hole at its upper, shaft at its lower limit, micrometres on the diameter
	ClearanceMin float64 // hole at its lower, shaft at its upper limit; negative: interference
	Kind         Kind
}

// PairError is a pair that is no fit, such as two holes.
type PairError struct {
	Hole, Shaft Class // as given, in this order
	Says        string
	Remedy      string
}

func (e *PairError) Error() string {
	return fmt.Sprintf("fit: %s/%s %s (%s)", e.Hole, e.Shaft, e.Says, e.Remedy)
}

// NewFit puts a hole and a shaft class of one nominal size in mm together. The
// errors are *SizeError, *UndefinedError, and *PairError when the classes are not
// one hole and one shaft in this order.
//
//	clearance max = ES - ei, min = EI - es
//
// A least clearance of exactly 0 is still a clearance fit, a greatest of exactly 0
// an interference fit (ISO 286-1:2010, 3.3.1.1 and 3.3.1.2, recalled).
func NewFit(sizeMM float64, hole, shaft Class) (Fit, error) {
	if err := checkPair(hole, shaft); err != nil {
		return Fit{}, err
	}
	h, err := ClassLimits(sizeMM, hole)
	if err != nil {
		return Fit{}, err
	}
	s, err := ClassLimits(sizeMM, shaft)
	if err != nil {
		return Fit{}, err
	}
	f := Fit{
		SizeMM: sizeMM, Hole: hole, Shaft: shaft, HoleLimits: h, ShaftLimits: s,
		ClearanceMax: h.Upper - s.Lower, ClearanceMin: h.Lower - s.Upper, Kind: Transition,
	}
	switch {
	case f.ClearanceMin >= 0:
		f.Kind = Clearance
	case f.ClearanceMax <= 0:
		f.Kind = Interference
	}
	return f, nil
}

func checkPair(hole, shaft Class) error {
	bad := func(says, remedy string) error { return &PairError{hole, shaft, says, remedy} }
	switch {
	case hole.IsHole() && !shaft.IsHole():
		return nil
	case !hole.IsHole() && shaft.IsHole():
		return bad("has the shaft first", fmt.Sprintf("the hole comes first: %s/%s", shaft, hole))
	case hole.IsHole():
		return bad("has two holes", fmt.Sprintf("the shaft is written small: %s/%s", hole, shaft.other()))
	}
	return bad("has two shafts", fmt.Sprintf("the hole is written large: %s/%s", hole.other(), shaft))
}

// other is the class with the letters in the other case.
func (c Class) other() Class {
	l, hole, ok := letterOf(c.Letters)
	switch {
	case !ok:
		return c
	case hole:
		return Class{letterNamesShaft[l], c.Grade}
	}
	return Class{letterNames[l], c.Grade}
}

// ParseFit reads a pair of classes such as "H7/m6" for a nominal size in mm.
func ParseFit(pair string, sizeMM float64) (Fit, error) {
	s, err := parseClasses(pair)
	if err != nil {
		return Fit{}, err
	}
	if !s.hasHole || !s.hasShaft {
		return Fit{}, &ClassError{Text: pair, Says: "is one class", Remedy: "write a hole and a shaft, such as H7/m6"}
	}
	return NewFit(sizeMM, s.hole, s.shaft)
}
