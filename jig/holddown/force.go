package holddown

import (
	"fmt"
	"math"
)

// Stock is what is cut, as far as a specific cutting force is known for it.
type Stock string

// Stocks. Every other material has the same cautious guess.
const (
	Other         Stock = "" // solid wood, MDF, plywood, plastics
	Particleboard Stock = "particleboard"
)

// Bit is the cutter's kind, which says where its edges push along the axis.
type Bit string

// Bits. UpCut is the zero value, the one that lifts.
const (
	UpCut    Bit = "" // spiral that lifts the chips, and the board
	DownCut  Bit = "down-cut"
	Straight Bit = "straight"
)

const (
	// particleboardNMM2 is the higher of two mean specific principal cutting forces
	// measured in milling particleboard at 40 to 60 m/s, 32.0 and 37.6 N/mm2
	// (Palubicki, Materials 2021, 14, 2208; seen in a stored page).
	particleboardNMM2 = 37.6
	// otherShare is how many times that is taken for solid wood and everything else.
	// Common practice, no source: no number for hardwoods was found.
	otherShare = 2.0
	// spiralRad is the helix of a spiral bit, 30 degrees. Common practice, no source.
	spiralRad = math.Pi / 6
	// UsualFactor is the safety factor over the cutting force.
	UsualFactor = 4.0
	// thinChipMM is the feed per tooth below which an edge rubs more than it cuts, so
	// that the force no longer falls with the chip. Common practice, no source.
	thinChipMM = 0.05
)

// specific is the specific cutting force in N/mm2 of chip section.
func (s Spec) specific() Figure {
	def := Figure{
		otherShare * particleboardNMM2, "N/mm2", Practice,
		"no figure for this material was found: twice that of particleboard, as a cautious guess",
	}
	if s.Stock == Particleboard {
		def = Figure{
			particleboardNMM2, "N/mm2", Found,
			"mean of fast milling of particleboard, 40 to 60 m/s (Palubicki, Materials 2021, 14, 2208; 32.0 when slow)",
		}
	}
	return or(s.SpecificNMM2, "N/mm2", "specific cutting force as given", def)
}

// FeedPerTooth returns the chip's greatest thickness in millimetres.
//
//	feed per tooth = feed / (speed x teeth)
func FeedPerTooth(feedMMmin, rpm float64, teeth int) float64 {
	return feedMMmin / (rpm * float64(teeth))
}

// teethInCut is how many teeth can cut at once over the half circle that a cutter
// meets in full width.
//
//	ceil(teeth / 2)
func teethInCut(teeth int) float64 { return math.Ceil(float64(teeth) / 2) }

// forces fills in what the cutter does.
//
//	section  = depth of turn x feed per tooth x teeth in cut
//	sideways = specific cutting force x section
//	lift     = share x sideways
//
// The edge's inclination gives the share: a force F across the edge of a helix beta
// has F tan(beta) along the axis; friction along the edge is left out. A down-cut
// spiral presses down, a straight bit does neither.
func (s Spec) forces(r *Result) {
	fz := FeedPerTooth(s.FeedMMmin, s.RPM, s.Teeth)
	r.Specific = s.specific()
	r.FeedPerTooth = computed(fz, "mm", "feed / (speed x teeth)")
	r.Section = computed(s.DepthMM*fz*teethInCut(s.Teeth), "mm2", fmt.Sprintf("depth of a turn x feed per tooth x %.0f in the cut at once", teethInCut(s.Teeth)))
	r.Sideways = computed(r.Specific.Value*r.Section.Value, "N", "specific cutting force x chip section", r.Specific, r.Section)
	share := Figure{0, "", Practice, "a straight bit does not lift"}
	switch s.Bit {
	case UpCut:
		share = Figure{math.Tan(spiralRad), "", Practice, "an up-cut spiral of 30 degrees: tan 30 degrees, friction along the edge left out"}
	case DownCut:
		share.Source = "a down-cut spiral presses the board down"
	}
	r.LiftShare = share
	if s.LiftShare != nil {
		r.LiftShare = Figure{*s.LiftShare, "", Given, "share as given"}
	}
	r.Lift = computed(r.LiftShare.Value*r.Sideways.Value, "N", "share x sideways force", r.LiftShare, r.Sideways)
}
