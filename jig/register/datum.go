package register

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// DatumSpec is the board as it should lie.
type DatumSpec struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	ToMachine                          geom.Rigid // board frame -> machine frame
	ToleranceMM                        float64    // largest runout over the board's length
	ProbeRadiusMM                      float64    // edge points are tool centres this far outside the edge; 0: on it
}

// DatumReport says how the board lies.
type DatumReport struct {
	AngleRad    float64 // of the datum line from where it should run, counter-clockwise seen from above
	RunoutMM    float64 // |tan angle| x length: how far the far end is off when the start is right
	OffsetMM    float64 // datum line's start from where it should lie, to the left positive
	ToleranceMM float64
	Pass        bool // RunoutMM <= ToleranceMM
	Points      int
	UsedEdges   []Edge
	Residuals   []Residual // in the order of the readings
	RMSmm       float64    // root mean square of the residuals
	// Uncertainty is nil when there are just enough readings to lay the line,
	// so that nothing is left to judge it by.
	Uncertainty *Uncertainty
	Tap         Tap // what to do; MM is zero when there is nothing to move
	Other       Tap // the same correction made at the other end
	Says        string
}

// Residual is what a reading differs from the fitted line by.
type Residual struct {
	Line       int // of the readings file
	On         Edge
	StationMM  float64 // along the datum line from the board's start
	ResidualMM float64 // to the left positive
}

// Uncertainty of the angle from the scatter of the readings about the line. It
// knows nothing of a bow or of errors that all readings share.
type Uncertainty struct {
	DF             int
	AngleSERad     float64 // standard error
	Confidence     float64 // of the interval below
	RunoutHalfMM   float64 // runout's interval is RunoutMM +- this
	ResidualSDmm   float64
	BaselineMM     float64 // from the first to the last station read
	ExtrapolatedMM float64 // length of the board that no reading covers
}

// Tap is a correction in the shop's words.
type Tap struct {
	End       string  // "start" or "far": the end to move; the other one stays
	Toward    string  // "left" or "right", looking from the start end, seen from above
	Direction string  // machine direction: "+X", "-X", "+Y" or "-Y"
	MM        float64 // how far
}

// intervalConfidence is the confidence of the stated interval: 95 %, the
// customary level (coverage factor of the GUM's expanded uncertainty).
const intervalConfidence = 0.95

// leastSpanMM is the shortest span of stations that a direction is taken from.
// A point touched by hand is good to a few hundredths; over less than 10 mm that
// alone is more than 1 mm at the far end of a neck. Common practice, no source.
const leastSpanMM = 10.0

// CheckDatum lays the datum line through the readings and compares it with
// where it should run. Each reading's distance from its own line (the datum line,
// or an edge of the tapered board) is taken square to that line, so the taper is
// removed exactly and one slope, the tangent of the angle, is common to all. The
// edges keep offsets of their own: a board that is wider than the job says does
// not turn into an angle.
//
// Errors: *InputError for an impossible spec, *TooFewError when the readings
// give no direction, *ExchangedError when left and right are mixed up.
func CheckDatum(readings []Reading, s DatumSpec) (DatumReport, error) {
	if err := s.check(); err != nil {
		return DatumReport{}, err
	}
	back := s.ToMachine.Inverse()
	lines := s.lines()
	var runs []series
	var used []Edge
	runOf := make([]int, len(readings))
	index := map[Edge]int{}
	first, last := math.Inf(1), math.Inf(-1)
	for i, r := range readings {
		l, ok := lines[r.On]
		if !ok {
			return DatumReport{}, &InputError{"reading's edge", float64(i), "datum, left or right"}
		}
		if !finite(r.At.X, r.At.Y) {
			return DatumReport{}, &InputError{fmt.Sprintf("reading on line %d (mm)", r.Line), r.At.X, "finite coordinates below 100 m"}
		}
		k, seen := index[r.On]
		if !seen {
			k = len(runs)
			index[r.On] = k
			runs, used = append(runs, series{}), append(used, r.On)
		}
		x, y := l.measure(back.Apply(r.At), s.ProbeRadiusMM)
		runs[k].x, runs[k].y = append(runs[k].x, x), append(runs[k].y, y)
		runOf[i] = k
		first, last = math.Min(first, x), math.Max(last, x)
	}
	if err := s.offBoard(readings, runs, runOf); err != nil {
		return DatumReport{}, err
	}
	along, across := spans(runs)
	if along < leastSpanMM || across > along { // more than 45 degrees off is no board put back
		return DatumReport{}, &TooFewError{len(readings), along, across}
	}
	fit, offsets, ok := fitCommonSlope(runs)
	if !ok {
		return DatumReport{}, &TooFewError{len(readings), along, across}
	}
	if l, ok := index[OnLeft]; ok {
		if r, ok := index[OnRight]; ok {
			if width := s.WidthStartMM + (offsets[l]-offsets[r])/lines[OnLeft].cos; width < 0 {
				return DatumReport{}, &ExchangedError{width}
			}
		}
	}

	if a := math.Atan(fit.Slope); math.Abs(a) > mostSkewRad {
		return DatumReport{}, &SkewError{a}
	}
	rep := DatumReport{
		AngleRad:    math.Atan(fit.Slope),
		RunoutMM:    math.Abs(fit.Slope) * s.LengthMM,
		ToleranceMM: s.ToleranceMM,
		Points:      len(readings),
		UsedEdges:   used,
		OffsetMM:    s.startOffset(index, offsets, lines),
		RMSmm:       math.Sqrt(fit.SSE / float64(len(readings))),
	}
	rep.Pass = rep.RunoutMM <= s.ToleranceMM
	at := make([]int, len(runs))
	for i, r := range readings {
		k := runOf[i]
		x, y := runs[k].x[at[k]], runs[k].y[at[k]]
		at[k]++
		rep.Residuals = append(rep.Residuals, Residual{r.Line, r.On, x * lines[r.On].cos, y - offsets[k] - fit.Slope*x})
	}
	if fit.DF > 0 {
		rep.Uncertainty = &Uncertainty{
			DF: fit.DF, AngleSERad: fit.SESlope / (1 + fit.Slope*fit.Slope), Confidence: intervalConfidence,
			RunoutHalfMM: halfWidth(fit.SESlope, fit.DF, intervalConfidence) * s.LengthMM,
			ResidualSDmm: fit.ResidualSD,
			BaselineMM:   last - first, ExtrapolatedMM: math.Max(0, s.LengthMM-(last-first)),
		}
	}
	if s.ToMachine.Mirror {
		// Seen from above, a board that was turned over turns the other way,
		// and what the board frame calls left lies to the right.
		rep.AngleRad, rep.OffsetMM = -rep.AngleRad, -rep.OffsetMM
		for i := range rep.Residuals {
			rep.Residuals[i].ResidualMM = -rep.Residuals[i].ResidualMM
		}
	}
	rep.Tap, rep.Other = s.taps(rep.AngleRad, rep.RunoutMM)
	rep.Says = rep.sentence(s.LengthMM)
	return rep, nil
}

