package measure

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/verdict"
)

// report puts the figures together. Seen from above, a board that was turned over turns the
// other way, and what the board frame calls left lies to the right: all signs change.
func (g *gathered) report(a analysis) DatumReport {
	s, sign := g.spec, 1.0
	if s.ToMachine.Mirror {
		sign = -1
	}
	likely := a.main.heaviest()
	off := g.residuals(&likely.datumFit)
	rep := DatumReport{
		Judgement: g.judge(a.main), Uncertainty: likely.uncertainty, ToleranceMM: s.ToleranceMM, Points: len(g.x),
		Bow: a.bow, Edges: g.edges(&a), Serial: a.serial, Repeats: g.repeats(),
	}
	rep.Pass, rep.ProgramRad = rep.RunoutMM <= s.ToleranceMM, rep.AngleRad
	if rep.Bow != nil {
		rep.Bow.SagittaMM *= sign
	}
	if w := g.startOffset(&likely.datumFit); w != nil {
		v, half := g.estimate(a.main, w)
		v *= sign
		rep.OffsetMM, rep.OffsetHalf = &v, half
	}
	if rep.Place = g.place(&a, rep.Verdict != verdict.Good); rep.Place != nil {
		rep.Place.OffsetMM *= sign
	}
	bow, kept := 0.0, 0.0
	if i := likely.index(bowTerm); i >= 0 {
		bow = likely.x[i]
	}
	t, _ := s.studentised(&a.plain.fit, nil)
	for i, e := range off {
		run := g.runs[g.run[i]]
		if !slices.Contains(rep.On, run.on) {
			rep.On = append(rep.On, run.on)
		}
		if i != a.dropped() {
			rep.RMSMM, kept = rep.RMSMM+e*e, kept+1
		}
		rep.Residuals = append(rep.Residuals, Residual{
			Line: g.lines[i], On: run.on, StationMM: g.x[i] * run.cos, ResidualMM: sign * e,
			FromLineMM: sign * (e + bow*g.column(bowTerm, i)), Studentised: sign * t[i],
		})
	}
	rep.RMSMM = math.Sqrt(rep.RMSMM / kept)
	rep.UncoveredMM = math.Max(0, s.LengthMM-(slices.Max(g.x)-slices.Min(g.x)))
	if clean, ok := g.fit(a.dropped(), a.plain.terms...); ok {
		rep.Contradicted = s.contradicted(clean.sse, clean.df)
	}
	if o := a.out; o != nil {
		i := o.index
		rep.Outlier = &Outlier{
			Line: g.lines[i], On: rep.Residuals[i].On, StationMM: rep.Residuals[i].StationMM,
			OffMM: sign * a.off, Studentised: sign * o.t, Limit: o.limit, LeftOut: o.certain,
		}
	}
	if taper, shown, ok := g.dialTaper(); ok && rep.Verdict == verdict.OutOfTolerance &&
		math.Abs(shown) < inchTaper*math.Abs(taper) {
		rep.NoTaperMM = taper
	}
	return rep
}

// judge answers for the direction.
func (g *gathered) judge(b blend) Judgement {
	s := g.spec
	slope, half := g.estimate(b, b[0].of(slopeTerm, 1))
	j := Judgement{AngleRad: math.Atan(slope), RunoutMM: math.Abs(slope) * s.LengthMM}
	if half != nil {
		angle, runout := *half/(1+slope*slope), *half*s.LengthMM
		j.AngleHalf, j.RunoutHalf = &angle, &runout
	}
	j.Verdict = verdict.Judge("", j.RunoutMM, j.RunoutHalf, s.ToleranceMM).Word
	if s.ToMachine.Mirror {
		j.AngleRad = -j.AngleRad
	}
	// A positive angle has swung the far end to the left, seen from above.
	j.Far = Tap{"far", "right", s.Sideways(false), j.RunoutMM}
	j.Start = Tap{"start", "left", s.Sideways(true), j.RunoutMM}
	if j.AngleRad < 0 {
		j.Far.Toward, j.Start.Toward = j.Start.Toward, j.Far.Toward
		j.Far.Direction, j.Start.Direction = j.Start.Direction, j.Far.Direction
	}
	return j
}

// Sideways names the machine direction to the left or right of the board as it lies, looking
// from its start end, seen from above.
func (s *Spec) Sideways(left bool) string {
	d := s.ToMachine.Apply(geom.Vec{X: 1}).Sub(s.ToMachine.Shift).Left()
	if !left {
		d = d.Scale(-1)
	}
	return axisName(d)
}

// axisName names the machine direction nearest to d.
func axisName(d geom.Vec) string {
	name, v := "X", d.X
	if math.Abs(d.Y) > math.Abs(d.X) {
		name, v = "Y", d.Y
	}
	if v < 0 {
		return "-" + name
	}
	return "+" + name
}

// edges compares the edges with each other. The taper is always fitted for it,
// whether the angle allows for it or not.
func (g *gathered) edges(a *analysis) *Edges {
	left, right := g.sides()
	if !left || !right {
		return nil
	}
	want := []term{slopeTerm, taperTerm}
	if a.bow != nil && a.bow.Significant {
		want = append(want, bowTerm)
	}
	b := g.blend(laying{dropped: a.dropped(), terms: want}, false)
	if b == nil {
		return nil
	}
	f := &b[0].datumFit
	twist, half := g.estimate(b, f.of(taperTerm, 2))
	e := &Edges{TwistRad: twist, TwistHalf: half, Twisted: excludesZero(twist, half), TaperFitted: a.taper}
	if l, r := g.runOf(reading.OnLeft), g.runOf(reading.OnRight); l >= 0 && r >= 0 {
		w := make([]float64, len(f.x))
		w[l], w[r] = 1/g.runs[l].cos, -1/g.runs[r].cos
		width, half := g.estimate(b, w)
		e.WidthStartMM, e.WidthStartHalf = &width, half
		// At the far end the edge's own length is L/cos, the distance from it taken
		// square to v another 1/cos.
		w[f.index(taperTerm)] = 2 * g.spec.LengthMM / (g.runs[l].cos * g.runs[l].cos)
		far, half := g.estimate(b, w)
		e.WidthFarMM, e.WidthFarHalf = &far, half
	}
	return e
}

// samePlaceMM is the distance between stations below which two readings on one
// line count as taken at the same place. Common practice, no source: a maker who
// means another place goes farther.
const samePlaceMM = 0.5

// repeatsShown bounds the places that are named: a dense scan has one everywhere.
const repeatsShown = 5

// repeats names the readings that were taken at the same place. Both count; how
// far they differ tells how well a reading repeats.
func (g *gathered) repeats() (out []Repeat) {
	order := make([]int, len(g.x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if g.run[a] != g.run[b] {
			return g.run[a] - g.run[b]
		}
		return cmp.Compare(g.x[a], g.x[b])
	})
	for i := 0; i < len(order) && len(out) < repeatsShown; {
		first := order[i]
		r := Repeat{On: g.runs[g.run[first]].on, StationMM: g.x[first]}
		lo, hi := math.Inf(1), math.Inf(-1)
		for ; i < len(order) && g.run[order[i]] == g.run[first] && g.x[order[i]]-g.x[first] < samePlaceMM; i++ {
			lo, hi = math.Min(lo, g.y[order[i]]), math.Max(hi, g.y[order[i]])
			r.Lines = append(r.Lines, g.lines[order[i]])
		}
		if len(r.Lines) > 1 {
			slices.Sort(r.Lines)
			r.RangeMM = hi - lo
			out = append(out, r)
		}
	}
	return out
}
