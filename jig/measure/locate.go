package measure

import (
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/reliable"
)

// Mark is a named place that can be measured on the machine: a feature of the
// board or a pin.
type Mark struct {
	Name string
	At   geom.Vec // board frame
}

// Located says where the board lies. Its figures are those of all readings;
// Outlier holds the pose without the one that does not belong.
type Located struct {
	Pose
	Residuals []MarkResidual // in the order of the readings
	Scale     *Scale         // nil with fewer than two marks
	Outlier   *OddMark       // nil when every reading belongs
	Repeats   []Repeat       // marks that were measured more than once
	// Contradicted: the readings scatter by more than the stated error lets happen.
	Contradicted bool
	Hold         reliable.Spec // how the pose of all readings hangs on each of them
	Of           []int         // by Hold's readings: the first of the readings that make it up

	fit poseFit
}

// Pose is where the board lies, by one choice of readings.
type Pose struct {
	AngleRad     float64    // from the drawn place, counter-clockwise seen from above: turn the program by it
	AngleHalf    *float64   // the interval is AngleRad +- this; nil when nothing is left to judge it by
	Move         geom.Rigid // drawn place -> where it lies
	Places       []Place    // in the order of Spec.At
	RMSMM        float64    // root mean square of the distances; 0 when the readings are just enough
	DF           int        // coordinates read beyond the three that a pose takes
	*Uncertainty            // nil when nothing is left to judge by and no error was stated
}

// Place is a point of the board in the machine frame.
type Place struct {
	Drawn, Lies geom.Vec
	Half        geom.Vec // the interval is Lies +- this, each way; zero without an Uncertainty
}

// MarkResidual is what a reading differs by from where the fit has it.
type MarkResidual struct {
	Line        int     `json:"line"`
	Name        string  `json:"name"`
	XMM         float64 `json:"x_mm"` // along the edge's normal for an edge
	YMM         float64 `json:"y_mm"`
	OffMM       float64 `json:"off_mm"`
	Studentised float64 `json:"studentised"` // externally; zero when there are too few readings
}

// Scale is the factor between measured and drawn distances.
type Scale struct {
	Factor float64  `json:"factor"` // 1 when all is well
	Half   *float64 `json:"half,omitempty"`
	Off    bool     `json:"off"` // the interval does not hold 1: a wrong mark, or the axes' steps
	SpanMM float64  `json:"-"`   // longest drawn distance between the first mark and another
}

// OddMark is the outlier, with its distance from where the others have it.
type OddMark struct {
	MarkResidual
	Limit   float64 `json:"limit"`          // that no reading of a good set passes, with 95 % probability
	Near    string  `json:"fits,omitempty"` // the mark that the reading fits instead
	Without Pose    `json:"-"`
}

// Repeat is a mark or a place that was measured more than once; each reading counts.
type Repeat struct {
	Lines     []int
	On        string
	StationMM float64 // CheckDatum: of the first
	RangeMM   float64 // CheckDatum: between the readings that differ most
}