// spans returns the longest spans along and across of the points on one line.
func spans(runs []series) (along, across float64) {
	for _, r := range runs {
		along = math.Max(along, slices.Max(r.x)-slices.Min(r.x))
		across = math.Max(across, slices.Max(r.y)-slices.Min(r.y))
	}
	return along, across
}

func (s DatumSpec) check() error {
	for _, c := range []struct {
		what     string
		got      float64
		positive bool
	}{
		{"board length (mm)", s.LengthMM, true},
		{"width at the start (mm)", s.WidthStartMM, true},
		{"width at the far end (mm)", s.WidthEndMM, true},
		{"tolerance (mm)", s.ToleranceMM, true},
		{"probe radius (mm)", s.ProbeRadiusMM, false},
	} {
		switch {
		case !finite(c.got), c.got < 0, c.positive && c.got == 0:
			want := "more than zero"
			if !c.positive {
				want = "zero or more"
			}
			return &InputError{c.what, c.got, want}
		}
	}
	if m := s.ToMachine; !finite(m.Angle, m.Shift.X, m.Shift.Y) {
		return &InputError{"board's place in the machine", m.Angle, "finite angle and shift"}
	}
	return nil
}

// datumLine is the line on which a reading should lie, in the board frame:
// through (0, v) at the angle whose sine and cosine are given.
type datumLine struct {
	v, sin, cos float64
	out         float64 // side on which the probe stands: +1 left, -1 right, 0 on the line
}

// lines returns the datum line and both edges of the tapered board.
//
//	edge: v = +-(width start/2 + u (width end - width start)/(2 length))
func (s DatumSpec) lines() map[Edge]datumLine {
	t := (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
	h := math.Hypot(1, t)
	return map[Edge]datumLine{
		OnDatum: {0, 0, 1, 0},
		OnLeft:  {s.WidthStartMM / 2, t / h, 1 / h, 1},
		OnRight: {-s.WidthStartMM / 2, -t / h, 1 / h, -1},
	}
}

// measure returns where p lies along the line and how far to its left, the
// probe's radius taken out.
func (l datumLine) measure(p geom.Vec, probe float64) (along, left float64) {
	d := geom.Vec{X: p.X, Y: p.Y - l.v}
	return d.X*l.cos + d.Y*l.sin, d.Y*l.cos - d.X*l.sin - l.out*probe
}

// startOffset returns how far to the left the datum line's start lies: from
// points on the line itself when there are any, otherwise midway between the
// edges, otherwise from the one edge, which then trusts the board's width.
func (s DatumSpec) startOffset(index map[Edge]int, offsets []float64, lines map[Edge]datumLine) float64 {
	if k, ok := index[OnDatum]; ok {
		return offsets[k]
	}
	var sum float64
	for _, e := range []Edge{OnLeft, OnRight} {
		if k, ok := index[e]; ok {
			sum += offsets[k] / lines[e].cos
		}
	}
	return sum / float64(len(index))
}
