package dowel

import (
	"iter"
	"math"

	"reseat/fit"
)

// Rounding of what is drawn, so that it is a number that a shop works with.
const (
	targetStepMM = 0.01 // a bored hole
	clearStepMM  = 0.1  // a clear hole: one tool for all
)

// direct is the opening that the process makes on its own: its mean lies so far
// over the largest pin that the smallest opening (95 %, taper included) still has
// the least clearance.
//
//	mean = pin max + least clearance + spread + taper/2
//
// rounded up; for a press fit as far below the smallest pin, rounded down.
func (r Request) direct() candidate {
	p := r.Process
	if p.Kind == fit.Ream { // its drill alone
		if d, err := fit.DefaultProcess(fit.Drill, r.Material, r.ThicknessMM); err == nil {
			p = d
		}
	}
	p.Bias = p.BiasAt(r.Pin.NominalMM)
	half := p.HalfWidth()
	var mean, drawn float64
	step := targetStepMM
	if r.Purpose == Clear {
		step = clearStepMM
	}
	if r.Purpose == Press {
		mean = roundDown(r.Pin.MinMM-half, step)
	} else {
		mean = roundUp(r.Pin.MaxMM+r.least()+half, step)
	}
	drawn = mean - p.Bias
	var bit *DrillSize
	if p.Kind == fit.Drill {
		if d, ok := r.drill(p.Bias, half); ok {
			bit, drawn, mean = &d, d.DiameterMM, d.DiameterMM+p.Bias
		}
	}
	class, lo, hi := Plain, mean-half, mean+half
	if k, kl, kh, ok := r.serving(lo, hi, bit != nil); ok {
		class, lo, hi = k, kl, kh
		if bit == nil {
			// Aim at the middle of the class, where the process leaves it least.
			mean = math.Round((lo+hi)/2/step) * step
			drawn = mean - p.Bias
		}
	}
	c := candidate{direct: &p, bit: bit}
	c.MeanMM, c.SDMM = mean-p.TaperMM/2, p.SD()
	c.Class, c.MinMM, c.MaxMM, c.DrawnMM, c.Made = class, lo, hi, drawn, string(p.Kind)
	c.meets = r.meets(c.MinMM, c.MaxMM)
	c.Holds = c.meets && c.MeanMM >= p.SmallestHole && (bit != nil || p.Kind != fit.Drill)
	c.ChamferMM = chamfer(r.Pin.NominalMM)
	r.rate(&c)
	return c
}

// series are the drills that go with the pin.
func (r Request) series() []DrillSize {
	if r.Pin.IsInch() {
		return inchDrills()
	}
	return metricDrills()
}

// drill finds the standard drill whose hole serves.
func (r Request) drill(bias, half float64) (DrillSize, bool) {
	drills := r.series()
	if r.Purpose == Press {
		return drillBelow(drills, r.Pin.MinMM-half-bias+2*sameDrillMM)
	}
	// sameDrillMM taken off again, since a hole must not be under by even that.
	return drillFrom(drills, r.Pin.MaxMM+r.least()+half-bias+sameDrillMM)
}

// rate fills in clearances and odds from limits and distribution.
func (r Request) rate(c *candidate) {
	c.ClearanceMinMM, c.ClearanceMaxMM = c.MinMM-r.Pin.MaxMM, c.MaxMM-r.Pin.MinMM
	c.Odds = fit.EntryOdds(c.MeanMM, c.SDMM, r.Pin.MeanMM(), r.Pin.SDMM)
}

// servingLetters are the deviations that a hole made by one process alone is
// looked for among, tightest first: for a pin that goes in, and for one that stays.
var (
	entering = "HGFEDC"
	holding  = "NPRSUX"
)

// serving is the tightest ISO 286 class whose every hole serves the purpose and
// which the process holds: at least as wide as what it makes, and for a drill of a
// given size around that. The middle of the class may lie half a drawing step off,
// so the class has that much to spare. false when there is none, and for clear holes,
// which no class is meant for.
func (r Request) serving(lo, hi float64, fixed bool) (class string, min, max float64, ok bool) {
	letters := entering
	switch r.Purpose {
	case Clear:
		return "", 0, 0, false
	case Press:
		letters = holding
	}
	size := r.Pin.NominalMM
	need := hi - lo
	if !fixed {
		need += targetStepMM
	}
	for c, l := range classes(size, letters, fit.IT6, coarsestServing) {
		min, max := size+l.Lower/1000, size+l.Upper/1000
		if max-min < need-edgeMM || !r.meets(min, max) || fixed && (min > lo+edgeMM || max < hi-edgeMM) {
			continue
		}
		if math.Abs(min-lo) > need*mostLooser || math.Abs(max-hi) > need*mostLooser {
			return "", 0, 0, false // a name is not worth that much clearance
		}
		return c.String(), min, max, true
	}
	return "", 0, 0, false
}

// classes goes through the hole classes that are defined at a size, grade by grade,
// each with its limits.
func classes(size float64, letters string, from, to fit.Grade) iter.Seq2[fit.Class, fit.Limits] {
	return func(yield func(fit.Class, fit.Limits) bool) {
		for g := from; g <= to; g++ {
			for i := range letters {
				c := fit.Class{Letters: letters[i : i+1], Grade: g}
				if l, err := fit.ClassLimits(size, c); err == nil && !yield(c, l) {
					return
				}
			}
		}
	}
}

// mostLooser is how far a class's limits may lie from what the process makes, in
// parts of that, before the plain size does better. Common practice, no source.
const mostLooser = 0.4

// coarsestServing is the coarsest grade that still names a fit; beyond it a plain
// size says more. Common practice, no source.
const coarsestServing = fit.IT12

// within is the tightest hole class of H to A that holds two limits, "" when none does.
func within(size, min, max float64) string {
	for c, l := range classes(size, "HGFEDCBA", fit.IT6, fit.IT16) {
		if size+l.Lower/1000 <= min+edgeMM && size+l.Upper/1000 >= max-edgeMM {
			return c.String()
		}
	}
	return ""
}

// chamfer at the entry by 45 degrees: enough to lead the pin in and to break the
// burr. Common practice, no source.
func chamfer(d float64) float64 {
	if d < 4 {
		return 0.3
	}
	return 0.5
}

func roundUp(v, step float64) float64 {
	return math.Ceil(v/step-edgeMM/step) * step
}

func roundDown(v, step float64) float64 {
	return math.Floor(v/step+edgeMM/step) * step
}
