package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/reliable"
	"reseat/jig/spelling"
	"reseat/jig/units"
)

// observations matches the readings with what they are readings of.
func (s *Spec) observations(readings []reading.Reading) ([]observation, error) {
	marks := map[string]geom.Vec{}
	for _, m := range s.Marks {
		marks[m.Name] = s.ToMachine.Apply(m.At)
	}
	var faults []error
	out := make([]observation, len(readings))
	for i, r := range readings {
		at, is := marks[r.On]
		if out[i] = (observation{at: r.At, drawn: at}); is {
			continue
		}
		o, is := s.edge(strings.ToLower(r.On))
		if !is {
			meant := ""
			if len(faults) < reading.FaultsShown { // the others are counted only
				meant = s.nearNames(r.On)
			}
			faults = append(faults, fmt.Errorf("%s:%d: there is no %q on the board; did you mean %s?", s.File, r.Line, r.On,
				meant))
		}
		out[i] = observation{
			at: r.At, drawn: s.ToMachine.Apply(o.drawn),
			normal: s.ToMachine.Apply(o.normal).Sub(s.ToMachine.Shift), probe: o.probe,
		}
	}
	return out, reading.Joined(faults)
}

// namesShown bounds the names that an unknown one is answered with.
const namesShown = 5

// nearNames lists the names that may be meant: those that differ in the fewest letters,
// or, where more than half the letters differ, the likeliest ones first.
func (s *Spec) nearNames(name string) string {
	names := []string{reading.OnLeft, reading.OnRight, reading.OnStart}
	for i, m := range s.Marks {
		names = slices.Insert(names, i, m.Name)
	}
	low := strings.ToLower(name)
	apart := func(of string) int { return spelling.Distance(low, strings.ToLower(of)) }
	slices.SortStableFunc(names, func(a, b string) int { return apart(a) - apart(b) })
	if least := apart(names[0]); 2*least <= len(low) {
		names = slices.DeleteFunc(names, func(n string) bool { return apart(n) > least })
	}
	for i, n := range names {
		names[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(names[:min(namesShown, len(names))], ", ")
}

const (
	// grossMM is the least misfit that is blamed on a mistake: axes that are
	// exchanged or turned over put marks off by millimetres, never by less.
	grossMM = 0.5
	// inchShare is how far the fitted scale may be off 25.4 or its inverse to count
	// as inches: a set with a bad reading is off by a few per cent.
	inchShare = 0.05
)

// mistaken names readings in inches, with axes exchanged or turned over.
func (s *Spec) mistaken(obs []observation) error {
	p, q := marksOf(obs)
	if len(p) < 2 || farthest(p, p[0]).Dist(p[0]) < leastSpanMM {
		return mistakenEdges(obs)
	}
	f, scale, _, ok := kabsch(p, q)
	if !ok {
		return nil // unfixed names it
	}
	rmsOf := func(f poseFit) float64 { return math.Sqrt(f.sse / float64(len(p))) }
	as := func(put func(geom.Vec) geom.Vec) (angle, rms, scale float64) {
		g, scale, _, _ := kabsch(p, mapped(q, put))
		return g.x[poseTurn], rmsOf(g), scale
	}
	rms := rmsOf(f)
	swap, mirrorRMS, mirrorScale := as(exchanged)
	if scale = math.Max(scale, mirrorScale); math.Abs(scale*units.MMPerInch-1) < inchShare {
		return inInches(fmt.Sprintf("the marks lie %.4f times as far apart as drawn, which is 1/25.4", scale))
	}
	if math.Abs(scale/units.MMPerInch-1) < inchShare {
		return fmt.Errorf("these readings are 25.4 times too large: the marks lie %.2f times as far apart as drawn; is "+
			"the job in inches, or were inches written as millimetres twice over?", scale)
	}
	mirrored := rms > grossMM && rms > farBetter*mirrorRMS
	// Marks on one line fit their mirror image as well; then the turn tells.
	alike := mirrorRMS <= rms*(1+inchShare) || mirrorRMS <= grossMM
	if !mirrored && (s.AnyAngle || math.Abs(f.x[poseTurn]) <= mostSkewRad || !alike) {
		return nil
	}
	if math.Abs(swap) <= mostSkewRad {
		return axesExchanged(apartMM(p, q), apartMM(p, mapped(q, exchanged)))
	}
	mirror := func(rms, mirrored float64, likely string) error {
		return fmt.Errorf("the readings are mirrored: they fit to %.3g mm as they stand and to %.3g mm mirrored; %s", rms,
			mirrored, likely)
	}
	for i, put := range []func(geom.Vec) geom.Vec{
		func(v geom.Vec) geom.Vec { return geom.Vec{X: -v.X, Y: v.Y} },
		func(v geom.Vec) geom.Vec { return geom.Vec{X: v.X, Y: -v.Y} },
	} {
		if angle, r, _ := as(put); math.Abs(angle) <= mostSkewRad {
			return mirror(rms, r, "XY"[i:i+1]+" has the wrong sign, most likely; or the board is turned over")
		}
	}
	if !mirrored {
		return nil // a turn, and Locate names it
	}
	return mirror(rms, mirrorRMS, "is the board turned over, or is an axis the wrong way round?")
}

// mistakenEdges tells inches when there are too few marks to fit a scale: by how
// far the readings lie from where they were drawn.
func mistakenEdges(obs []observation) error {
	var off, inch float64
	var drawn poseFit
	for _, o := range obs {
		off += drawn.residualOf(o).Norm() / float64(len(obs))
		o.at, o.probe = o.at.Scale(units.MMPerInch), o.probe*units.MMPerInch
		inch += drawn.residualOf(o).Norm() / float64(len(obs))
	}
	if off > farBetter*inch && off > grossMM {
		return inInches(fmt.Sprintf("they lie %.3g mm from where they were drawn on average, in inches %.3g mm", off, inch))
	}
	return nil
}

func exchanged(v geom.Vec) geom.Vec { return geom.Vec{X: v.Y, Y: v.X} }

func mapped(q []geom.Vec, put func(geom.Vec) geom.Vec) []geom.Vec {
	out := make([]geom.Vec, len(q))
	for i := range q {
		out[i] = put(q[i])
	}
	return out
}

// apartMM is the mean distance between two lists of points.
func apartMM(p, q []geom.Vec) (off float64) {
	for i := range p {
		off += q[i].Dist(p[i]) / float64(len(p))
	}
	return off
}

// mostExchanged bounds the marks of which every pair is tried; nobody measures as
// many by hand.
const mostExchanged = 60

// exchangedNames tries every pair of marks the other way round when the readings
// fit badly. It wants four marks: with three a pair can nearly always be
// exchanged by mirroring or bad luck.
func exchangedNames(readings []reading.Reading, obs []observation) error {
	var of []reading.Reading
	for i, o := range obs {
		if !o.edge() {
			of = append(of, readings[i])
		}
	}
	p, q := marksOf(obs)
	if len(p) < 4 || len(p) > mostExchanged {
		return nil
	}
	rms := func() float64 {
		f, _, _, _ := kabsch(p, q)
		return math.Sqrt(f.sse / float64(len(p)))
	}
	now := rms()
	if now <= grossMM {
		return nil
	}
	var a, b reading.Reading
	best := now / farBetter
	for i := range p {
		for j := range i {
			p[i], p[j] = p[j], p[i]
			if r := rms(); r < best {
				best, a, b = r, of[j], of[i]
			}
			p[i], p[j] = p[j], p[i]
		}
	}
	if a.On == "" {
		return nil
	}
	return fmt.Errorf("%q (line %d) and %q (line %d) are exchanged, most likely: the readings fit to %.3g mm as they "+
		"stand and to %.3g mm exchanged",
		a.On, a.Line, b.On, b.Line, now, best)
}

// unfixed refuses a fit of n readings that leaves the board free.
func unfixed(f *poseFit, ok bool, n int) error {
	free := "they give no direction; measure two marks far apart, or one and an edge at both ends"
	if !ok {
		return fmt.Errorf("%s cannot fix where the board lies: %s; left and right alone do not fix it along its length",
			units.Count(n, "reading"), free)
	}
	_, turn := f.contrast(1, 0, 0)
	_, x := f.contrast(0, 1, 0)
	_, y := f.contrast(0, 0, 1)
	const rounding = 1e-9
	switch {
	case turn > math.Sqrt2/leastSpanMM*(1+rounding):
		free += fmt.Sprintf(" (they must reach over %g mm)", leastSpanMM)
	case math.Max(x, y) > reliable.MostDilution:
		free = "the board can slide between them; touch the start end or measure a mark as well"
	default:
		return nil
	}
	return fmt.Errorf("%s cannot fix where the board lies: %s", units.Count(n, "reading"), free)
}
