package dowel

import (
	"fmt"
	"math"

	"reseat/fit"
)

// A candidate is a choice with what the ranking needs.
type candidate struct {
	Choice
	direct bool // the process alone makes it
	meets  bool
}

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
	class, lo, hi := plain, mean-half, mean+half
	if k, kl, kh, ok := r.serving(lo, hi, bit != nil); ok {
		class, lo, hi = k, kl, kh
		if bit == nil {
			// Aim at the middle of the class, where the process leaves it least.
			mean = math.Round((lo+hi)/2/step) * step
			drawn = mean - p.Bias
		}
	}
	c := candidate{direct: true}
	c.MeanMM, c.SDMM = mean-p.TaperMM/2, p.SD()
	c.Class, c.MinMM, c.MaxMM, c.DrawnMM, c.Made = class, lo, hi, drawn, string(p.Kind)
	if class == plain {
		c.Within = within(r.Pin.NominalMM, lo, hi)
	}
	c.meets = r.meets(c.MinMM, c.MaxMM)
	c.ChamferMM = chamfer(r.Pin.NominalMM)
	c.Holds = c.meets
	r.rate(&c)
	c.Steps = r.directSteps(c, p, bit)
	c.Explain = r.directExplain(&c, p)
	return c
}

// drill finds the standard drill whose hole serves.
func (r Request) drill(bias, half float64) (DrillSize, bool) {
	drills := metricDrills()
	if r.Pin.Inch() {
		drills = inchDrills()
	}
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
	entering = []string{"H", "G", "F", "E", "D", "C"}
	holding  = []string{"N", "P", "R", "S", "U", "X"}
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
	for g := fit.IT6; g <= coarsestServing; g++ {
		for _, letter := range letters {
			c := fit.Class{Letters: letter, Grade: g}
			l, err := fit.ClassLimits(size, c)
			if err != nil {
				continue
			}
			min, max := size+l.Lower/1000, size+l.Upper/1000
			if max-min < need-edgeMM || !r.meets(min, max) || fixed && (min > lo+edgeMM || max < hi-edgeMM) {
				continue
			}
			if math.Abs(min-lo) > need*mostLooser || math.Abs(max-hi) > need*mostLooser {
				return "", 0, 0, false // a name is not worth that much play
			}
			return c.String(), min, max, true
		}
	}
	return "", 0, 0, false
}

// mostLooser is how far a class's limits may lie from what the process makes, in
// parts of that, before the plain size does better. Common practice, no source.
const mostLooser = 0.4

// coarsestServing is the coarsest grade that still names a fit; beyond it a plain
// size says more. Common practice, no source.
const coarsestServing = fit.IT12

