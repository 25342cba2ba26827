package dowel

import (
	"math"

	"reseat/fit"
)

// A Purpose is what a hole is for.
type Purpose string

// The purposes, tightest first.
const (
	Press  Purpose = "press"  // press fit: the pin stays in, an interference always
	Locate Purpose = "locate" // locating fit: it goes in by hand, with as little clearance as can be made
	Slide  Purpose = "slide"  // running fit: it goes in and out freely
	Clear  Purpose = "clear"  // clearance hole: it never touches
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
	// ThereMM is the diameter of a hole that is there already, as one drilled through this
	// part and the next; 0: none.
	ThereMM float64
	// ClearAllowanceMM is how much wider than the largest pin a clear hole must be
	// at least; never less than 0.1 mm.
	ClearAllowanceMM float64
}

// A Choice is one hole that could serve, with how to make it.
type Choice struct {
	// Class is the hole's ISO 286 class, or "plain" when only MinMM and MaxMM
	// say what it is; then Within is the tightest class that holds them, "" if none.
	Class  string  `json:"class"`
	Within string  `json:"within,omitempty"`
	MinMM  float64 `json:"min_mm"` // finished limits on the diameter or the slot's width
	MaxMM  float64 `json:"max_mm"`
	// MeanMM is what the hole comes out at where it is narrowest, give or take the
	// standard deviation SDMM.
	MeanMM, SDMM float64
	// DrawnMM is the size to draw, bias taken out, kerf not. Of a hole that is
	// opened afterwards it is the size of the first cut.
	DrawnMM float64 `json:"drawn_mm"`
	Made    string  `json:"made"` // "laser, then ream"
	// Holds reports that the process makes it and the purpose is met.
	Holds bool `json:"holds"`
	// Clearances are on the diameter; negative: interference.
	ClearanceMinMM float64       `json:"clearance_min_mm"`
	ClearanceMaxMM float64       `json:"clearance_max_mm"`
	Odds           float64       `json:"odds"`                   // that the pin enters without force, 0 to 1
	ChamferMM      float64       `json:"chamfer_mm"`             // at the entry, by 45 degrees; 0: none
	Reamer         *ReamerLimits `json:"reamer,omitempty"`       // nil: not reamed
	PreDrill       *PreReamSize  `json:"pre_ream,omitempty"`     // before the reamer; nil: not reamed
	Stock          *Offer        `json:"stock_reamer,omitempty"` // another pin would do with; nil: nothing to spare
	Explain        []string      `json:"explain"`                // why, at most five lines, the verdict first
	Steps          []string      `json:"steps"`                  // what to do, a sentence each
}

// Plain is the class of a hole that no class is meant for.
const Plain = "plain"

const (
	// leastClearMM: a hole with less could be taken for a locating one. Common
	// practice, no source.
	leastClearMM = 0.1
	// edgeMM is below the step of any limit (half a micrometre) and above the
	// rounding of sums of millimetres.
	edgeMM = 1e-6
)

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

// slideMM is the clearance of a running fit: that of H7/g6, the fundamental deviation
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
