package fit

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// A ProcessKind is a way to make a hole.
type ProcessKind string

// The ways to make a hole.
const (
	Drill  ProcessKind = "drill"  // twist drill alone
	Ream   ProcessKind = "ream"   // drilled under size, then reamed
	Router ProcessKind = "router" // an end mill that goes round the hole
	Laser  ProcessKind = "laser"  // cut from sheet
	Print  ProcessKind = "print"  // built up from filament
)

// ProcessKinds lists the ways to make a hole, the finest first.
func ProcessKinds() []ProcessKind { return []ProcessKind{Ream, Router, Drill, Laser, Print} }

// A Process is what a way of making holes really makes: the diameter comes out
// at the drawn one plus Bias, give or take Spread. All lengths are mm on the
// diameter unless they say otherwise; kerf is not in it.
type Process struct {
	Kind ProcessKind

	// Bias is the mean of what is made less what is drawn; positive: too large.
	// Low and High are the range that is published or usual.
	Bias, BiasLow, BiasHigh float64
	// Spread is the half width that holds 95 % of the holes about their mean.
	Spread, SpreadLow, SpreadHigh float64
	// PositionSpread is how far a hole lies from its place, each way, 95 %.
	PositionSpread float64
	// TaperMM is the difference of the hole's diameters at the two faces.
	TaperMM float64
	// SmallestHole is the least diameter that comes out as a hole.
	SmallestHole float64
	// Stock is how much to draw under when the hole is opened afterwards.
	Stock float64
	// BestGrade is the finest standard tolerance that the process is good for.
	BestGrade Grade
	// Source says where the figures come from, the figure first.
	Source string
}

// A ProcessError is a process that this package does not know, or a figure of a
// process that cannot be.
type ProcessError struct {
	Got        string        // as read
	Known      []ProcessKind // what there is; nil when the fault is in a figure
	DidYouMean ProcessKind   // "" when nothing is near
	Says       string        // the fault of a figure
}

func (e *ProcessError) Error() string {
	if e.Known == nil {
		return "fit: " + e.Says
	}
	var names []string
	for _, k := range e.Known {
		names = append(names, string(k))
	}
	s := fmt.Sprintf("fit: no process %q; there are %s", e.Got, strings.Join(names, ", "))
	if e.DidYouMean != "" {
		s += fmt.Sprintf(" (did you mean %s?)", e.DidYouMean)
	}
	return s
}

// HalfWidth is how far the free diameter strays from the mean at mid thickness,
// either way: the spread and half of the taper.
func (p Process) HalfWidth() float64 { return p.Spread + p.TaperMM/2 }

// SD is the standard deviation of the diameter, mm, taking the spread as 95 % of
// a normal distribution.
func (p Process) SD() float64 { return p.Spread / Normal95 }

// Check finds every figure that cannot be and returns them together.
func (p Process) Check() error {
	var faults []error
	figures := []struct {
		name   string
		v      float64
		signed bool
	}{
		{"bias", p.Bias, true},
		{"spread", p.Spread, false},
		{"position spread", p.PositionSpread, false},
		{"taper", p.TaperMM, false},
		{"smallest hole", p.SmallestHole, false},
		{"stock", p.Stock, false},
	}
	for _, f := range figures {
		switch {
		case math.IsNaN(f.v) || math.Abs(f.v) > mostProcessMM:
			faults = append(faults, &ProcessError{
				Got:  string(p.Kind),
				Says: fmt.Sprintf("%s of process %s is %g mm; want one within %g mm", f.name, p.Kind, f.v, float64(mostProcessMM)),
			})
		case f.v < 0 && !f.signed:
			faults = append(faults, &ProcessError{
				Got:  string(p.Kind),
				Says: fmt.Sprintf("%s of process %s is %g mm; want 0 or more", f.name, p.Kind, f.v),
			})
		}
	}
	if !p.BestGrade.Valid() {
		faults = append(faults, &ProcessError{Got: string(p.Kind), Says: fmt.Sprintf("process %s has no best grade", p.Kind)})
	}
	return errors.Join(faults...)
}

// mostProcessMM is far beyond what any process is out by: a larger figure is a
// slip of units. The smallest hole of a very thick sheet stays below it too.
const mostProcessMM = 100
