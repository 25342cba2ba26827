package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/spelling"
)

// UnknownNameError reports a reading of something that is not on the board.
type UnknownNameError struct {
	File string // the readings file; "": not known
	Line int    // of the readings file
	Name string
	Near []string // names that may be meant, the likeliest first
}

func (e *UnknownNameError) Error() string {
	remedy := "the job has no marks"
	if len(e.Near) > 0 {
		remedy = "did you mean " + strings.Join(quoted(e.Near), ", ") + "?"
	}
	at := fmt.Sprintf("line %d", e.Line)
	if e.File != "" {
		at = fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	return fmt.Sprintf("%s: there is no %q on the board; %s", at, e.Name, remedy)
}

// MirroredError reports readings that fit the board's mirror image far better.
type MirroredError struct {
	RMSmm, MirrorRMSmm float64 // of the fit as the readings stand, and mirrored
	Likely             string  // the likely cause in words
}

func (e *MirroredError) Error() string {
	return fmt.Sprintf("the readings are mirrored: they fit to %.3g mm as they stand and to %.3g mm mirrored; %s", e.RMSmm, e.MirrorRMSmm, e.Likely)
}

// UnfixedError reports readings that do not fix where the board lies.
type UnfixedError struct {
	Readings int
	Free     string // what is left free, and what to measure
}

func (e *UnfixedError) Error() string {
	return fmt.Sprintf("%d readings do not fix where the board lies: %s", e.Readings, e.Free)
}

// sights matches the readings with what they are readings of.
func (s LocateSpec) sights(readings []MarkReading) ([]sight, error) {
	faults := s.check(readings)
	edges := s.edgeLines()
	marks := map[string]geom.Vec{}
	for i, m := range s.Marks {
		if _, twice := marks[m.Name]; twice {
			faults = append(faults, &InputError{fmt.Sprintf("mark %q", m.Name), float64(i), "a name once only"})
		}
		if _, is := edges[Edge(m.Name)]; is {
			faults = append(faults, &InputError{fmt.Sprintf("mark %q", m.Name), float64(i), "another name: this one is an edge's"})
		}
		if !finite(m.At.X, m.At.Y) {
			faults = append(faults, &InputError{fmt.Sprintf("mark %q (mm)", m.Name), m.At.X, "finite coordinates below 100 m"})
		}
		marks[m.Name] = m.At
	}
	out := make([]sight, len(readings))
	for i, r := range readings {
		if !finite(r.At.X, r.At.Y) {
			faults = append(faults, &InputError{fmt.Sprintf("reading on line %d (mm)", r.Line), r.At.X, "finite coordinates below 100 m"})
		}
		if at, is := marks[r.Name]; is {
			out[i] = sight{q: r.At, p: at}
		} else if e, is := edges[Edge(strings.ToLower(r.Name))]; is {
			e.q, e.r = r.At, s.ProbeRadiusMM
			out[i] = e
		} else {
			faults = append(faults, &UnknownNameError{s.File, r.Line, r.Name, s.nearNames(r.Name)})
		}
	}
	return out, together(faults)
}

// isEdge reports whether a reading's name is an edge's.
func isEdge(name string) bool {
	return slices.Contains([]Edge{OnLeft, OnRight, OnStart}, Edge(strings.ToLower(name)))
}

// edgeLines returns the drawn edges in the machine frame.
func (s LocateSpec) edgeLines() map[Edge]sight {
	d := DatumSpec{LengthMM: math.Max(s.LengthMM, 1), WidthStartMM: s.WidthStartMM, WidthEndMM: s.WidthEndMM}
	out := map[Edge]sight{}
	put := func(e Edge, p, n geom.Vec) {
		o := s.ToMachine.Apply(geom.Vec{})
		out[e] = sight{edge: true, p: s.ToMachine.Apply(p), n: s.ToMachine.Apply(n).Sub(o)}
	}
	for e, l := range d.lines() {
		if l.out != 0 {
			put(e, geom.Vec{Y: l.v}, geom.Vec{X: -l.sin, Y: l.cos}.Scale(l.out))
		}
	}
	put(OnStart, geom.Vec{}, geom.Vec{X: -1})
	return out
}

func (s LocateSpec) check(readings []MarkReading) []error {
	faults := s.Precision.check()
	edge := slices.ContainsFunc(readings, func(r MarkReading) bool { return isEdge(r.Name) })
	for _, c := range []struct {
		what string
		got  float64
		must bool // more than zero
	}{
		{"board length (mm)", s.LengthMM, edge},
		{"width at the start (mm)", s.WidthStartMM, edge},
		{"width at the far end (mm)", s.WidthEndMM, edge},
		{"probe radius (mm)", s.ProbeRadiusMM, false},
	} {
		if !finite(c.got) || c.got < 0 || c.must && c.got == 0 {
			want := "zero or more"
			if c.must {
				want = "more than zero, as edges were touched"
			}
			faults = append(faults, &InputError{c.what, c.got, want})
		}
	}
	if m := s.ToMachine; !finite(m.Angle, m.Shift.X, m.Shift.Y) {
		faults = append(faults, &InputError{"board's place in the machine", m.Angle, "finite angle and shift"})
	}
	if !finite(s.At.X, s.At.Y) {
		faults = append(faults, &InputError{"chosen point (mm)", s.At.X, "finite coordinates below 100 m"})
	}
	return faults
}

// namesShown bounds the names that an unknown one is answered with.
const namesShown = 5

// nearNames returns the names that may be meant, in the job's order: those that
// differ in the fewest letters, or, where more than half the letters differ, the
// likeliest ones first.
func (s LocateSpec) nearNames(name string) []string {
	var names []string
	for _, m := range s.Marks {
		names = append(names, m.Name)
	}
	names = append(names, string(OnLeft), string(OnRight), string(OnStart))
	low := strings.ToLower(name)
	apart := func(of string) int { return spelling.Distance(low, strings.ToLower(of)) }
	slices.SortStableFunc(names, func(a, b string) int { return apart(a) - apart(b) })
	if least := apart(names[0]); 2*least <= len(low) {
		names = slices.DeleteFunc(names, func(n string) bool { return apart(n) > least })
	}
	return names[:min(namesShown, len(names))]
}

func quoted(names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%q", n)
	}
	return out
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
func (s LocateSpec) mistaken(sights []sight) error {
	var p, q []geom.Vec
	for _, x := range sights {
		if !x.edge {
			p, q = append(p, x.p), append(q, x.q)
		}
	}
	if len(p) < 2 || spanOf(p) < leastSpanMM {
		return s.mistakenEdges(sights)
	}
	f, sum, ok := kabsch(p, q)
	if !ok {
		return nil // unfixed names it
	}
	other := func(put func(geom.Vec) geom.Vec) (angle, rms, scale float64) {
		t := make([]geom.Vec, len(q))
		for i := range q {
			t[i] = put(q[i])
		}
		g, sum, _ := kabsch(p, t)
		return g.angle, rmsOf(g, p, t), sum.scale()
	}
	rms := rmsOf(f, p, q)
	swap, mirrorRMS, mirrorScale := other(func(v geom.Vec) geom.Vec { return geom.Vec{X: v.Y, Y: v.X} })
	scale := math.Max(sum.scale(), mirrorScale)
	if math.Abs(scale*mmPerInch-1) < inchShare {
		return &InchError{Gave: fmt.Sprintf("the marks lie %.4f times as far apart as drawn, which is 1/25.4", scale)}
	}
	if math.Abs(scale/mmPerInch-1) < inchShare {
		return &InchError{Gave: fmt.Sprintf("the marks lie %.2f times as far apart as drawn, which is 25.4", scale), Large: true}
	}
	mirrored := rms > grossMM && rms > farBetter*mirrorRMS
	// Marks on one line fit their mirror image as well; then the turn tells.
	alike := mirrorRMS <= rms*(1+inchShare) || mirrorRMS <= grossMM
	if !mirrored && (s.AnyAngle || math.Abs(f.angle) <= mostSkewRad || !alike) {
		return nil
	}
	if math.Abs(swap) <= mostSkewRad {
		return &SwappedError{drawnOff(p, q, false), drawnOff(p, q, true)}
	}
	for _, c := range []struct {
		put  func(geom.Vec) geom.Vec
		says string
	}{
		{func(v geom.Vec) geom.Vec { return geom.Vec{X: -v.X, Y: v.Y} }, "X has the wrong sign, most likely; or the board is turned over"},
		{func(v geom.Vec) geom.Vec { return geom.Vec{X: v.X, Y: -v.Y} }, "Y has the wrong sign, most likely; or the board is turned over"},
	} {
		if angle, r, _ := other(c.put); math.Abs(angle) <= mostSkewRad {
			return &MirroredError{rms, r, c.says}
		}
	}
	if !mirrored {
		return nil // a turn, and Locate names it
	}
	return &MirroredError{rms, mirrorRMS, "is the board turned over, or is an axis the wrong way round?"}
}

// mistakenEdges tells inches when there are too few marks to fit a scale: by how
// far the readings lie from where they were drawn.
func (s LocateSpec) mistakenEdges(sights []sight) error {
	var off, inch float64
	for _, x := range sights {
		at := rigidFit{}
		off += at.residualOf(x).Norm()
		x.q = x.q.Scale(mmPerInch)
		x.r *= mmPerInch
		inch += at.residualOf(x).Norm()
	}
	if off > farBetter*inch && off > grossMM*float64(len(sights)) {
		return &InchError{Gave: fmt.Sprintf("they lie %.3g mm from where they were drawn on average, in inches %.3g mm", off/float64(len(sights)), inch/float64(len(sights)))}
	}
	return nil
}

// rmsOf returns the root mean square distance of a fit.
func rmsOf(f rigidFit, p, q []geom.Vec) float64 {
	var sse float64
	for i := range p {
		e := q[i].Sub(f.apply(p[i]))
		sse += e.Dot(e)
	}
	return math.Sqrt(sse / float64(len(p)))
}

// drawnOff returns how far the readings lie from where they were drawn, on
// average, as they stand or exchanged.
func drawnOff(p, q []geom.Vec, swapped bool) (off float64) {
	for i := range p {
		at := q[i]
		if swapped {
			at = geom.Vec{X: at.Y, Y: at.X}
		}
		off += at.Dist(p[i]) / float64(len(p))
	}
	return off
}

// spanOf returns the longest distance from the first point.
func spanOf(p []geom.Vec) (d float64) {
	for _, x := range p {
		d = math.Max(d, x.Dist(p[0]))
	}
	return d
}

// mostDilution is the largest factor from the error of a reading to that of the
// board's place at the readings' middle. Marks and edges that fix a board give one
// or two; two nearly parallel edges alone, between which the board slides, give 40.
const mostDilution = 10.0

// unfixed refuses a fit that leaves the board free.
func (s LocateSpec) unfixed(f *rigidFit, ok bool, sights []sight) error {
	e := &UnfixedError{Readings: len(sights)}
	turn := "they give no direction; measure two marks far apart, or one and an edge at both ends"
	switch {
	case len(sights) == 0:
		e.Free = "there are none; measure two marks far apart"
	case !ok:
		e.Free = turn + "; left and right alone do not fix it along its length"
	case math.Sqrt(f.cov[0][0]) > math.Sqrt2/leastSpanMM*(1+leastPivot):
		e.Free = fmt.Sprintf("%s (they must reach over %g mm)", turn, leastSpanMM)
	case math.Sqrt(math.Max(f.cov[1][1], f.cov[2][2])) > mostDilution:
		e.Free = "the board can slide between them; touch the start end or measure a mark as well"
	default:
		return nil
	}
	return e
}
