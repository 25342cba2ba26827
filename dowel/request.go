package dowel

import (
	"errors"
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/units"
)

// A Purpose is what a hole is for.
type Purpose string

// The purposes, tightest first.
const (
	Press  Purpose = "press"  // the pin stays in: an interference always
	Locate Purpose = "locate" // the pin goes in by hand, with as little play as can be made
	Slide  Purpose = "slide"  // the pin goes in and out freely
	Clear  Purpose = "clear"  // the pin never touches
)

// Purposes lists the purposes, tightest first.
func Purposes() []Purpose { return []Purpose{Press, Locate, Slide, Clear} }

// A Request asks for the hole for a pin. The lengths are mm.
type Request struct {
	Pin         Pin
	Material    string // of the plate: "cast acrylic", "mdf", "sapele" (see fit.FamilyOf)
	ThicknessMM float64
	Process     fit.Process
	Purpose     Purpose
	// Slot asks for a slot's width in place of a hole's diameter.
	Slot bool
	// ClearAllowanceMM is how much wider than the largest pin a clear hole must be
	// at least; never less than 0.1 mm.
	ClearAllowanceMM float64
}

// A Choice is one hole that could serve, with how to make it.
type Choice struct {
	// Class is the hole's ISO 286 class, or "plain" when only MinMM and MaxMM
	// say what it is; then Within is the tightest class that holds them, "" if none.
	Class, Within string
	MinMM, MaxMM  float64 // finished limits on the diameter or the slot's width
	// MeanMM is what the hole comes out at where it is narrowest, give or take the
	// standard deviation SDMM.
	MeanMM, SDMM float64
	// DrawnMM is the size to draw, bias taken out, kerf not. Of a hole that is
	// opened afterwards it is the size of the first cut.
	DrawnMM float64
	Made    string   // "laser, then ream"
	Steps   []string // what to do, a sentence each
	Odds    float64  // that the pin enters without force, 0 to 1
	// Clearances are on the diameter; negative: interference.
	ClearanceMinMM, ClearanceMaxMM float64
	Reamer                         *ReamerLimits // nil: not reamed
	PreDrill                       *PreReamSize  // before the reamer; nil: not reamed
	ChamferMM                      float64       // at the entry, by 45 degrees; 0: none
	Explain                        []string      // why, at most five lines, the verdict first
	// Holds reports that the process makes it and the purpose is met.
	Holds bool
}

const (
	plain = "plain"
	// leastClearMM: a hole with less could be taken for a locating one. Common
	// practice, no source.
	leastClearMM = 0.1
	// mostAllowanceMM: more than this is no hole for a pin.
	mostAllowanceMM = 50.0
	mostThickMM     = 150.0
	// edgeMM is below the step of any limit (half a micrometre) and above the
	// rounding of sums of millimetres.
	edgeMM = 1e-6
)

// check returns every fault of a request together.
func (r Request) check() error {
	faults := []error{r.Pin.check()}
	if math.IsNaN(r.ThicknessMM) || r.ThicknessMM <= 0 || r.ThicknessMM > mostThickMM {
		faults = append(faults, requestFault("a plate of %g mm; want a thickness over 0, up to %g", r.ThicknessMM, mostThickMM))
	}
	if math.IsNaN(r.ClearAllowanceMM) || r.ClearAllowanceMM < 0 || r.ClearAllowanceMM > mostAllowanceMM {
		faults = append(faults, requestFault("a clear allowance of %g mm; want 0 to %g", r.ClearAllowanceMM, mostAllowanceMM))
	}
	switch r.Purpose {
	case Press, Locate, Slide, Clear:
	default:
		faults = append(faults, requestFault("no purpose %q; there are press, locate, slide, clear", r.Purpose))
	}
	switch r.Process.Kind {
	case fit.Drill, fit.Ream, fit.Router, fit.Laser, fit.Print:
		faults = append(faults, r.Process.Check())
	default:
		_, err := fit.DefaultProcess(r.Process.Kind, r.Material, 1)
		faults = append(faults, err)
	}
	return errors.Join(faults...)
}

// least is the least clearance that the purpose asks for, mm.
func (r Request) least() float64 {
	switch r.Purpose {
	case Slide:
		return slideMM(r.Pin.NominalMM)
	case Clear:
		return math.Max(r.ClearAllowanceMM, leastClearMM)
	}
	return 0
}

// slideMM is the play of a sliding fit: that of H7/g6, the fundamental deviation
// g (ISO 286-1; "sliding fit" in the usual table of recommended fits, recalled).
func slideMM(nominal float64) float64 {
	l, err := fit.ClassLimits(nominal, fit.Class{Letters: "G", Grade: fit.IT7})
	if err != nil {
		return 0.002 // deviation g of the smallest sizes
	}
	return l.Lower / 1000
}

// meets reports whether limits serve the purpose.
func (r Request) meets(min, max float64) bool {
	if r.Purpose == Press {
		return max <= r.Pin.MinMM+edgeMM
	}
	return min-r.Pin.MaxMM >= r.least()-edgeMM
}

func (r Request) family() fit.Family { return fit.FamilyOf(r.Material) }

// what names the opening: "hole" or "slot".
func (r Request) what() string {
	if r.Slot {
		return "slot"
	}
	return "hole"
}

// pinName names the pin as on a parts list.
func (r Request) pinName() string {
	d := short(r.Pin.NominalMM)
	if r.Pin.Inch() {
		d = units.Inches(r.Pin.NominalMM) + " in"
	}
	if r.Pin.Class != "" {
		return fmt.Sprintf("%s %s", d, r.Pin.Class)
	}
	if !r.Pin.Inch() {
		d += " mm"
	}
	if r.Pin.Standard == measured {
		d = "measured " + d
	}
	return d
}

// made says what a process makes: "a laser hole", "a printed slot".
func (r Request) made(k fit.ProcessKind) string {
	adjective := map[fit.ProcessKind]string{
		fit.Drill: "drilled", fit.Ream: "reamed", fit.Router: "routed", fit.Laser: "laser", fit.Print: "printed",
	}[k]
	return "a " + adjective + " " + r.what()
}
