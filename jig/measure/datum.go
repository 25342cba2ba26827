package measure

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Verdict is the answer to whether the datum line runs parallel to the axis.
type Verdict string

// The verdicts. Parallel and NotParallel hold at the stated confidence.
const (
	Parallel     Verdict = "parallel"
	NotParallel  Verdict = "not parallel"
	Inconclusive Verdict = "inconclusive" // readings too few or too scattered
)

// DatumReport says how the board lies. Its figures are those of all readings;
// Outlier holds the answer without the one that does not belong.
type DatumReport struct {
	Judgement
	*Basis              // nil when nothing is left to judge by and no error was stated
	ToleranceMM float64 `json:"tolerance_mm"`
	Pass        bool    `json:"pass"` // RunoutMM <= ToleranceMM, whatever the uncertainty
	// OffsetMM is the datum line's start from where it should lie, to the left positive; nil
	// when a dial alone was read, whose zero lies anywhere.
	OffsetMM   *float64 `json:"offset_mm,omitempty"`
	OffsetHalf *float64 `json:"offset_interval_half_mm,omitempty"`
	Points     int      `json:"points"`
	On         []string `json:"on"`              // the lines of the board that were read, in the readings' order
	RMSmm      float64  `json:"rms_mm"`          // root mean square of the residuals
	Bow        *Bow     `json:"bow,omitempty"`   // nil when there are too few stations to tell
	Edges      *Edges   `json:"edges,omitempty"` // nil unless both edges were read
	Outlier    *Outlier `json:"outlier,omitempty"`
	// ProgramRad turns a program instead of the board: by this much, counter-clockwise
	// seen from above, about the datum's start.
	ProgramRad float64    `json:"turn_program_rad"`
	Residuals  []Residual `json:"residuals"` // in the order of the readings

	UncoveredMM float64  `json:"-"` // length of the board that no reading covers
	Repeats     []Repeat `json:"-"`
	// Contradicted: the readings scatter by more than the stated error lets happen.
	Contradicted bool `json:"-"`
	// NoTaperMM is the job's taper per edge over the board where a dial shows next to none
	// of it, as when it ran along a straight fence; otherwise 0.
	NoTaperMM float64 `json:"-"`
}

// Judgement is the answer from one choice of readings.
type Judgement struct {
	Verdict Verdict `json:"verdict"`
	// AngleRad is that of the datum line from where it should run, counter-clockwise seen
	// from above.
	AngleRad   float64  `json:"angle_rad"`
	AngleHalf  *float64 `json:"angle_interval_half_rad,omitempty"`
	RunoutMM   float64  `json:"runout_mm"` // |tan angle| x length: how far the far end is off when the start is right
	RunoutHalf *float64 `json:"runout_interval_half_mm,omitempty"`
	Far        Tap      `json:"tap"`           // what puts it right at the far end
	Start      Tap      `json:"tap_other_end"` // the same correction made at the start
}

// Tap is a correction in the shop's words; the other end stays.
type Tap struct {
	End       string  `json:"end"`       // "start" or "far": the end to move
	Toward    string  `json:"toward"`    // "left" or "right", looking from the start end, seen from above
	Direction string  `json:"direction"` // machine direction: "+X", "-X", "+Y" or "-Y"
	MM        float64 `json:"mm"`
}

// Residual is what a reading differs from the fitted line by, to the left positive.
type Residual struct {
	Line       int     `json:"line"`
	On         string  `json:"on"`
	StationMM  float64 `json:"station_mm"` // along the datum line from the board's start
	ResidualMM float64 `json:"residual_mm"`
	// FromLineMM is the same from the straight line: the residual and the bow that
	// was fitted, if any. It is what a chart of the board's shape shows.
	FromLineMM  float64 `json:"from_line_mm"`
	Studentised float64 `json:"studentised"` // externally; zero when there are too few readings
}

// Bow is how far the board is bent in its plane.
type Bow struct {
	// SagittaMM is the middle of the board from the chord between its ends, to the left
	// positive.
	SagittaMM   float64  `json:"sagitta_mm"`
	Half        *float64 `json:"interval_half_mm,omitempty"`
	Significant bool     `json:"significant"` // told from scatter at 99 %; the angle is then that of the chord
}

