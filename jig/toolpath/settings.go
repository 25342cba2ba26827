package toolpath

import (
	"fmt"
	"math"
)

// Tool is what turns in the spindle.
type Tool struct {
	Name       string  // for people; may be empty
	DiameterMM float64 // as measured over the cutting edges

	// StickOutMM and ColletMM describe what follows above the cutting edges: from
	// StickOutMM above the tip the tool is ColletMM wide. Only Clear uses them;
	// zero means that nothing wider follows.
	StickOutMM, ColletMM float64
}

// Settings says how to cut. The zero value of every field stands for a cautious
// default, which Filled puts in; the cutter's diameter is d.
type Settings struct {
	// TopZ is the height of the stock's highest place above the work zero.
	// Default 0: zero is set on the stock.
	TopZ float64

	// SafeMM is the height above TopZ of every sideways rapid. Default 5 mm, common
	// practice, no source; less than 2 mm is refused (rule C05 as its judge has it).
	SafeMM float64

	// ApproachMM is the height above TopZ where rapids down end and feeds begin.
	// Default 1 mm, common practice, no source.
	ApproachMM float64

	// FeedXYMMmin is the feed of the cutting edge at the wall. Default 600 mm/min,
	// common practice for small routers in wood, no source.
	FeedXYMMmin float64

	// FeedZMMmin bounds how fast the tool sinks, in a helix too, and is the feed of
	// a drill. Default 150 mm/min, common practice, no source.
	FeedZMMmin float64

	// FeedReturnMMmin is the feed down through a hole that is already open.
	// Default FeedXYMMmin.
	FeedReturnMMmin float64

	// PitchMM is the depth of one turn. Default d/5, at most 1 mm. Published rules
	// of thumb are 0.2 to 0.8 mm per turn of a helix
	// (carbide-tooling.com/tools/helical-interpolation-calculator, for metals) and a
	// third of the diameter per pass in MDF.
	PitchMM float64

	// RampRad is the steepest slope of a helix, radians. Default 5 degrees, common
	// practice, no source. In a hole hardly larger than the tool it is this that
	// bounds the depth of a turn.
	RampRad float64

	// StepoverMM is the radial step from ring to ring of a wide hole. Default
	// 0.4 d: 35 to 40 % is common for roughing
	// (mangojellysolutions.blogspot.com, 2022/09, "Understanding Step-Over").
	StepoverMM float64

	// FinishMM is the radial stock left for one last turn at full depth. Default
	// 0.1 mm, common practice, no source. NoFinish leaves that turn out.
	FinishMM float64
	NoFinish bool

	// PeckMM is the depth of one drill peck. Default d/2, common practice, no
	// source: short, because a router turns fast and chips must come out.
	PeckMM float64

	// PeckGapMM is how far above the last depth the drill changes from the return
	// feed to the drilling feed. Default 0.5 mm, common practice, no source.
	PeckGapMM float64

	// SpindleRPM is turns per minute. Default 10000: the slow end of most trim
	// routers, common practice, no source.
	SpindleRPM float64

	// RapidMMmin is the assumed speed of rapids; only the estimate of time uses
	// it. Default 2000 mm/min, common practice, no source.
	RapidMMmin float64

	// Conventional runs clockwise inside holes. Default counter-clockwise, which is
	// climb milling for a spindle that turns clockwise (M3).
	Conventional bool
}

const (
	defaultSafeMM     = 5
	defaultApproachMM = 1
	defaultFeedXY     = 600
	defaultFeedZ      = 150
	defaultPitch      = 0.2 // of the tool's diameter
	largestPitchMM    = 1   // of the default
	defaultRampRad    = 5 * math.Pi / 180
	defaultStepover   = 0.4 // of the tool's diameter
	defaultFinishMM   = 0.1
	defaultPeck       = 0.5 // of the tool's diameter
	defaultPeckGapMM  = 0.5
	defaultRPM        = 10000
	defaultRapid      = 2000
)

// LeastSafeMM is the least height of sideways rapids above the stock: the default
// of the G-code judge that the project uses.
const LeastSafeMM = 2

