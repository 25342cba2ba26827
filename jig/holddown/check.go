package holddown

import (
	"fmt"
	"math"

	"reseat/jig/sourced"
)

// Spec is what is cut and what holds it.
type Spec struct {
	Wood         Wood
	SpecificNMM2 float64 // the user's specific cutting force for this chip and cutter, N/mm2; 0: the wood's
	DepthMM      float64 // of one pass
	FeedMMmin    float64 // of the cutting edge
	RPM          float64 // spindle speed, 1/min
	Teeth        int
	Parts        []Part
}

// Wood is a kind of wood that is cut.
type Wood string

// The kinds.
const (
	Hardwood Wood = "hardwood"
	Softwood Wood = "softwood"
)

// rootForce is, of each kind, the force over the width of the chip and the root of its
// thickness, N/mm^1.5: the most of oak (22 to 44; beech 26 to 40), and of pine (14 to 31;
// spruce 15 to 28), cut across the fibres' ends, which is the hardest way (web: material
// cards HardWood and SoftWood of FreeCAD, github.com/FreeCAD/FreeCAD, quoting Zerspanung von
// Holz und Holzwerkstoffen, 2nd ed. 2023, p. 120, after B. Ettelt 1987;
// testdata/reference/machining.csv). A wood much denser than 750 kg/m3 takes more.
var rootForce = map[Wood]float64{Hardwood: 44, Softwood: 31}

const rootSource = "FreeCAD's material cards, quoting Zerspanung von Holz und Holzwerkstoffen, 2023, p. 120"

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
	Pass Level = "pass" // holds for the whole cut
	Warn Level = "warn" // holds for minutes only
	Fail Level = "fail" // does not hold with the factor
)

// Result holds the figures of a hold-down.
type Result struct {
	Specific       sourced.Value // force over chip section at the thickest of the chip, sharp cutter, N/mm2
	ChipMM         float64       // thickness there: the feed per tooth
	Thin           bool          // thinner than what the force was measured at
	Dull           float64       // factor for a dull cutter; 1 where the force is given
	SidewaysN      float64       // most of the cutter, dull
	LiftN          float64       // the same
	MeanLiftN      float64       // over a turn of the cutter
	NeedShortMM2   float64       // tape under each part, for a few minutes
	NeedLastingMM2 float64       // the same, for the whole cut
	Parts          []Held        // in the order of the spec
}

// Edge names the edge that the force is of.
func (r Result) Edge() string {
	if r.Dull > 1 {
		return "dull"
	}
	return "measured"
}

// ThinSays tells of a chip thinner than forces were measured at; "" of another.
func (r Result) ThinSays() string {
	if !r.Thin {
		return ""
	}
	return fmt.Sprintf(" The chip of %.3f mm is thinner than the %.1f mm from which forces in wood are known: it may "+
		"take more.", r.ChipMM, thinMM)
}

// Held is the verdict on one part.
type Held struct {
	Name         string
	AvailableMM2 float64 // tape that can be laid under it
	Level        Level
}

const (
	// Factor is the safety factor over the force of a dull cutter. Common practice, no source.
	Factor = 2.0
	// dull is how many times a sharp cutter's force a dull one takes. Common practice, no
	// source.
	dull = 2.0
	// thinMM: forces in wood are measured at chips of about 0.1 mm and more, and the card
	// says that the root is less true below (recalled, and web).
	thinMM = 0.1
	// usualShare is the share of the underside that strips of tape cover when they are
	// laid side by side. Common practice, no source.
	usualShare = 0.8
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
	// meanRoot and meanEven are the means over a turn of a tooth that cuts through half of
	// it, in parts of its most, where the force goes by the root of the chip or by the chip
	// itself (derived: the integral of sqrt(sin) and of sin over a half turn, over a turn).
	meanRoot, meanEven = 0.38138, 1 / math.Pi
)

// Check returns whether the tape under each part holds it by itself against the
// cutter: cautious, since pins and window walls take their share.
//
//	chip     h = feed / (speed x teeth), at its thickest in a full cut
//	sideways   = dull x depth x k sqrt(h) x teeth in the cut at once, ceil(teeth/2)
//	lift       = sideways x tan(helix), of an up-cut spiral
//	minutes    = factor x (sideways + lift) / what the tape holds for a short time
//	whole cut  = factor x mean lift / what the tape holds for good
//
// The specific cutting force k/sqrt(h) rises as the chip gets thinner: at 0.03 mm it is
// six times that of a chip of 1 mm. Tape creeps under what pulls one way all the time,
// which is the lift: in a bore the force sideways goes round with the cutter's circle, every
// second or two. Friction along the edge is left out; the tape is taken to hold as much when
// pulled off as when sheared; the board's weight is left out.
func Check(s Spec) Result {
	teeth := float64(s.Teeth)
	r := Result{ChipMM: s.FeedMMmin / (s.RPM * teeth), Dull: dull}
	k, mean := rootForce[s.Wood], meanRoot
	r.Thin = r.ChipMM < thinMM
	r.Specific = sourced.One(k/math.Sqrt(r.ChipMM), "N/mm2", sourced.Web, string(s.Wood)+", thin chip: "+rootSource)
	if s.SpecificNMM2 != 0 {
		r.Dull, r.Thin, mean = 1, false, meanEven
		r.Specific = sourced.One(s.SpecificNMM2, "N/mm2", sourced.Given, "specific cutting force as given")
	}
	tooth := r.Dull * r.Specific.Least * s.DepthMM * r.ChipMM
	r.SidewaysN = tooth * math.Ceil(teeth/2)
	r.LiftN = math.Tan(spiralRad) * r.SidewaysN
	r.MeanLiftN = math.Tan(spiralRad) * tooth * teeth * mean
	r.NeedShortMM2 = Factor * (r.SidewaysN + r.LiftN) * shortMM2PerKg / gravity
	r.NeedLastingMM2 = max(r.NeedShortMM2, Factor*r.MeanLiftN*lastingMM2PerKg/gravity)
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