// within is the tightest hole class of H to A that holds two limits, "" when none does.
func within(size, min, max float64) string {
	for g := fit.IT6; g <= fit.IT16; g++ {
		for _, letter := range []string{"H", "G", "F", "E", "D", "C", "B", "A"} {
			c := fit.Class{Letters: letter, Grade: g}
			l, err := fit.ClassLimits(size, c)
			if err == nil && size+l.Lower/1000 <= min+edgeMM && size+l.Upper/1000 >= max-edgeMM {
				return c.String()
			}
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

func (r Request) directSteps(c candidate, p fit.Process, bit *DrillSize) []string {
	what := r.what()
	var s []string
	switch p.Kind {
	case fit.Router:
		s = append(s, fmt.Sprintf("Bore the %s to %.2f mm with a spiral and one finishing turn at full depth.", what, c.MeanMM))
	case fit.Drill:
		name := fmt.Sprintf("%.2f mm", c.DrawnMM)
		if bit != nil {
			name = bit.String()
		}
		s = append(s, fmt.Sprintf("Drill %s, square to the face, on scrap so that the far side does not break out.", name))
		if r.Slot {
			s[0] = fmt.Sprintf("Drill both ends of the slot %s, saw between them and file to the line.", name)
		}
	case fit.Laser:
		s = append(s, fmt.Sprintf("Cut the %s %.2f mm true size (kerf apart); the beam's side comes out wider by %.2f mm.", what, c.DrawnMM, p.TaperMM))
	case fit.Print:
		s = append(s, fmt.Sprintf("Print the %s %.2f mm, its axis upright, so that layers do not step the wall.", what, c.DrawnMM))
		if d, ok := drillFrom(metricDrills(), c.MinMM); ok && !r.Slot {
			s = append(s, fmt.Sprintf("Measure it; if it is under %.2f mm open it with a %s drill.", c.MinMM, d))
		}
	}
	if r.Purpose != Clear {
		s = append(s, fmt.Sprintf("Chamfer the entry %.1f mm by 45 degrees.", c.ChamferMM))
	}
	switch r.Purpose {
	case Press:
		s = append(s, "Press one pin into scrap first; drive it square, not at an angle.")
	case Locate, Slide:
		s = append(s, fmt.Sprintf("Try a pin in a %s in scrap first: it must go in by hand; correct the size by what is measured.", what))
	}
	return s
}

func (r Request) directExplain(c *candidate, p fit.Process) []string {
	out := []string{r.verdict(*c)}
	if c.MeanMM < p.SmallestHole {
		c.Holds = false
		out = append([]string{fmt.Sprintf("%s of %.2f mm is under %.1f mm, the smallest that comes out in %s mm: drill it", r.made(p.Kind), c.MeanMM, p.SmallestHole, short(r.ThicknessMM))}, out...)
	}
	taper, worst := "", "smallest"
	if p.TaperMM > 0 {
		taper = fmt.Sprintf(" and tapers by %.2f", p.TaperMM)
	}
	if r.Purpose == Press {
		worst = "largest"
	}
	out = append(out, fmt.Sprintf("%s comes out to +-%.3f mm (95 %%)%s: the mean is set so that even the %s one serves", r.made(p.Kind), p.Spread, taper, worst))
	if c.Within != "" {
		out = append(out, "the limits lie within "+c.Within+", which itself would pass too small a hole")
	}
	if p.Kind == fit.Print && p.Bias == 0 {
		out = append(out, fmt.Sprintf("no shrinkage of the printed hole is assumed: print a coupon (up to %.1f mm: %s)", fit.ShrinkMM, fit.ShrinkSource))
	}
	if p.Kind == fit.Drill && fit.IsBoard(r.Material) && r.Purpose != Clear && r.Purpose != Press {
		out = append(out, "closer: bore it on the router; ply and fibre boards are not reamed, they tear and close")
	}
	if r.family() == fit.Wood && r.Purpose != Clear {
		out = append(out, fmt.Sprintf("%s closes on the pin and swells in damp air: try the pin again before each use", r.Material))
	}
	return out
}

// verdict says in one line what the limits do to the pin.
func (r Request) verdict(c candidate) string {
	pin := fmt.Sprintf("the %s pin (%.4f to %.4f)", r.pinName(), r.Pin.MinMM, r.Pin.MaxMM)
	name := fmt.Sprintf("%s, %.3f to %.3f mm", c.Class, c.MinMM, c.MaxMM)
	always := "always "
	if c.direct { // its limits hold 95 % of the holes, no more
		always = ""
	}
	switch {
	case r.Purpose == Press && c.meets:
		return fmt.Sprintf("%s: %s %ssits with %.3f to %.3f mm of interference", name, pin, always, math.Max(0, -c.ClearanceMaxMM), -c.ClearanceMinMM)
	case r.Purpose == Press:
		return fmt.Sprintf("%s: %s can be loose by %.3f mm", name, pin, c.ClearanceMaxMM)
	case c.meets:
		return fmt.Sprintf("%s: %s %sgoes in, with %.3f to %.3f mm to spare", name, pin, always, math.Max(0, c.ClearanceMinMM), c.ClearanceMaxMM)
	case c.ClearanceMinMM >= -edgeMM:
		return fmt.Sprintf("%s: %s goes in, but with %.3f mm to spare where %.3f are wanted", name, pin, math.Max(0, c.ClearanceMinMM), r.least())
	}
	return fmt.Sprintf("%s: %s does not go in always (%.3f to %+.3f mm); the odds are %.0f %%", name, pin, c.ClearanceMinMM, c.ClearanceMaxMM, 100*c.Odds)
}
