package holddown

import (
	"fmt"
	"math"
)

// Spec is what is cut and what holds it. A 0 where a default is named stands for
// it.
type Spec struct {
	Stock        Stock
	SpecificNMM2 float64 // the user's specific cutting force, N/mm2; 0: by Stock
	DepthMM      float64 // of one turn or pass
	FeedMMmin    float64 // of the cutting edge
	RPM          float64 // spindle speed, 1/min
	Teeth        int
	Bit          Bit
	LiftShare    *float64 // of the sideways force; negative presses down; nil: by Bit

	HoldKPa float64 // the user's holding pressure of the tape, kPa; 0: one maker's rule
	Factor  float64 // 0: UsualFactor
	Parts   []Part
}

// Part lies on tape of its own: the board, the plate around it.
type Part struct {
	Name    string
	AreaMM2 float64 // of its outline
	LessMM2 float64 // window, holes, hollows: where there is no underside
	Share   float64 // of what remains that carries tape; 0: UsualShare
}

// UsualShare is the share of the underside that strips of tape cover when they are
// laid side by side. Common practice, no source.
const UsualShare = 0.8

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
	Specific     Figure // N/mm2
	FeedPerTooth Figure // mm
	Section      Figure // mm2 of chip
	Sideways     Figure // N
	LiftShare    Figure // of Sideways
	Lift         Figure // N; negative presses down
	Factor       Figure
	HoldShort    Figure // N/mm2
	HoldLasting  Figure // N/mm2
	NeedShort    Figure // mm2 of tape under each part
	NeedLasting  Figure // mm2
	Parts        []Held // in the order of the spec
	Level        Level  // the worst of the parts'
	Notes        []string
}

// Held is the verdict on one part.
type Held struct {
	Name      string
	Available Figure // mm2 of tape
	Level     Level
	MostMM    Figure // deepest turn that the tape under it allows for good
	Says      string
}

// Check returns whether the tape under each part holds it by itself against the
// cutter: cautious, since pins and window walls take their share. The error holds
// every fault of the spec at once, as *InputError or *WordError.
func Check(s Spec) (Result, error) {
	if err := s.check(); err != nil {
		return Result{}, err
	}
	r := Result{Level: Pass}
	s.forces(&r)
	s.need(&r)
	for _, p := range s.Parts {
		h := p.judge(r, s.DepthMM)
		if worse(h.Level, r.Level) {
			r.Level = h.Level
		}
		r.Parts = append(r.Parts, h)
	}
	if fz := r.FeedPerTooth.Value; fz < thinChipMM {
		r.Notes = append(r.Notes, fmt.Sprintf("a feed of %.3g mm per tooth rubs more than it cuts: below %.3g mm the force falls no further, so reckon with %.2g N instead of %.2g",
			fz, thinChipMM, r.Sideways.Value*thinChipMM/fz, r.Sideways.Value))
	}
	if r.Specific.Basis == Practice {
		r.Notes = append(r.Notes, "the specific cutting force is a guess; a measured one is better")
	}
	return r, nil
}

func worse(a, b Level) bool {
	at := map[Level]int{Pass: 0, Warn: 1, Fail: 2}
	return at[a] > at[b]
}

// judge compares the tape under the part with the need. The force grows in
// proportion to the depth of a turn, so the deepest one allowed is
//
//	depth x available / needed
func (p Part) judge(r Result, depthMM float64) Held {
	share := or(p.Share, "", "share as given", Figure{UsualShare, "", Practice, "share of the underside that carries tape"})
	h := Held{Name: p.Name, Level: Pass}
	h.Available = computed((p.AreaMM2-p.LessMM2)*share.Value, "mm2", "underside less window and holes, x the share that carries tape", share)
	h.MostMM = computed(depthMM*h.Available.Value/r.NeedLasting.Value, "mm", "depth of a turn x tape there is / tape needed for good", h.Available, r.NeedLasting)
	switch a := h.Available.Value; {
	case a >= r.NeedLasting.Value:
		h.Says = fmt.Sprintf("%s: %s of tape, %s needed", p.Name, h.Available, r.NeedLasting)
	case a >= r.NeedShort.Value:
		h.Level = Warn
		h.Says = fmt.Sprintf("%s: %s of tape holds for a short time only (%s); for good %s: press it down well, cut without a pause, or take turns of %.2g mm", p.Name, h.Available, r.NeedShort, r.NeedLasting, h.MostMM.Value)
	default:
		h.Level = Fail
		h.Says = fmt.Sprintf("%s: %s of tape, at least %s needed; clamp it, or take turns of %.2g mm", p.Name, h.Available, r.NeedShort, h.MostMM.Value)
	}
	return h
}

// Bounds of what can be meant. Common practice, no source, and wide: only a slip
// or a wrong unit falls outside.
const (
	leastDepthMM, mostDepthMM = 0.01, 50.0
	leastFeed, mostFeed       = 1.0, 30000.0  // mm/min
	leastRPM, mostRPM         = 100.0, 1e5    // 1/min
	mostTeeth                 = 12            // of a router bit
	leastK, mostK             = 1.0, 5000.0   // N/mm2; steel has about 2000
	leastHold, mostHold       = 0.01, 10000.0 // kPa
	mostFactor                = 100.0
	mostLiftShare             = 5.0
	leastArea, mostArea       = 1.0, 1e8 // mm2
	leastShare                = 0.001
	mostParts                 = 1000
)

func (s Spec) check() error {
	var f faults
	switch s.Stock {
	case Other, Particleboard:
	default:
		f = append(f, &WordError{"stock", string(s.Stock), "nothing, or " + string(Particleboard)})
	}
	switch s.Bit {
	case UpCut, DownCut, Straight:
	default:
		f = append(f, &WordError{"bit", string(s.Bit), fmt.Sprintf("nothing for an up-cut spiral, %s or %s", DownCut, Straight)})
	}
	f.or("specific cutting force (N/mm2)", s.SpecificNMM2, leastK, mostK)
	f.within("depth of a turn (mm)", s.DepthMM, leastDepthMM, mostDepthMM)
	f.within("feed (mm/min)", s.FeedMMmin, leastFeed, mostFeed)
	f.within("spindle speed (1/min)", s.RPM, leastRPM, mostRPM)
	f.within("teeth", float64(s.Teeth), 1, mostTeeth)
	if s.LiftShare != nil {
		f.within("share of lift", *s.LiftShare, -mostLiftShare, mostLiftShare)
	}
	f.or("holding pressure of the tape (kPa)", s.HoldKPa, leastHold, mostHold)
	f.or("safety factor", s.Factor, 1, mostFactor)
	if n := len(s.Parts); n == 0 || n > mostParts {
		f.within("number of parts on tape", float64(n), 1, mostParts)
	}
	for i, p := range s.Parts {
		p.check(&f, i)
	}
	return f.err()
}

func (p Part) check(f *faults, i int) {
	name := p.Name
	if name == "" {
		name = fmt.Sprintf("part %d", i+1)
	}
	if f.within("area of "+name+" (mm2)", p.AreaMM2, leastArea, mostArea) {
		f.within("window and holes of "+name+" (mm2)", p.LessMM2, 0, math.Max(0, p.AreaMM2-leastArea))
	}
	f.or("share of "+name+" that carries tape", p.Share, leastShare, 1)
}
