package measure

import (
	"fmt"
	"math"
	"slices"
)

// Edges is how the two edges differ from the job's. Half widths are those of the
// stated confidence, negative when nothing is left to judge them by.
type Edges struct {
	TwistRad     float64 // angle between the edges less the job's: positive when the board widens more
	TwistHalfRad float64
	Twisted      bool // told from scatter at 99 %
	// The widths less the job's; WidthKnown is false when an edge was read by dial
	// alone, whose zero lies anywhere.
	WidthKnown                     bool
	WidthStartMM, WidthStartHalfMM float64
	WidthFarMM, WidthFarHalfMM     float64
	TaperFitted                    bool // the angle allows for the twist; false: the job's taper was trusted
}

// report puts the figures into the shop's words.
func (s DatumSpec) report(readings []Reading, g *gathered, a analysis) DatumReport {
	f := &a.fit
	all := s.judgement(f)
	rep := DatumReport{
		AngleRad: all.AngleRad, RunoutMM: all.RunoutMM, ToleranceMM: s.ToleranceMM,
		Pass: all.RunoutMM <= s.ToleranceMM, Verdict: all.Verdict,
		Points: len(readings), UsedEdges: g.used(),
		RMSmm: math.Sqrt(f.sse / float64(len(readings))),
		Bow:   a.bow, Edges: s.edgesOf(g, a),
	}
	var offset, offsetUnit float64
	if at, ok := g.startOffset(); ok {
		offset, offsetUnit = f.value(at)
		rep.OffsetMM, rep.OffsetKnown = offset, true
	}
	t, _, _ := s.studentised(f)
	for i, r := range readings {
		x := Residual{Line: r.Line, On: r.On, StationMM: g.x[i] * g.cos[g.run[i]], ResidualMM: f.residual[i]}
		x.FromLineMM = x.ResidualMM + f.coef[bowTerm]*g.column(bowTerm, i)
		if t != nil {
			x.Studentised = t[i]
		}
		rep.Residuals = append(rep.Residuals, x)
	}
	if sp, ok := s.spread(f.sse, f.df); ok {
		slope, unit := f.value(slopeOf)
		k := sp.limit(s.confidence())
		first, last := slices.Min(g.x), slices.Max(g.x)
		rep.Uncertainty = &Uncertainty{
			DF: f.df, Stated: sp.stated, Confidence: s.confidence(),
			AngleSERad:   sp.sd * unit / (1 + slope*slope),
			AngleHalfRad: k * sp.sd * unit / (1 + slope*slope),
			RunoutHalfMM: all.RunoutHalfMM, OffsetHalfMM: k * sp.sd * offsetUnit, ResidualSDmm: sp.sd,
			BaselineMM: last - first, ExtrapolatedMM: math.Max(0, s.LengthMM-(last-first)),
		}
	}
	if a.dropped >= 0 {
		i := a.dropped
		rep.Outlier = &Outlier{
			Line: readings[i].Line, On: readings[i].On, StationMM: rep.Residuals[i].StationMM,
			OffMM: a.out.off, Studentised: a.out.t, Limit: a.out.limit, Without: s.judgement(&a.clean),
		}
		if rep.Outlier.Without.Verdict != rep.Verdict {
			rep.Verdict = CannotTell
		}
	}
	if s.ToMachine.Mirror {
		rep.mirror()
	}
	rep.Tap, rep.Other = s.taps(rep.AngleRad, rep.RunoutMM)
	rep.AtPin = s.correction(rep.AngleRad, rep.RunoutMM)
	rep.ProgramRad = rep.AngleRad
	rep.Notes = append(s.contradiction(a.clean.sse, a.clean.df), s.notes(readings, g, &rep)...)
	rep.Says = rep.sentence(s.LengthMM)
	return rep
}

// mirror turns the report over. Seen from above, a board that was turned over
// turns the other way, and what the board frame calls left lies to the right.
func (r *DatumReport) mirror() {
	r.AngleRad, r.OffsetMM = -r.AngleRad, -r.OffsetMM
	for i := range r.Residuals {
		r.Residuals[i].ResidualMM *= -1
		r.Residuals[i].FromLineMM *= -1
		r.Residuals[i].Studentised *= -1
	}
	if r.Bow != nil {
		r.Bow.SagittaMM *= -1
	}
	if o := r.Outlier; o != nil {
		o.OffMM, o.Studentised, o.Without.AngleRad = -o.OffMM, -o.Studentised, -o.Without.AngleRad
	}
}

