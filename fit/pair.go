package fit

import (
	"fmt"
	"strings"
)

// A Kind names how a hole and a shaft meet (ISO 286-1:2010, 3.3).
type Kind string

const (
	Clearance    Kind = "clearance"    // the shaft always goes in; the least clearance may be 0
	Transition   Kind = "transition"   // the parts as made decide
	Interference Kind = "interference" // the shaft never goes in freely; the greatest clearance may be 0
)

// A Fit is a hole and a shaft of the same nominal size.
type Fit struct {
	SizeMM                  float64
	Hole, Shaft             Class
	HoleLimits, ShaftLimits Limits
	// ClearanceMaxUM and ClearanceMinUM are on the diameter, micrometres, hole less shaft;
	// a negative clearance is an interference.
	ClearanceMaxUM, ClearanceMinUM float64
	Kind                           Kind
}

// newFit pairs a hole class with a shaft class at a nominal size in millimetres.
//
//	greatest clearance = upper of hole - lower of shaft
//	least clearance    = lower of hole - upper of shaft
//
// The error is two holes, two shafts, a shaft first, or one of [ClassLimits].
func newFit(sizeMM float64, hole, shaft Class) (Fit, error) {
	if !hole.IsHole() || shaft.IsHole() {
		return Fit{}, pairError(hole, shaft)
	}
	hl, err := ClassLimits(sizeMM, hole)
	if err != nil {
		return Fit{}, err
	}
	sl, err := ClassLimits(sizeMM, shaft)
	if err != nil {
		return Fit{}, err
	}
	f := Fit{
		SizeMM: sizeMM, Hole: hole, Shaft: shaft, HoleLimits: hl, ShaftLimits: sl,
		ClearanceMaxUM: onGrid(hl.Upper - sl.Lower), ClearanceMinUM: onGrid(hl.Lower - sl.Upper),
	}
	switch {
	case f.ClearanceMinUM >= 0:
		f.Kind = Clearance
	case f.ClearanceMaxUM <= 0:
		f.Kind = Interference
	default:
		f.Kind = Transition
	}
	return f, nil
}

// pairError tells how to write two classes that are not one hole and one shaft.
func pairError(first, second Class) error {
	why, remedy := "the hole stands first", fmt.Sprintf("write %s/%s", second, first)
	switch {
	case first.IsHole() && second.IsHole():
		why = "both are holes"
		remedy = fmt.Sprintf("write the shaft in small letters: %s/%s%s", first, strings.ToLower(second.Letters),
			second.Grade.digits())
	case !first.IsHole() && !second.IsHole():
		why = "both are shafts"
		remedy = fmt.Sprintf("write the hole in capitals: %s%s/%s", strings.ToUpper(first.Letters),
			first.Grade.digits(), second)
	}
	return fmt.Errorf("pair %s/%s: %s; %s", first, second, why, remedy)
}
