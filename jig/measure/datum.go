package measure

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
	PinStationMM                       float64    // of the last pin, from the datum's start; 0: the board's far end
	Precision                                     // of the readings; the zero value is 95 % with nothing known of them
}

// DatumReport says how the board lies. Its figures are those of all readings;
// Outlier holds the answer without the one that does not belong.
type DatumReport struct {
	AngleRad    float64 // of the datum line from where it should run, counter-clockwise seen from above
	RunoutMM    float64 // |tan angle| x length: how far the far end is off when the start is right
	OffsetMM    float64 // datum line's start from where it should lie, to the left positive
	OffsetKnown bool    // false when a dial alone was read, whose zero lies anywhere
	ToleranceMM float64
	Pass        bool // RunoutMM <= ToleranceMM, whatever the uncertainty; Verdict knows better
	Verdict     Verdict
	Points      int
	UsedEdges   []Edge     // in the order of the readings
	Residuals   []Residual // in the order of the readings
	RMSmm       float64    // root mean square of the residuals
	// Uncertainty is nil when there are just enough readings to lay the line,
	// so that nothing is left to judge it by, and no error was stated.
	Uncertainty *Uncertainty
	Bow         *Bow     // nil when there are too few stations to tell
	Edges       *Edges   // nil unless both edges were read
	Outlier     *Outlier // nil when every reading belongs
	Tap         Tap      // what to do at the far end of the board; MM is zero when there is nothing to move
	Other       Tap      // the same correction made at the other end
	AtPin       Correction
	// ProgramRad turns a program instead of the board: by this much, counter-clockwise
	// seen from above, about the datum's start.
	ProgramRad float64
	Notes      []Note // what the maker should know, in words
	Says       string
}

// Residual is what a reading differs from the fitted line by.
type Residual struct {
	Line       int // of the readings file
	On         Edge
	StationMM  float64 // along the datum line from the board's start
	ResidualMM float64 // to the left positive
	// FromLineMM is the same from the straight line: the residual and the bow that
	// was fitted, if any. It is what a chart of the board's shape shows.
	FromLineMM float64
	// Studentised is the residual in parts of its own standard deviation, taken
	// from the other readings (externally studentised); zero when there are too
	// few readings for it.
	Studentised float64
}

// Note is something that the maker should know; Lines are those of the readings
// file that it is about, if any.
type Note struct {
	Lines []int
	Says  string
}

