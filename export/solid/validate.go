package solid

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
)

// leastFeatureMM is the smallest hole, thickness, chamfer or rail height taken:
// below one printed layer nothing is left of it. Common practice, no source.
const leastFeatureMM = 0.05

// leastStepMM is the least difference between the legs of the two chamfers of a
// hole that are not equal: their wide ends would be one edge in the plan and two
// heights apart. A tenth of a printed layer.
const leastStepMM = 0.01

// inputError lists everything that is wrong with a print's description.
type inputError []string

func (e inputError) Error() string { return strings.Join(e, "; ") }

// err returns nil when nothing is wrong.
func (e inputError) err() error {
	if len(e) == 0 {
		return nil
	}
	return e
}

func (e *inputError) say(format string, args ...any) { *e = append(*e, fmt.Sprintf(format, args...)) }

// size says so when x is no length of a feature, up to most.
func (e *inputError) size(what string, x, most float64) {
	if !(x >= leastFeatureMM && x <= most) {
		e.say("%s %g mm, wanted %g to %g", what, x, leastFeatureMM, most)
	}
}

// contour says so when l encloses nothing or leaves the grid.
func (e *inputError) contour(what string, l geom.Loop) {
	for _, v := range l {
		if !near(v.Vec) || !(math.Abs(v.Bulge) <= 1+tangentTol) {
			e.say("%s: corner (%g, %g) with bulge %g: coordinates go to %d mm, bulges to 1", what, v.X, v.Y, v.Bulge, largestMM)
			return
		}
	}
	if len(l) < 2 || !(l.Area() >= leastFeatureMM*leastFeatureMM) {
		e.say("%s of %d corners encloses nothing counter-clockwise", what, len(l))
	}
}

// near reports whether the grid can hold p.
func near(p geom.Vec) bool { return math.Abs(p.X) <= largestMM && math.Abs(p.Y) <= largestMM }

// validate reports everything that is wrong with the numbers of a print; what
// only shows when contours are laid over each other is found later.
func validate(p *jig.Print) error {
	var e inputError
	e.size("thickness", p.ThicknessMM, largestMM)
	e.contour("outline", p.Outline)
	if p.Window != nil {
		e.contour("window", p.Window)
	}
	for _, h := range p.Holes {
		e.size("hole "+h.ID+": diameter", h.Diameter, largestMM)
		if !near(h.Center) || !(h.Travel >= 0 && h.Travel <= largestMM) || !(math.Abs(h.Angle) < math.MaxFloat64) {
			e.say("hole %s: at (%g, %g), travel %g mm, angle %g rad", h.ID, h.Center.X, h.Center.Y, h.Travel, h.Angle)
		}
	}
	for i, r := range p.Rails {
		e.contour(fmt.Sprintf("rail %d", i+1), r.Outline)
		e.size(fmt.Sprintf("rail %d: height", i+1), r.TopMM-p.ThicknessMM, largestMM-p.ThicknessMM)
	}
	for _, m := range p.Marks {
		e.size("mark "+m.Says+": width", m.WidthMM, largestMM)
		e.size("mark "+m.Says+": height", m.LevelMM-p.ThicknessMM, largestMM-p.ThicknessMM)
		for _, s := range m.Strokes {
			for _, v := range s {
				if !near(v) {
					e.say("mark %s: a point at (%g, %g)", m.Says, v.X, v.Y)
				}
			}
		}
	}
	for _, leg := range []struct {
		what string
		mm   float64
	}{{"foot chamfer", p.FootMM}, {"window foot chamfer", p.WindowFootMM}, {"entry chamfer", p.EntryMM}} {
		if leg.mm != 0 {
			e.size(leg.what+": leg", leg.mm, p.ThicknessMM-leastFeatureMM)
		}
	}
	if left := p.ThicknessMM - p.FootMM - p.EntryMM; p.FootMM+p.EntryMM > 0 && !(left >= leastFeatureMM) {
		e.say("foot of %g mm and entry of %g mm leave %.3f mm of straight hole, wanted at least %g",
			p.FootMM, p.EntryMM, left, leastFeatureMM)
	}
	if d := math.Abs(p.FootMM - p.EntryMM); p.FootMM > 0 && p.EntryMM > 0 && d > 0 && d < leastStepMM {
		e.say("foot of %g mm and entry of %g mm differ by less than %g mm: make them equal", p.FootMM, p.EntryMM,
			leastStepMM)
	}
	return e.err()
}