// Locate finds the turn and shift that carries the drawn board onto the readings
// with the least sum of squared distances. Nothing is stretched. Two marks are
// enough, or one and an edge; a third one guards against a mistake.
//
// The error joins every name that is not known; or it tells readings in inches, with axes
// or names exchanged, of a board turned over or turned too far, or that do not fix a pose.
func Locate(readings []reading.Reading, s Spec) (Located, error) {
	obs, err := s.observations(readings)
	if err != nil {
		return Located{}, err
	}
	if err := s.mistaken(obs); err != nil {
		return Located{}, err
	}
	if err := exchangedNames(readings, obs); err != nil {
		return Located{}, err
	}
	f, ok := fitPose(obs)
	if err := unfixed(&f, ok, len(obs)); err != nil {
		return Located{}, err
	}
	single, of := byMark(readings, obs)
	all := f
	if len(single) < len(obs) {
		if all, ok = fitPose(single); unfixed(&all, ok, len(single)) != nil {
			return Located{}, unfixed(&all, ok, len(single))
		}
	}
	if turn := f.x[poseTurn]; !s.AnyAngle && math.Abs(turn) > mostSkewRad {
		return Located{}, skewed(turn)
	}
	out := Located{Pose: s.pose(&all, len(single)), Repeats: repeatedMarks(readings), Of: of, fit: all}
	out.Hold = s.hold(&all, single)
	rows := make([]int, len(obs))
	for i, o := range obs {
		rows[i] = o.rows()
	}
	t, odd := s.studentised(&f.fit, rows)
	out.Residuals = make([]MarkResidual, 0, len(readings))
	for i, r := range readings {
		m := all.markResidual(r, obs[i])
		m.Studentised = math.Abs(t[i])
		out.Residuals = append(out.Residuals, m)
	}
	clean, cleanFit := single, all
	// A mark lies off by what it was made with, however well the others happen to agree.
	if odd != nil && math.Abs(odd.t) > odd.limit*max(1,
		out.Hold.LeastSD/s.uncertainty(odd.rest, f.df-rows[odd.index]).ReadingSDMM) {
		i := odd.index
		rest, _ := byMark(slices.Delete(slices.Clone(readings), i, i+1), slices.Delete(slices.Clone(obs), i, i+1))
		if g, ok := fitPose(rest); ok && unfixed(&g, ok, len(rest)) == nil {
			out.Outlier = &OddMark{
				MarkResidual: g.markResidual(readings[i], obs[i]), Limit: odd.limit,
				Near: s.nearMark(&g, readings[i]), Without: s.pose(&g, len(rest)),
			}
			out.Outlier.Studentised = math.Abs(odd.t)
			clean, cleanFit = rest, g
		}
	}
	out.Scale = s.scaleOf(clean)
	out.Contradicted = s.contradicted(cleanFit.sse, cleanFit.df)
	return out, nil
}

// byMark joins the repeats of a mark to their middle: they share where the first cut put it, and
// count once. Touches of an edge stay single. of is the first reading
// of each.
func byMark(readings []reading.Reading, obs []observation) (out []observation, of []int) {
	index, count := map[string]int{}, make([]float64, 0, len(obs))
	out, of = make([]observation, 0, len(obs)), make([]int, 0, len(obs))
	for i, o := range obs {
		k, has := index[readings[i].On]
		if !has || o.edge() {
			k, out, of, count = len(out), append(out, o), append(of, i), append(count, 0)
			index[readings[i].On] = k
		}
		count[k]++
		out[k].at = out[k].at.Add(o.at.Sub(out[k].at).Scale(1 / count[k]))
	}
	return out, of
}

// hold is what a pose's reliability is judged by.
func (s *Spec) hold(f *poseFit, obs []observation) reliable.Spec {
	h := reliable.Spec{
		LeastSD:  math.Max(s.MarkErrorMM, s.ErrorMM) / normalFactor(usualConfidence),
		Readings: make([]reliable.Reading, 0, len(obs)),
	}
	for _, o := range obs {
		h.Readings = append(h.Readings, f.reading(o))
	}
	for _, u := range s.At {
		h.Places = append(h.Places, f.turn(s.ToMachine.Apply(u).Sub(f.p0)))
	}
	h.Half = func(sse float64, df int, leastSD float64) float64 {
		b := s.uncertainty(sse, df)
		if b == nil {
			return math.Inf(1)
		}
		b.ReadingSDMM, b.scatterMM = math.Max(b.ReadingSDMM, leastSD), math.Max(b.scatterMM, leastSD)
		return b.reach(b.Confidence)
	}
	return h
}

// reading is an observation by its coordinates.
func (f *poseFit) reading(o observation) (r reliable.Reading) {
	rows, off := f.linear(o), f.residualOf(o)
	for i := range o.rows() {
		r = append(r, reliable.Row{By: [3]float64(rows[i][:3]), Off: [2]float64{off.X, off.Y}[i]})
	}
	return r
}