// Uncertainty of the angle from the scatter of the readings about the line, or
// from the stated error. It knows nothing of errors that all readings share.
type Uncertainty struct {
	DF             int
	Stated         bool    // from the stated error, there being next to no scatter to judge by
	AngleSERad     float64 // standard error
	Confidence     float64 // of the intervals below
	AngleHalfRad   float64 // the angle's interval is AngleRad +- this
	RunoutHalfMM   float64 // runout's interval is RunoutMM +- this
	OffsetHalfMM   float64 // the offset's; zero when the offset is not known
	ResidualSDmm   float64 // of one reading
	BaselineMM     float64 // from the first to the last station read
	ExtrapolatedMM float64 // length of the board that no reading covers
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
// Errors, all that are found at once: *InputError for impossible figures,
// *InchError and *SwappedError for readings in the wrong unit or order,
// *OffBoardError and *TooFewError when they are not of this board or give no
// direction, *SkewError, *ExchangedError when left and right are mixed up.
func CheckDatum(readings []Reading, s DatumSpec) (DatumReport, error) {
	g, err := s.gather(readings)
	if err != nil {
		return DatumReport{}, err
	}
	a, ok := s.analyse(g)
	if !ok {
		along, across := g.spans()
		return DatumReport{}, &TooFewError{Points: len(readings), SpanMM: along, AcrossMM: across}
	}
	if w, ok := g.startWidth(s, &a.fit); ok && w < 0 {
		return DatumReport{}, &ExchangedError{w}
	}
	if angle := math.Atan(a.fit.coef[slopeTerm]); math.Abs(angle) > mostSkewRad {
		return DatumReport{}, &SkewError{angle}
	}
	return s.report(readings, g, a), nil
}

// gathered is what the readings come to on their own lines.
type gathered struct {
	*samples
	edges []Edge // by run
	dial  []bool // by run
	cos   []float64
	lines []int // of the file, by sample
}

// gather checks the spec and the readings and takes every reading to its own
// line.
func (s DatumSpec) gather(readings []Reading) (*gathered, error) {
	faults := s.check()
	back := s.ToMachine.Inverse()
	lines := s.lines()
	g := &gathered{samples: &samples{length: s.LengthMM}}
	for i, r := range readings {
		l, ok := lines[r.On]
		switch {
		case !ok || r.Dial && r.On == OnDatum:
			faults = append(faults, &InputError{fmt.Sprintf("line of reading %d (%q)", i+1, r.On), float64(i), "datum, left or right; left or right for a dial"})
			continue
		case !finite(r.At.X, r.At.Y):
			faults = append(faults, &InputError{fmt.Sprintf("reading on line %d (mm)", r.Line), r.At.X, "finite coordinates below 100 m"})
			continue
		}
		k := 0
		for k < len(g.edges) && (g.edges[k] != r.On || g.dial[k] != r.Dial) {
			k++
		}
		if k == len(g.edges) {
			g.edges, g.dial, g.cos = append(g.edges, r.On), append(g.dial, r.Dial), append(g.cos, l.cos)
			g.side = append(g.side, l.out)
		}
		x, y := l.reading(r, back, s.ProbeRadiusMM)
		g.x, g.y, g.run, g.lines = append(g.x, x), append(g.y, y), append(g.run, k), append(g.lines, r.Line)
	}
	if len(faults) > 0 {
		return nil, together(faults)
	}
	if err := s.misread(readings, g); err != nil {
		return nil, err
	}
	faults = append(s.offBoard(g), s.crowded(g)...)
	return g, together(faults)
}

// spans returns the longest spans along and across of the points of one run.
func (g *gathered) spans() (along, across float64) {
	for k := range g.edges {
		a, b, _ := g.span(k)
		along, across = math.Max(along, a), math.Max(across, b)
	}
	return along, across
}

// span returns the spans of one run's points and their number.
func (g *gathered) span(k int) (along, across float64, n int) {
	lx, hx, ly, hy := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i, r := range g.run {
		if r == k {
			lx, hx, ly, hy = math.Min(lx, g.x[i]), math.Max(hx, g.x[i]), math.Min(ly, g.y[i]), math.Max(hy, g.y[i])
			n++
		}
	}
	if n == 0 {
		return 0, 0, 0
	}
	return hx - lx, hy - ly, n
}

func (s DatumSpec) check() []error {
	faults := s.Precision.check()
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
		{"station of the last pin (mm)", s.PinStationMM, false},
	} {
		switch {
		case !finite(c.got), c.got < 0, c.positive && c.got == 0:
			want := "more than zero"
			if !c.positive {
				want = "zero or more"
			}
			faults = append(faults, &InputError{c.what, c.got, want})
		}
	}
	if m := s.ToMachine; !finite(m.Angle, m.Shift.X, m.Shift.Y) {
		faults = append(faults, &InputError{"board's place in the machine", m.Angle, "finite angle and shift"})
	}
	return faults
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

// reading returns where r lies along the line and how far to its left; back
// takes machine coordinates to the board frame. A dial on the left edge shows
// more when the edge lies farther to the left, one on the right edge when it lies
// farther to the right.
func (l datumLine) reading(r Reading, back geom.Rigid, probe float64) (along, left float64) {
	if r.Dial {
		return l.measure(geom.Vec{X: r.At.X, Y: l.v + l.out*r.At.Y}, 0)
	}
	return l.measure(back.Apply(r.At), probe)
}

// measure returns where p lies along the line and how far to its left, the
// probe's radius taken out.
func (l datumLine) measure(p geom.Vec, probe float64) (along, left float64) {
	d := geom.Vec{X: p.X, Y: p.Y - l.v}
	return d.X*l.cos + d.Y*l.sin, d.Y*l.cos - d.X*l.sin - l.out*probe
}

// runOf returns the run of points on e, or -1.
func (g *gathered) runOf(e Edge) int {
	for k := range g.edges {
		if g.edges[k] == e && !g.dial[k] {
			return k
		}
	}
	return -1
}

// startWidth returns the measured width at the board's start when points were
// taken on both edges.
func (g *gathered) startWidth(s DatumSpec, f *sharedFit) (float64, bool) {
	l, r := g.runOf(OnLeft), g.runOf(OnRight)
	if l < 0 || r < 0 {
		return 0, false
	}
	return s.WidthStartMM + f.offsets[l]/g.cos[l] - f.offsets[r]/g.cos[r], true
}

// startOffset is how far to the left the datum line's start lies: from points on
// the line itself when there are any, otherwise midway between the edges,
// otherwise from the one edge, which then trusts the board's width.
func (g *gathered) startOffset() (f figure, ok bool) {
	if k := g.runOf(OnDatum); k >= 0 {
		return figure{offsets: map[int]float64{k: 1}}, true
	}
	f.offsets = map[int]float64{}
	for _, e := range []Edge{OnLeft, OnRight} {
		if k := g.runOf(e); k >= 0 {
			f.offsets[k] = 1 / g.cos[k]
		}
	}
	for k := range f.offsets {
		f.offsets[k] /= float64(len(f.offsets))
	}
	return f, len(f.offsets) > 0
}

// used returns the lines of the board that were read, in the readings' order.
func (g *gathered) used() (out []Edge) {
	for _, e := range g.edges {
		if !slices.Contains(out, e) {
			out = append(out, e)
		}
	}
	return out
}