// Edges is how the two edges differ from the job's.
type Edges struct {
	TwistRad    float64  `json:"twist_rad"` // angle between the edges less the job's: positive when the board widens more
	TwistHalf   *float64 `json:"twist_interval_half_rad,omitempty"`
	Twisted     bool     `json:"twisted"`      // told from scatter at 99 %
	TaperFitted bool     `json:"taper_fitted"` // the angle allows for the twist; false: the job's taper was trusted
	// The widths less the job's; nil when an edge was read by dial alone, whose zero lies
	// anywhere.
	WidthStartMM   *float64 `json:"width_start_error_mm,omitempty"`
	WidthStartHalf *float64 `json:"width_start_interval_half_mm,omitempty"`
	WidthFarMM     *float64 `json:"width_far_error_mm,omitempty"`
	WidthFarHalf   *float64 `json:"width_far_interval_half_mm,omitempty"`
}

// Outlier is the reading that does not belong.
type Outlier struct {
	Line        int       `json:"line"`
	On          string    `json:"on"`
	StationMM   float64   `json:"station_mm"`
	OffMM       float64   `json:"off_mm"` // from the line of the others, to the left positive
	Studentised float64   `json:"studentised"`
	Limit       float64   `json:"limit"` // that no reading of a good set passes, with 95 % probability
	Without     Judgement `json:"without"`
}

// leastSpanMM is the shortest span of stations that a direction is taken from.
// A point touched by hand is good to a few hundredths; over less than 10 mm that
// alone is more than 1 mm at the far end of a neck. Common practice, no source.
const leastSpanMM = 10.0

// CheckDatum lays the datum line through the readings and compares it with
// where it should run. Each reading's distance from its own line (the datum line,
// or an edge of the tapered board) is taken square to that line, so the taper is
// removed exactly and one slope, the tangent of the angle, is common to all. The
// edges keep offsets of their own: a board that is wider than the job says does
// not turn into an angle. With enough readings on both edges the taper is fitted
// too, so that a wrong taper does not turn into one either; and when the readings
// show a bow, the angle is that of the chord between the board's ends.
//
// The error tells readings in the wrong unit or with axes exchanged, off the board, that
// give no direction, of a board turned too far, or with left and right mixed up.
func CheckDatum(readings []Reading, s Spec) (DatumReport, error) {
	g := s.gather(readings)
	if err := g.misread(readings); err != nil {
		return DatumReport{}, err
	}
	if err := joined(append(g.offBoard(), g.directionless()...)); err != nil {
		return DatumReport{}, err
	}
	a, ok := g.analyse()
	if !ok {
		along, across := g.spans()
		return DatumReport{}, tooFew(len(readings), "", along, across)
	}
	if w, ok := g.startWidth(&a.datumFit); ok && w < 0 {
		return DatumReport{}, edgesExchanged(w)
	}
	slope, _ := a.contrast(a.of(slopeTerm, 1)...)
	if angle := math.Atan(slope); math.Abs(angle) > mostSkewRad {
		return DatumReport{}, skewed(angle)
	}
	return g.report(a), nil
}

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
			rep.Verdict = Inconclusive
		}
	}
	if taper, shown, ok := g.dialTaper(); ok && rep.Verdict == NotParallel && math.Abs(shown) < inchTaper*math.Abs(taper) {
		rep.NoTaperMM = taper
	}
	return rep
}

// judge answers from one fit. Parallel is said when the whole interval lies within the
// tolerance, not parallel when all of it lies outside (the decision rule of ISO 14253-1,
// recalled).
func (g *gathered) judge(f *datumFit, b *Basis) Judgement {
	s := g.spec
	slope, se := f.contrast(f.of(slopeTerm, 1)...)
	j := Judgement{
		Verdict: Inconclusive, AngleRad: math.Atan(slope), AngleHalf: b.half(se / (1 + slope*slope)),
		RunoutMM: math.Abs(slope) * s.LengthMM, RunoutHalf: b.half(se * s.LengthMM),
	}
	switch {
	case b == nil:
	case j.RunoutMM+*j.RunoutHalf <= s.ToleranceMM:
		j.Verdict = Parallel
	case j.RunoutMM-*j.RunoutHalf > s.ToleranceMM:
		j.Verdict = NotParallel
	}
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
