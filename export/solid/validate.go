package solid

import (
	"fmt"
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// leastFeatureMM is the smallest hole, thickness or rail height taken: below one
// printed layer nothing is left of it. Common practice, no source.
const leastFeatureMM = 0.05

// leastAreaMM2 is the smallest contour taken, a square of leastFeatureMM.
const leastAreaMM2 = leastFeatureMM * leastFeatureMM

// validate reports everything that is wrong with the numbers of a print; what
// only shows when contours are laid over each other is found later.
func validate(p *jig.Print) error {
	if p == nil {
		return &InputError{[]Problem{{"print", "none given"}}}
	}
	var e InputError
	say := func(part, format string, args ...any) {
		e.Problems = append(e.Problems, Problem{part, fmt.Sprintf(format, args...)})
	}
	size := func(part, what string, x float64) {
		if !(x >= leastFeatureMM && x <= largestMM) {
			say(part, "%s %g mm, wanted %g to %d", what, x, leastFeatureMM, largestMM)
		}
	}
	loop := func(part string, l geom.Loop) {
		if len(l) < 2 {
			say(part, "has %d corners", len(l))
			return
		}
		for _, v := range l {
			if !near(v.X) || !near(v.Y) || math.IsNaN(v.Bulge) || math.Abs(v.Bulge) > 1+tangentTol {
				say(part, "corner (%g, %g) with bulge %g: coordinates go to %d mm, bulges to 1", v.X, v.Y, v.Bulge, largestMM)
				return
			}
		}
		if a := l.Area(); !(a >= leastAreaMM2) {
			say(part, "encloses %g mm2 counter-clockwise, wanted at least %g", a, leastAreaMM2)
		}
	}
	loop("outline", p.Outline)
	size("plate", "thickness", p.ThicknessMM)
	if p.Window != nil {
		loop("window", p.Window)
	}
	for _, h := range p.Holes {
		name := "hole " + h.ID
		size(name, "diameter", h.Diameter)
		if !near(h.Center.X) || !near(h.Center.Y) || !(h.Travel >= 0 && h.Travel <= largestMM) || math.IsNaN(h.Angle) || math.IsInf(h.Angle, 0) {
			say(name, "at (%g, %g), travel %g mm, angle %g rad", h.Center.X, h.Center.Y, h.Travel, h.Angle)
		}
	}
	for i, r := range p.Rails {
		name := fmt.Sprintf("rail %d", i+1)
		loop(name, r.Outline)
		if !(r.TopMM >= p.ThicknessMM+leastFeatureMM && r.TopMM <= largestMM) {
			say(name, "top at %g mm is not above the plate at %g mm", r.TopMM, p.ThicknessMM)
		}
	}
	validateChamfers(p, say)
	if e.Problems != nil {
		return &e
	}
	return nil
}

// leastStepMM is the least difference between the legs of the two chamfers of a
// hole that are not equal: their wide ends would be one edge in the plan and two
// heights apart. A tenth of a printed layer.
const leastStepMM = 0.01

// validateChamfers looks at the legs: at least leastFeatureMM, none more than
// half the thickness, and in each hole a straight part.
func validateChamfers(p *jig.Print, say func(part, format string, args ...any)) {
	leg := func(what string, x float64, most float64) bool {
		if x == 0 {
			return true
		}
		if !(x >= leastFeatureMM && x <= most) {
			say(what, "leg %g mm, wanted 0 or %g to %g in a plate of %g", x, leastFeatureMM, most, p.ThicknessMM)
			return false
		}
		return true
	}
	foot := leg("foot chamfer", p.FootMM, p.ThicknessMM/2)
	leg("window foot chamfer", p.WindowFootMM, p.ThicknessMM/2)
	entry := leg("entry chamfer", p.EntryMM, p.ThicknessMM-leastFeatureMM)
	if !foot || !entry {
		return
	}
	if left := p.ThicknessMM - p.FootMM - p.EntryMM; !(left >= leastFeatureMM) {
		say("chamfers", "foot %g mm and entry %g mm leave %.3f mm of straight hole in a plate of %g, wanted at least %g", p.FootMM, p.EntryMM, left, p.ThicknessMM, leastFeatureMM)
	}
	if d := math.Abs(p.FootMM - p.EntryMM); p.FootMM > 0 && p.EntryMM > 0 && d > 0 && d < leastStepMM {
		say("chamfers", "foot %g mm and entry %g mm differ by less than %g mm: make them equal", p.FootMM, p.EntryMM, leastStepMM)
	}
}

// near reports whether x is a coordinate that the grid can hold.
func near(x float64) bool { return math.Abs(x) <= largestMM }
