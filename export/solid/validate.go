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
	validateMarks(p, say)
	if e.Problems != nil {
		return &e
	}
	return nil
}
