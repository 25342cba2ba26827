package holddown

import (
	"math"

	"reseat/jig/sourced"
)

// Spec is what is cut and what holds it.
type Spec struct {
	SpecificNMM2 float64 // the user's specific cutting force, N/mm2; 0: a cautious guess
	DepthMM      float64 // of one pass
	FeedMMmin    float64 // of the cutting edge
	RPM          float64 // spindle speed, 1/min
	Teeth        int
	Parts        []Part
}

// Part lies on tape of its own: the board, the plate around it.
type Part struct {
	Name    string
	AreaMM2 float64 // of its outline
	LessMM2 float64 // window, holes, hollows: where there is no underside
}

// Level is a verdict, best first.
type Level string

// The verdicts.
const (
	Pass Level = "pass" // holds by the figure for good
	Warn Level = "warn" // holds by the figure for a short time only
	Fail Level = "fail" // does not hold with the factor
)

// Result holds the figures of a hold-down.
type Result struct {
	Specific       sourced.Value // N/mm2 of chip section
	SidewaysN      float64       // force of the cutter
	LiftN          float64
	NeedShortMM2   float64 // tape under each part, for a short time
	NeedLastingMM2 float64 // the same, for good
	Parts          []Held  // in the order of the spec
}

// Held is the verdict on one part.
type Held struct {
	Name         string
	AvailableMM2 float64 // tape that can be laid under it
	Level        Level
}

const (
	// Factor is the safety factor over the cutting force. Common practice, no source.
	Factor = 4.0
	// usualShare is the share of the underside that strips of tape cover when they are
	// laid side by side. Common practice, no source.
	usualShare = 0.8
	// particleboardNMM2 is the higher of two mean specific principal cutting forces in
	// milling particleboard, at 40 to 60 m/s (standard: Palubicki, Materials 2021, 14,
	// 2208; testdata/reference/machining.csv), and guessShare how many times that is
	// taken for everything else. Common practice, no source: no number for hardwood was
	// found.
	particleboardNMM2 = 37.6
	guessShare        = 2.0
	// spiralRad is the helix of an up-cut spiral bit, 30 degrees. Common practice, no
	// source.
	spiralRad = math.Pi / 6
	// gravity is the standard acceleration of free fall in m/s2, exact (CGPM 1901).
	gravity = 9.80665
	// One maker's rule for double-sided acrylic foam tape (web: innovasolutions.co.uk,
	// how much tape do I need): 60 cm2 hold a kilogram for good, 6.25 cm2 for a short
	// time. Other tapes differ.
	lastingMM2PerKg = 6000.0
	shortMM2PerKg   = 625.0
)

// Check returns whether the tape under each part holds it by itself against the
// cutter: cautious, since pins and window walls take their share.
//
//	feed per tooth = feed / (speed x teeth)
//	section        = depth x feed per tooth x teeth in the cut at once, ceil(teeth/2)
//	sideways       = specific cutting force x section
//	lift           = sideways x tan(helix), of an up-cut spiral
//	tape           = factor x (sideways + lift) / what the tape holds
//
// Friction along the edge is left out. Shear and lift are added as if they acted on
// the same tape in full, and the tape is taken to hold as much when pulled off as
// when sheared; the board's weight is left out.
func Check(s Spec) Result {
	r := Result{Specific: sourced.One(guessShare*particleboardNMM2, "N/mm2", sourced.Practice,
		"none found for this material: twice that of particleboard, as a cautious guess")}
	if s.SpecificNMM2 != 0 {
		r.Specific = sourced.One(s.SpecificNMM2, "N/mm2", sourced.Given, "specific cutting force as given")
	}
	teeth := float64(s.Teeth)
	section := s.DepthMM * (s.FeedMMmin / (s.RPM * teeth)) * math.Ceil(teeth/2)
	r.SidewaysN = r.Specific.Least * section
	r.LiftN = math.Tan(spiralRad) * r.SidewaysN
	load := Factor * (r.SidewaysN + r.LiftN)
	r.NeedShortMM2, r.NeedLastingMM2 = load*shortMM2PerKg/gravity, load*lastingMM2PerKg/gravity
	for _, p := range s.Parts {
		h := Held{Name: p.Name, AvailableMM2: (p.AreaMM2 - p.LessMM2) * usualShare, Level: Pass}
		switch {
		case h.AvailableMM2 < r.NeedShortMM2:
			h.Level = Fail
		case h.AvailableMM2 < r.NeedLastingMM2:
			h.Level = Warn
		}
		r.Parts = append(r.Parts, h)
	}
	return r
}