// Expected are readings that were not taken, of marks and of touches by their drawn place on the
// machine, where the pose has them.
func (l *Located) Expected(s Spec, more []reading.Reading) (out []reliable.Reading, err error) {
	for i := range more {
		more[i].At = l.Move.Apply(more[i].At)
	}
	obs, err := s.observations(more)
	for _, o := range obs {
		r := l.fit.reading(o)
		for i := range r {
			r[i].Off = 0
		}
		out = append(out, r)
	}
	return out, err
}

// markResidual returns a reading's residual as a vector.
func (f *poseFit) markResidual(r reading.Reading, o observation) MarkResidual {
	e := f.residualOf(o)
	m := MarkResidual{Line: r.Line, Name: r.On, OffMM: e.Norm()}
	if o.edge() {
		e = f.turn(o.normal).Scale(e.X)
	}
	m.XMM, m.YMM = e.X, e.Y
	return m
}

// pose puts a fit of n readings into figures.
func (s *Spec) pose(f *poseFit, n int) Pose {
	p := Pose{
		AngleRad: f.x[poseTurn], Move: geom.Rigid{Angle: f.x[poseTurn], Shift: f.apply(geom.Vec{})},
		RMSMM: f.rms(n), DF: f.df, Uncertainty: s.uncertainty(f.sse, f.df),
	}
	_, se := f.contrast(1, 0, 0)
	p.AngleHalf = p.half(se)
	for _, u := range s.At {
		drawn := s.ToMachine.Apply(u)
		x := Place{Drawn: drawn, Lies: f.apply(drawn)}
		if p.Uncertainty != nil {
			d := f.turn(drawn.Sub(f.p0)).Left()
			_, sx := f.contrast(d.X, 1, 0)
			_, sy := f.contrast(d.Y, 0, 1)
			x.Half = geom.Vec{X: *p.half(sx), Y: *p.half(sy)}
		}
		p.Places = append(p.Places, x)
	}
	return p
}

// scaleOf fits a factor beside turn and shift to the marks.
//
//	factor = |(sum p.q, sum p x q)|/sum p.p,  sd = s/sqrt(sum p.p),  s^2 = SSE/(2 n - 4)
func (s *Spec) scaleOf(obs []observation) *Scale {
	p, q := marksOf(obs)
	if len(p) < 2 {
		return nil
	}
	f, factor, pp, ok := kabsch(p, q)
	if !ok || pp == 0 {
		return nil
	}
	sse := 0.0
	for i := range p {
		e := q[i].Sub(f.c()).Sub(f.turn(p[i].Sub(f.p0)).Scale(factor))
		sse += e.Dot(e)
	}
	b := s.uncertainty(sse, 2*len(p)-4)
	out := &Scale{Factor: factor, Half: b.half(1 / math.Sqrt(pp)), SpanMM: farthest(p, p[0]).Dist(p[0])}
	out.Off = out.Half != nil && math.Abs(factor-1) > *out.Half
	return out
}

// nearPart is how near a reading must lie to another mark to be taken for it, in
// parts of its distance from its own.
const nearPart = 0.1

// nearMark returns the other mark that a reading fits, or "".
func (s *Spec) nearMark(f *poseFit, r reading.Reading) string {
	best, name, own := math.Inf(1), "", math.Inf(1)
	for _, m := range s.Marks {
		d := f.apply(s.ToMachine.Apply(m.At)).Dist(r.At)
		if m.Name == r.On {
			own = d
		} else if d < best {
			best, name = d, m.Name
		}
	}
	if best > nearPart*own || math.IsInf(own, 1) {
		return ""
	}
	return name
}

// repeatedMarks names the marks that were measured more than once.
func repeatedMarks(readings []reading.Reading) (out []Repeat) {
	lines := map[string][]int{}
	for _, r := range readings {
		lines[r.On] = append(lines[r.On], r.Line)
	}
	for _, r := range readings {
		if n := lines[r.On]; !reading.IsEdge(r.On) && len(n) > 1 && n[0] == r.Line {
			out = append(out, Repeat{Lines: n, On: r.On})
		}
	}
	return out
}
