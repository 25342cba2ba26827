package solid

import (
	"math"

	"reseat/jig"
)

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
	if !foot || !entry || p.FootMM+p.EntryMM == 0 {
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

// maxStrokePieces bounds the straight pieces of all marks: two hundred long
// words. What covers what is asked of all pairs that are near each other.
const maxStrokePieces = 20000

// mostRaisedMM is the highest that a mark may stand on the plate: more is no letter.
const mostRaisedMM = 20.0

// validateMarks looks at the numbers of marks. An engraved one's floor must stay
// clear of the chamfers on the bed side.
func validateMarks(p *jig.Print, say func(part, format string, args ...any)) {
	lowest := math.Max(p.FootMM, p.WindowFootMM) + leastFeatureMM
	highest := p.ThicknessMM - leastFeatureMM
	pieces := 0
	for _, m := range p.Marks {
		name := "mark " + m.Says
		if !(m.WidthMM >= leastFeatureMM && m.WidthMM <= largestMM) {
			say(name, "width %g mm, wanted %g to %d", m.WidthMM, leastFeatureMM, largestMM)
		}
		raised := m.LevelMM >= p.ThicknessMM+leastFeatureMM && m.LevelMM <= p.ThicknessMM+mostRaisedMM
		if !(m.LevelMM >= lowest && m.LevelMM <= highest || raised) {
			say(name, "ground at %g mm, wanted %g to %g in a plate of %g mm, or above it", m.LevelMM, lowest, highest, p.ThicknessMM)
		}
		for i, s := range m.Strokes {
			if len(s) < 2 {
				say(name, "stroke %d has %d points, wanted 2 or more", i+1, len(s))
			}
			pieces += len(s)
			for _, v := range s {
				if !near(v.X) || !near(v.Y) {
					say(name, "stroke %d has a point at (%g, %g): coordinates go to %d mm", i+1, v.X, v.Y, largestMM)
					break
				}
			}
		}
	}
	if pieces > maxStrokePieces {
		say("marks", "%d points in all, at most %d are taken", pieces, maxStrokePieces)
	}
}
