package measuring

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// verdict is good when every reading belongs, they fit as well as the job wants, and every
// feature's place is known within what the accuracy leaves, whichever single reading is wrong.
func (a *locateAnswer) verdict(m measured) verdict.Verdict {
	g, most := a.guard, a.job.AccuracyMM
	limit := m.limitXY()
	var half *float64
	if g.HalfMM < math.Inf(1) && a.Outlier == nil {
		half = &g.HalfMM
	}
	v := verdict.JudgePrecision("pose", half, limit)
	if o := a.Outlier; o != nil {
		fits := ""
		if o.Near != "" {
			fits = "; it fits " + o.Near
		}
		v = v.Because(verdict.Outlier, fmt.Sprintf("%s (line %d) is an outlier: it lies %s mm (X %s, Y "+
			"%s) from "+
			"where they have it%s.", o.Name, o.Line, units.Fixed(o.OffMM, 2), units.Signed(o.XMM, 2), units.Signed(o.YMM, 2),
			fits),
			fmt.Sprintf("Measure %s again; or put # before line %d to leave it out, and run this again.", o.Name, o.Line))
		v.Lines = []int{o.Line}
		return v
	}
	if a.RMSMM > most && g.RestMM > most && g.RestMM < math.Inf(1) {
		return v.Because(verdict.OutOfTolerance, fmt.Sprintf("The readings fit worse than %s mm, whichever of them is left "+
			"out.", units.Decimal(most, 3)), "Measure every mark again. Are they of this board, and are the names right?")
	}
	before := len(v.Reasons)
	because := func(reason string, args ...any) {
		v = v.Because(verdict.Inconclusive, fmt.Sprintf(reason, args...))
	}
	if a.Contradicted {
		because("The readings scatter by more than the stated error of +-%s mm explains: is one wrong, or was something "+
			"loose?", units.Decimal(a.errorMM, 3))
	}
	leaves := units.Fixed(limit, 3) + " mm is left beside the moves of both cuts"
	switch {
	case half == nil:
		because("There are too few readings to judge their scatter.")
	case *half > limit:
		because("The worst feature, %s, is known to +-%s mm only, and %s.", a.feature(g.Place), units.Fixed(*half, 3),
			leaves)
	}
	switch one := a.Residuals[a.Of[g.Reading]]; {
	case half == nil:
	case math.IsInf(g.AsideMM, 1):
		because("Nothing guards against a wrong reading: without %s (line %d) the others do not fix the board.", one.Name,
			one.Line)
	case g.AsideMM > limit:
		because("A single wrong reading could pass: if it is %s (line %d), a feature lies up to %s mm from where it is "+
			"told, "+
			"and %s.", one.Name, one.Line, units.Fixed(g.AsideMM, 3), leaves)
	}
	if len(v.Reasons) > before {
		v.Remedy = a.remedy(m, limit)
	}
	return v
}

// mostAdded is how many marks more are told at once.
const mostAdded = 3

// remedy tells the marks that help most, and what they come to.
func (a *locateAnswer) remedy(m measured, limit float64) []string {
	again := "Measure those that were read again, each by itself, and write every reading down as the machine shows it."
	names, from := a.unread(&m)
	rows, err := a.Expected(m.spec, from)
	if err != nil {
		return []string{again}
	}
	chosen, g := a.Hold.Next(rows, limit, mostAdded)
	if len(chosen) == 0 {
		return []string{again}
	}
	var said []string
	for _, i := range chosen {
		said = append(said, names[i])
	}
	first, last := said[:len(said)-1], said[len(said)-1]
	if len(first) > 0 {
		last = strings.Join(first, ", ") + " and " + last
	}
	says := fmt.Sprintf("Measure %s too: the worst feature would then be known to about +-%s mm", last,
		units.Fixed(g.HalfMM, 2))
	if g.AsideMM < math.Inf(1) {
		says += fmt.Sprintf(", and to %s mm with any one reading wrong", units.Fixed(g.AsideMM, 2))
	}
	if max(g.HalfMM, g.AsideMM) > limit {
		return []string{says + ".", again}
	}
	return []string{says + "."}
}

// feature names one of the places that must come back.
func (a *locateAnswer) feature(i int) string {
	if f := FeaturesOn(a.job, a.up); len(f) > 0 {
		return f[i].Name
	}
	return []string{"the start end", "the far end"}[i]
}

const (
	// touchInMM is how far from a corner an edge is touched. Common practice, no source.
	touchInMM = 10.0
	// anewMM is how far from a touch that was taken another one tells something new. Common
	// practice, no source.
	anewMM = 30.0
)

// unread lists what can still be measured, by its drawn place on the machine, and lets its marks be
// known to the spec: the features of the
// face that is up, the pins' holes of a part that is seated on them, the edges of a free board.
func (a *locateAnswer) unread(m *measured) (names []string, from []reading.Reading) {
	marks := slices.Clone(m.spec.Marks)
	pinned := a.job.Template.Seat == "pins"
	if pinned {
		pins, _, _ := pinsOf(a.job) // none where the design fails; then other marks are told
		marks = append(marks, pins...)
	}
	m.spec.Marks = marks
	for _, k := range marks {
		has := func(r reading.Reading) bool { return r.On == k.Name }
		if !slices.ContainsFunc(m.readings, has) && !slices.ContainsFunc(from, has) {
			names = append(names, k.Name)
			from = append(from, reading.Reading{On: k.Name, At: m.spec.ToMachine.Apply(k.At)})
		}
	}
	edge := func(r reading.Reading) bool { return reading.IsEdge(r.On) }
	if pinned || a.job.Board.Outline != nil || len(from) > 0 && !slices.ContainsFunc(m.readings, edge) {
		return names, from // a point finds no edge
	}
	b, probe := a.job.Board, m.spec.ProbeRadiusMM
	touch := func(name, on string, u, v float64) {
		at := m.spec.ToMachine.Apply(geom.Vec{X: u, Y: v})
		near := func(r reading.Reading) bool {
			return strings.EqualFold(r.On, on) && r.At.Dist(a.Move.Apply(at)) < anewMM
		}
		if !slices.ContainsFunc(m.readings, near) {
			names, from = append(names, name), append(from, reading.Reading{On: on, At: at})
		}
	}
	near, far := touchInMM, b.LengthMM-touchInMM
	for _, e := range []struct {
		on   string
		side float64
	}{{reading.OnLeft, 1}, {reading.OnRight, -1}} {
		at := func(u float64) float64 {
			return e.side * (b.HalfWidthMM(u) + probe)
		}
		touch("the "+e.on+" edge near the start end", e.on, near, at(near))
		touch("the "+e.on+" edge near the far end", e.on, far, at(far))
	}
	v := b.WidthStartMM/2 - touchInMM
	touch("the start end near its left corner", reading.OnStart, -probe, v)
	touch("the start end near its right corner", reading.OnStart, -probe, -v)
	return names, from
}
