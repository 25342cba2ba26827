package fit

import (
	"fmt"
	"strings"
)

// ProcessKind is how a hole is made.
type ProcessKind string

// The processes of the workshop.
const (
	Drill  ProcessKind = "drill"
	Ream   ProcessKind = "ream" // drilled under, then reamed
	Router ProcessKind = "router"
	Laser  ProcessKind = "laser"
	Print  ProcessKind = "print"
)

// ProcessKinds lists the processes in the order in which they are told to people.
func ProcessKinds() []ProcessKind { return []ProcessKind{Laser, Router, Drill, Ream, Print} }

// Process is what a process makes of a hole that is asked to be a diameter D: D +
// Bias on average, 95 % within plus or minus Spread of that, its centre 95 % within
// plus or minus PositionSpread on each axis. All in mm unless it says otherwise.
type Process struct {
	Kind           ProcessKind
	Bias           float64 // finished diameter less the diameter asked for
	Spread         float64 // of the diameter, 95 % half width
	PositionSpread float64 // of the centre on each axis, 95 % half width
	TaperMM        float64 // how far the wall leans out per side over the whole thickness
	SmallestHole   float64 // below this diameter the process is not to be trusted
	Stock          float64 // how much under to draw a hole that is opened afterwards, on the diameter
	MinGrade       Grade   // the finest grade that it is said to hold
	Range          string  // between what the figures lie that the sources give
	Source         string  // where they come from
}

// ProcessError is an unknown process, or a figure that cannot be meant.
type ProcessError struct{ Text, Says string }

func (e *ProcessError) Error() string { return fmt.Sprintf("fit: process %q %s", e.Text, e.Says) }

// RawWidthMM is the width of the band that the untreated hole lies in, over its
// whole depth: spread and taper to both sides.
func (p Process) RawWidthMM() float64 { return 2 * (p.Spread + p.TaperMM) }

// Made returns the distribution of the holes that come from asking for askedMM, in
// the middle of the thickness.
func (p Process) Made(askedMM float64) Dist {
	return Dist{Shape: Normal, Mean: askedMM + p.Bias, Spread: p.Spread}
}

// DefaultProcess returns the figures to assume of a process as long as nobody has
// measured a coupon. material is a word such as "cast acrylic", "mdf" or "sapele";
// thicknessMM is that of the plate. The error is a *ProcessError.
//
// Sources: testdata/reference/process_tolerance.csv and the notes named at each
// figure. Position spreads: a move of the machine repeats to a few hundredths; the
// figures here are for the process, and a better known machine overrides them.
func DefaultProcess(kind ProcessKind, material string, thicknessMM float64) (Process, error) {
	if !finite(thicknessMM) || thicknessMM < 0 || thicknessMM > mostMM {
		return Process{}, &ProcessError{string(kind), fmt.Sprintf("in a plate of %g mm; want a thickness from 0 to %d mm", thicknessMM, mostMM)}
	}
	return defaultProcess(ProcessKind(strings.ToLower(strings.TrimSpace(string(kind)))), FamilyOf(material), thicknessMM)
}