// Filled returns s with every zero field replaced by its default for tool t. A
// setting that was given is kept as it is.
func (s Settings) Filled(t Tool) Settings {
	put := func(x *float64, v float64) {
		if *x == 0 {
			*x = v
		}
	}
	put(&s.SafeMM, defaultSafeMM)
	put(&s.ApproachMM, math.Min(defaultApproachMM, s.SafeMM))
	put(&s.FeedXYMMmin, defaultFeedXY)
	put(&s.FeedZMMmin, defaultFeedZ)
	put(&s.FeedReturnMMmin, s.FeedXYMMmin)
	put(&s.PitchMM, math.Min(largestPitchMM, defaultPitch*t.DiameterMM))
	put(&s.RampRad, defaultRampRad)
	put(&s.StepoverMM, defaultStepover*t.DiameterMM)
	if s.NoFinish {
		s.FinishMM = 0
	} else {
		put(&s.FinishMM, defaultFinishMM)
	}
	put(&s.PeckMM, defaultPeck*t.DiameterMM)
	put(&s.PeckGapMM, defaultPeckGapMM)
	put(&s.SpindleRPM, defaultRPM)
	put(&s.RapidMMmin, defaultRapid)
	return s
}

// SafeZ returns the height of sideways rapids above the work zero. s must be
// Filled.
func (s Settings) SafeZ() float64 { return s.TopZ + s.SafeMM }

// Bounds of what can be meant. Our own: beyond every small router, and far from
// where squares overflow.
const (
	largestMM   = 1e4 // ten metres
	largestFeed = 1e5 // mm/min
	largestRPM  = 2e5
	smallestMM  = 1e-3 // a micrometre: no tool, depth or step is finer
	steepestRad = 45 * math.Pi / 180
	leastFeed   = 1     // mm/min: the slowest feed that is written
	maxTurns    = 20000 // more is a slip of units in the pitch
)

// check tells everything that is wrong with a tool and filled settings.
func (s Settings) check(t Tool, f *faults) {
	length := func(what string, x, least, most float64) {
		f.within("", what+" (mm)", x, least, most)
	}
	length("tool diameter", t.DiameterMM, smallestMM, largestMM)
	length("stick-out of the tool", t.StickOutMM, 0, largestMM)
	length("diameter of the collet", t.ColletMM, 0, largestMM)
	length("height of the stock's top", s.TopZ, -largestMM, largestMM)
	length("safe height over the stock", s.SafeMM, LeastSafeMM, largestMM)
	length("approach height over the stock", s.ApproachMM, smallestMM, s.SafeMM)
	length("depth of one turn", s.PitchMM, smallestMM, largestMM)
	f.within("", "slope of the helix (rad)", s.RampRad, smallestMM, steepestRad)
	// Beyond this share of the diameter two rings would leave a ridge between them.
	length("step from ring to ring", s.StepoverMM, smallestMM, math.Max(smallestMM, reachOver*t.DiameterMM))
	length("stock for the finishing turn", s.FinishMM, 0, largestMM)
	length("drill peck", s.PeckMM, smallestMM, largestMM)
	length("gap above the last peck", s.PeckGapMM, smallestMM, largestMM)
	for _, x := range []struct {
		what string
		v    float64
	}{
		{"feed", s.FeedXYMMmin},
		{"feed down", s.FeedZMMmin},
		{"feed down an open hole", s.FeedReturnMMmin},
		{"rapid rate", s.RapidMMmin},
	} {
		f.within("", x.what+" (mm/min)", x.v, leastFeed, largestFeed)
	}
	f.within("", "spindle speed (rpm)", s.SpindleRPM, 1, largestRPM)
}

// Says describes filled settings in words, for the head of a program.
func (s Settings) Says() string {
	return fmt.Sprintf("feed %.0f mm/min at the wall, down at most %.0f mm/min, %.3g mm per turn, spindle %.0f rpm",
		s.FeedXYMMmin, s.FeedZMMmin, s.PitchMM, s.SpindleRPM)
}
