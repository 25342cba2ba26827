package measure

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/verdict"
)

// report puts the figures together. Seen from above, a board that was turned over turns the
// other way, and what the board frame calls left lies to the right: all signs change.
func (g *gathered) report(a analysis) DatumReport {
	s, sign := g.spec, 1.0
	if s.ToMachine.Mirror {
		sign = -1
	}
	b := s.basis(a.sse, a.df)
	rep := DatumReport{
		Judgement: g.judge(&a.datumFit, b), Basis: b, ToleranceMM: s.ToleranceMM, Points: len(g.x), RMSmm: a.rms(len(g.x)),
		Bow: a.bow, Edges: g.edges(&a), Repeats: g.repeats(), Contradicted: s.contradicted(a.clean.sse, a.clean.df),
	}
	rep.Pass, rep.ProgramRad = rep.RunoutMM <= s.ToleranceMM, rep.AngleRad
	if rep.Bow != nil {
		rep.Bow.SagittaMM *= sign
	}
	if w := g.startOffset(&a.datumFit); w != nil {
		v, se := a.contrast(w...)
		v *= sign
		rep.OffsetMM, rep.OffsetHalf = &v, b.half(se)
	}
	bow := a.bowOf()
	t, _ := s.studentised(&a.fit, nil)
	for i, e := range a.residual {
		run := g.runs[g.run[i]]
		if !slices.Contains(rep.On, run.on) {
			rep.On = append(rep.On, run.on)
		}
		rep.Residuals = append(rep.Residuals, Residual{
			Line: g.lines[i], On: run.on, StationMM: g.x[i] * run.cos, ResidualMM: sign * e,
			FromLineMM: sign * (e + bow*g.column(bowTerm, i)), Studentised: sign * t[i],
		})
	}
	rep.UncoveredMM = math.Max(0, s.LengthMM-(slices.Max(g.x)-slices.Min(g.x)))
	if o := a.out; o != nil {
		i := o.index
		rep.Outlier = &Outlier{
			Line: g.lines[i], On: rep.Residuals[i].On, StationMM: rep.Residuals[i].StationMM,
			OffMM: sign * a.off, Studentised: sign * o.t, Limit: o.limit,
			Without: g.judge(&a.clean, s.basis(a.clean.sse, a.clean.df)),
		}
		if rep.Outlier.Without.Verdict != rep.Verdict {
			rep.Verdict = verdict.Inconclusive
		}
	}
	if taper, shown, ok := g.dialTaper(); ok && rep.Verdict == verdict.OutOfTolerance &&
		math.Abs(shown) < inchTaper*math.Abs(taper) {
		rep.NoTaperMM = taper
	}
	return rep
}

// judge answers from one fit.
func (g *gathered) judge(f *datumFit, b *Basis) Judgement {
	s := g.spec
	slope, se := f.contrast(f.of(slopeTerm, 1)...)
	j := Judgement{
		AngleRad: math.Atan(slope), AngleHalf: b.half(se / (1 + slope*slope)),
		RunoutMM: math.Abs(slope) * s.LengthMM, RunoutHalf: b.half(se * s.LengthMM),
	}
	j.Verdict = verdict.Judge("", j.RunoutMM, j.RunoutHalf, s.ToleranceMM).Word
	if s.ToMachine.Mirror {
		j.AngleRad = -j.AngleRad
	}
	// A positive angle has swung the far end to the left, seen from above.
	along := s.ToMachine.Apply(geom.Vec{X: 1}).Sub(s.ToMachine.Shift)
	left := along.Left()
	j.Far = Tap{"far", "right", axisName(left.Scale(-1)), j.RunoutMM}
	j.Start = Tap{"start", "left", axisName(left), j.RunoutMM}
	if j.AngleRad < 0 {
		j.Far.Toward, j.Start.Toward = j.Start.Toward, j.Far.Toward
		j.Far.Direction, j.Start.Direction = j.Start.Direction, j.Far.Direction
	}
	return j
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
	f, ok := g.fit(a.dropped(), want...)
	if !ok {
		return nil
	}
	s, b := g.spec, g.spec.basis(f.sse, f.df)
	twist, se := f.contrast(f.of(taperTerm, 2)...)
	e := &Edges{TwistRad: twist, TwistHalf: b.half(se), Twisted: b.significant(twist, se), TaperFitted: a.taper}
	if l, r := g.runOf(OnLeft), g.runOf(OnRight); l >= 0 && r >= 0 {
		w := make([]float64, len(f.x))
		w[l], w[r] = 1/g.runs[l].cos, -1/g.runs[r].cos
		width, se := f.contrast(w...)
		e.WidthStartMM, e.WidthStartHalf = &width, b.half(se)
		// At the far end the edge's own length is L/cos, the distance from it taken
		// square to v another 1/cos.
		w[f.index(taperTerm)] = 2 * s.LengthMM / (g.runs[l].cos * g.runs[l].cos)
		far, se := f.contrast(w...)
		e.WidthFarMM, e.WidthFarHalf = &far, b.half(se)
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