// edgesOf compares the edges with each other. The taper is always fitted for it,
// whether the angle allows for it or not.
func (s DatumSpec) edgesOf(g *gathered, a analysis) *Edges {
	if !slices.Contains(g.side, 1) || !slices.Contains(g.side, -1) {
		return nil
	}
	x := g.samples
	if a.dropped >= 0 {
		x = x.without(a.dropped)
	}
	want := []term{slopeTerm, taperTerm}
	if a.bow != nil && a.bow.Significant {
		want = append(want, bowTerm)
	}
	f, ok := x.fit(want...)
	if !ok {
		return nil
	}
	e := &Edges{TaperFitted: a.taper, TwistHalfRad: -1, WidthStartHalfMM: -1, WidthFarHalfMM: -1}
	sp, judged := s.spread(f.sse, f.df)
	told := func(c figure, half *float64) float64 {
		v, unit := f.value(c)
		if judged {
			*half = sp.sd * unit * sp.limit(s.confidence())
		}
		return v
	}
	twist := figure{coef: [terms]float64{taperTerm: 2}}
	e.TwistRad = told(twist, &e.TwistHalfRad)
	if v, unit := f.value(twist); judged {
		e.Twisted = math.Abs(v) > sp.sd*unit*sp.limit(tellConfidence)
	}
	if l, r := g.runOf(OnLeft), g.runOf(OnRight); l >= 0 && r >= 0 {
		c := figure{offsets: map[int]float64{l: 1 / g.cos[l], r: -1 / g.cos[r]}}
		e.WidthKnown = true
		e.WidthStartMM = told(c, &e.WidthStartHalfMM)
		// At the far end the edge's own length is L/cos, the distance from it taken
		// square to v another 1/cos.
		c.coef[taperTerm] = 2 * s.LengthMM / (g.cos[l] * g.cos[l])
		e.WidthFarMM = told(c, &e.WidthFarHalfMM)
	}
	return e
}

// samePlaceMM is the distance between stations below which two readings on one
// line count as taken at the same place. Common practice, no source: a maker who
// means another place goes farther.
const samePlaceMM = 0.5

// repeatsShown bounds the places that are named: a dense scan has one everywhere.
const repeatsShown = 5

// notes says what the figures alone do not.
func (s DatumSpec) notes(readings []Reading, g *gathered, r *DatumReport) (out []Note) {
	if o := r.Outlier; o != nil {
		out = append(out, Note{[]int{o.Line}, fmt.Sprintf("line %d does not belong: at station %.1f mm it lies %.2f mm to the %s of the others; without it: %s, runout %.3f mm; measure that point again",
			o.Line, o.StationMM, math.Abs(o.OffMM), sideName(o.OffMM), o.Without.Verdict, o.Without.RunoutMM)})
	}
	if b := r.Bow; b != nil && b.Significant {
		out = append(out, Note{nil, fmt.Sprintf("the board is bowed: its middle lies %.2f mm to the %s of the chord between its ends; tapping does not mend that, the angle is the chord's",
			math.Abs(b.SagittaMM), sideName(b.SagittaMM))})
	}
	if e := r.Edges; e != nil && e.Twisted {
		says := fmt.Sprintf("the edges run %.2f mm apart over the board beside the job's taper", e.TwistRad*s.LengthMM)
		if !e.TaperFitted {
			says += "; the angle does not allow for it: measure both edges over the same stations"
		}
		out = append(out, Note{nil, says})
	}
	if e := r.Edges; e != nil && e.WidthKnown {
		for _, w := range []struct {
			end      string
			off, are float64
		}{{startEnd, e.WidthStartMM, e.WidthStartHalfMM}, {farEnd, e.WidthFarMM, e.WidthFarHalfMM}} {
			if w.are >= 0 && math.Abs(w.off) > math.Max(w.are, s.ToleranceMM) {
				out = append(out, Note{nil, fmt.Sprintf("the board is %.2f mm %s than the job says at the %s end; is the probe's diameter right?", math.Abs(w.off), widerName(w.off), w.end)})
			}
		}
	}
	if taper, shown, ok := s.dialTaper(g); ok && r.Verdict == NotParallel && math.Abs(shown) < inchTaper*math.Abs(taper) {
		out = append(out, Note{nil, fmt.Sprintf("the dial shows no taper where the job's is %.2f mm: was it run along a straight fence? Then the board's widths do not belong to it", taper)})
	}
	return append(out, repeats(readings, g)...)
}

// repeats names the readings that were taken at the same place. Both count; how
// far they differ tells how well a reading repeats.
func repeats(readings []Reading, g *gathered) (out []Note) {
	order := make([]int, len(g.x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if g.run[a] != g.run[b] {
			return g.run[a] - g.run[b]
		}
		switch {
		case g.x[a] < g.x[b]:
			return -1
		case g.x[a] > g.x[b]:
			return 1
		}
		return 0
	})
	for i := 0; i < len(order); {
		j := i + 1
		lo, hi := g.y[order[i]], g.y[order[i]]
		lines := []int{g.lines[order[i]]}
		for ; j < len(order) && g.run[order[j]] == g.run[order[i]] && g.x[order[j]]-g.x[order[i]] < samePlaceMM; j++ {
			lo, hi = math.Min(lo, g.y[order[j]]), math.Max(hi, g.y[order[j]])
			lines = append(lines, g.lines[order[j]])
		}
		if len(lines) > 1 && len(out) < repeatsShown {
			slices.Sort(lines)
			out = append(out, Note{lines, fmt.Sprintf("%d readings on %s at station %.1f mm, %.3f mm apart: each counts", len(lines), readings[order[i]].On, g.x[order[i]], hi-lo)})
		}
		i = j
	}
	return out
}

func sideName(left float64) string {
	if left < 0 {
		return toRight
	}
	return toLeft
}

func widerName(off float64) string {
	if off < 0 {
		return "narrower"
	}
	return "wider"
}
