package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig/sourced"
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
	Kind ProcessKind `json:"kind"`
	// Bias is the mean of what is made less what is drawn; positive: too large.
	Bias float64 `json:"bias_mm"`
	// Closes is how much smaller a hole comes out beside that, as a share of its
	// diameter: one drilled in a board of fibres or veneers closes behind the drill.
	Closes float64 `json:"closes_share,omitempty"`
	// Spread is the half width that holds 95 % of the holes about their mean.
	Spread float64 `json:"spread_mm"`
	// Unsure is how far off the measured bias may be, 95 %: alike for all holes of a part.
	Unsure float64 `json:"bias_unsure_mm,omitempty"`
	// TaperMM is the difference of the hole's diameters at the two faces.
	TaperMM float64 `json:"taper_mm"`
	// PositionSpread is how far a hole lies from its place, each way, 95 %.
	PositionSpread float64
	// SmallestHole is the least diameter that comes out as a hole.
	SmallestHole float64
	// BestGrade is the finest standard tolerance that the process is good for.
	BestGrade Grade
	// Assumed tells people what was taken without having been measured.
	Assumed []Assumption `json:"assumed"`
}

// An Assumption is one figure of a process as it is taken, with the range that its
// sources have.
type Assumption struct {
	What  string        `json:"what"`
	Taken float64       `json:"taken"` // in the unit of Range
	Range sourced.Value `json:"range"` // mm; of a share no unit
}

// HalfWidth is how far the free diameter strays from the mean at mid thickness,
// either way: spread and uncertain bias, and half of the taper.
func (p Process) HalfWidth() float64 { return math.Hypot(p.Spread, p.Unsure) + p.TaperMM/2 }

// BiasAt is the bias of a hole of diameter d, mm, with what it closes by.
func (p Process) BiasAt(d float64) float64 { return p.Bias - float64(p.Closes*d) }

// SD is the standard deviation of the diameter, mm, taking spread and uncertain bias each as
// 95 % of a normal distribution.
func (p Process) SD() float64 { return math.Hypot(p.Spread, p.Unsure) / Normal95 }

// mostProcessMM is far beyond what any process is out by: a larger figure is a
// slip of units.
const mostProcessMM = 100.0

// Check finds every figure that cannot be and returns them together.
func (p Process) Check() error {
	var faults []error
	for _, f := range []struct {
		name  string
		v     float64
		least float64
	}{
		{"bias", p.Bias, -mostProcessMM},
		{"spread", p.Spread, 0},
		{"position spread", p.PositionSpread, 0},
		{"taper", p.TaperMM, 0},
		{"smallest hole", p.SmallestHole, 0},
	} {
		if math.IsNaN(f.v) || f.v < f.least || f.v > mostProcessMM {
			faults = append(faults, fmt.Errorf("%s of process %s is %g mm; want %g to %g", f.name, p.Kind, f.v,
				f.least, mostProcessMM))
		}
	}
	return errors.Join(faults...)
}

// SetBias takes a bias that was measured, in mm, whatever the diameter.
func (p *Process) SetBias(mm float64) {
	p.Bias, p.Closes = mm, 0
	p.setMeasured("bias", mm)
}

// SetSpread takes a spread that was measured, in mm.
func (p *Process) SetSpread(mm float64) {
	p.Spread = mm
	p.setMeasured("spread +-", mm)
}

// SetTaper takes a taper that was measured, in mm.
func (p *Process) SetTaper(mm float64) {
	p.TaperMM = mm
	p.setMeasured("taper", mm)
}

// Assumption is the figure that was taken under a name.
func (p Process) Assumption(what string) (Assumption, bool) {
	i := slices.IndexFunc(p.Assumed, func(a Assumption) bool { return a.What == what })
	if i < 0 {
		return Assumption{}, false
	}
	return p.Assumed[i], true
}

// setMeasured puts a measured figure in place of what was assumed.
func (p *Process) setMeasured(what string, mm float64) {
	p.Assumed = slices.DeleteFunc(slices.Clone(p.Assumed), func(a Assumption) bool {
		return a.What == what || what == "bias" && a.What == closing
	})
	p.Assumed = append(p.Assumed, Assumption{what, mm, sourced.One(mm, "mm", sourced.Given, "as given")})
}
