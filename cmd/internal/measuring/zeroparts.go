package measuring

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// rimDocument is the centre of a hole, a dot or a pin.
type rimDocument struct {
	typed
	measure.RimZero
	At       string  `json:"at,omitempty"` // what the rim belongs to
	DrawnXMM float64 `json:"drawn_x_mm"`   // where that was drawn; 0 when nothing is known of it
	DrawnYMM float64 `json:"drawn_y_mm"`
}

// drawnRim is what the job knows of the rim that was touched.
type drawnRim struct {
	head string
	at   geom.Vec // machine frame
	from string   // what told the pins; "": none was asked for
	pin  bool
}

// rimErrorMM is how far a bored hole is off its drawn diameter, and pinErrorMM a ground pin, plus or
// minus, 95 %, touches and all. Common practice, no source.
const (
	rimErrorMM = 0.05
	pinErrorMM = 0.02
)

// drawn finds the rim in the job, and puts its diameter into the spec.
func (m *measured) drawn(at string) (r drawnRim, err error) {
	r.head, m.spec.DiameterErrorMM = "rim", rimErrorMM
	if at == "" {
		return r, nil
	}
	marks, err := marksFor(m.job, m.up, at, nil)
	if err != nil {
		return r, err
	}
	r = drawnRim{"rim of " + at, m.spec.ToMachine.Apply(marks.at), marks.from, marks.pin}
	if r.pin { // it stands in the bed, and does not turn over with the part
		r.at = ToFace(m.job, setup.Top).Apply(marks.at)
	}
	features := FeaturesOn(m.job, m.up)
	switch i := slices.IndexFunc(features, func(f job.Feature) bool { return f.Name == at }); {
	case m.spec.DiameterMM > 0:
	case r.pin:
		m.spec.DiameterMM, m.spec.DiameterErrorMM = m.job.Dowel.DiameterMM, pinErrorMM
	case i >= 0:
		m.spec.DiameterMM = features[i].BoreMM
	}
	return r, nil
}

// zeroRim finds the centre; a pin that stands proud is touched from outside, whatever was said.
func (m *measured) zeroRim(r drawnRim, n *notes) (measure.RimZero, error) {
	if r.pin && !m.spec.Outside && m.spec.ProbeRadiusMM > 0 {
		// Unless it is the hole of a pin that is not in: that is as wide.
		if inside, err := measure.ZeroRim(m.readings, m.spec); err != nil || inside.Unlike != "" {
			m.spec.Outside = true
			n.say(nil, "a pin stands proud of what it is in, and is touched from outside: --outside is taken as given")
		}
	}
	return measure.ZeroRim(m.readings, m.spec)
}

// raiseFirst starts every offer to drive somewhere: at depth the move breaks the probe.
const raiseFirst = "raise clear of board, pins and clamps, then drive to"

func (d *zeroDocument) judgeRim(m measured, at string) (*part, error) {
	limit := m.limitXY()
	m.spec.AccuracyMM = limit
	drawn, err := m.drawn(at)
	if err != nil {
		return nil, err
	}
	var said notes
	z, err := m.zeroRim(drawn, &said)
	if err != nil {
		return nil, err
	}
	d.Rim = &rimDocument{RimZero: z, At: at, DrawnXMM: drawn.at.X, DrawnYMM: drawn.at.Y}
	p := newPart(drawn.head+":", basisText(z.Uncertainty, fmt.Sprintf("%d points over %s degrees", len(z.Lines),
		units.Fixed(degrees(z.ArcRad), 0))))
	if z.Contradictory {
		p.head[1] = contradictory
	}
	p.notes = append(p.notes, said...)
	p.add("centre, X", z.XMM, z.XHalf, 3, "mm", "")
	p.add("  Y", z.YMM, z.YHalf, 3, "mm", "")
	says := "the probe taken out"
	if m.spec.DiameterMM > 0 {
		says = "drawn " + units.Decimal(m.spec.DiameterMM, 3)
	}
	p.add("diameter", z.DiameterMM, z.DiameterHalf, 3, "mm", says)
	p.add("fit", z.RMSMM, nil, 3, "mm", "root mean square of the residuals")
	p.notes.contradicted(z.Contradicted, m.spec.ErrorMM)
	p.notes.pinsFrom(drawn.from)
	if z.ArcRad < math.Pi {
		p.notes.say(nil, "the points reach over %s degrees of the rim; points all round reduce the centre's "+
			"uncertainty", units.Fixed(degrees(z.ArcRad), 0))
	}
	if m.job != nil && z.WorstHalf != nil {
		p.notes.budget(m.job.Machine.Zero, *z.WorstHalf)
	}
	v := verdict.JudgePrecision("rim", z.WorstHalf, limit)
	if o := z.Outlier; o != nil {
		v = v.Because(verdict.Outlier, fmt.Sprintf("The touch of line %d lies %s mm from the circle of the others, whose "+
			"centre is X %s Y %s.", o.Line, units.Signed(o.OffMM, 3), units.Fixed(z.XMM, 3), units.Fixed(z.YMM, 3)),
			fmt.Sprintf("Touch the point of line %d again, or put # before that line.", o.Line))
		v.Lines = []int{o.Line}
	}
	v = m.unlike(v, z)
	v = guarded(v, z.Guard, "The centre", z.WorstHalf, limit, "Touch the rim at two places more, all round.")
	p.command(&d.Rim.typed, v, fmt.Sprintf("%s X %s Y %s", raiseFirst, units.Fixed(z.XMM, 3), units.Fixed(z.YMM, 3)),
		fmt.Sprintf("G10 L20 P1 X%s Y%s", units.Decimal(drawn.at.X, 3), units.Decimal(drawn.at.Y, 3)))
	p.chart = residualChart{
		title: "residuals of the points from the circle, mm, outward positive",
		heads: []string{"line", ">residual"}, low: "in", high: "out", off: z.Residuals,
		row:     func(i int) []string { return []string{fmt.Sprint(z.Lines[i]), units.Fixed(z.Residuals[i], 3)} },
		outlier: func(i int) bool { return z.Outlier != nil && z.Outlier.Line == z.Lines[i] },
	}
	return p, nil
}

// contradictory stands in for what the intervals rest on.
const contradictory = "  confidence  none: the touches contradict each other"

// limitXY is what the accuracy leaves for X and Y zero, or for a pose: the first cut of a feature
// moved by itself, and so will this one; 0 without a job.
func (m measured) limitXY() float64 {
	if m.job == nil {
		return 0
	}
	p := m.job.Machine.PositionMM
	return verdict.LeftMM(m.job.AccuracyMM, p, p)
}

// guarded completes a verdict on X and Y zero: a single wrong touch must show, then the interval is
// held against the limit, which is 0 without a job.
func guarded(v verdict.Verdict, g measure.Guard, what string, half *float64, limit float64,
	more string) verdict.Verdict {
	wants := fmt.Sprintf("and the accuracy leaves %s mm", units.Fixed(limit, 3))
	switch {
	case v.Word == verdict.Outlier:
	case g.Contradictory:
		v = v.Because(verdict.Inconclusive, "One of the touches is wrong, and the others do not tell which.",
			"Touch each place again. "+more)
	case half == nil:
		v = v.Because(verdict.Inconclusive, "There are too few touches to judge their scatter.",
			more+" Or state how well a touch repeats (--error-mm).")
	case math.IsInf(g.UnguardedMM, 1):
		v = v.Because(verdict.Inconclusive, fmt.Sprintf("Nothing shows whether the touch of line %d is wrong.",
			g.UnguardedLine), more)
	case limit == 0: // nothing to hold it against
		if len(v.Reasons) == 0 {
			v.Word = verdict.Good
		}
	case *half > limit:
		v = v.Because(verdict.Inconclusive, fmt.Sprintf("%s is known to +-%s mm only, %s.", what, units.Fixed(*half, 3),
			wants),
			more)
	case g.UnguardedMM > limit:
		v = v.Because(verdict.Inconclusive, fmt.Sprintf("If the touch of line %d is wrong, zero can lie %s mm off "+
			"unnoticed, %s.",
			g.UnguardedLine, units.Fixed(g.UnguardedMM, 3), wants), more)
	}
	return v
}

// unlike tells a rim that is not as wide as drawn, and what that looks like.
func (m measured) unlike(v verdict.Verdict, z measure.RimZero) verdict.Verdict {
	if z.Unlike == "" || z.Outlier != nil {
		return v
	}
	why, remedy := "is it this rim, and this size?",
		"Check the feature (--at), its bore in the job (--diameter-mm for another), "+
			"and touch again."
	switch {
	case z.Unlike == measure.OtherSide && m.spec.Outside:
		why, remedy = "the probe stood inside, most likely; the centre is the same.", "Leave out --outside."
	case z.Unlike == measure.OtherSide:
		why, remedy = "the probe stood outside, most likely; the centre is the same.", "Give --outside."
	case z.Unlike == measure.NoProbe && m.spec.ProbeRadiusMM == 0:
		why = "the probe's diameter was left out, most likely."
		remedy = fmt.Sprintf("Give the probe's diameter (--probe-mm); one of %s mm would fit.",
			units.Fixed(math.Abs(z.DiameterMM-m.spec.DiameterMM), 2))
	case z.Unlike == measure.NoProbe:
		why = "the points are on the rim itself, most likely."
		if (z.DiameterMM < m.spec.DiameterMM) != m.spec.Outside {
			why = "the probe's radius was given for its diameter, most likely."
		}
		remedy = "Check --probe-mm and --at."
	}
	if like := m.featureLike(z.DiameterMM); like != nil {
		why += fmt.Sprintf(" Or is it another one? %s is bored %s mm.", like.Name, units.Decimal(like.BoreMM, 3))
	}
	return v.Because(verdict.Inconclusive, fmt.Sprintf("It measures %s mm where %s mm are drawn: %s",
		units.Fixed(z.DiameterMM, 3), units.Decimal(m.spec.DiameterMM, 3), why), remedy)
}

// featureLike is one of the face that is up whose bore is as wide; nil: none.
func (m measured) featureLike(mm float64) *job.Feature {
	if m.job == nil {
		return nil
	}
	for _, f := range FeaturesOn(m.job, m.up) {
		if math.Abs(f.BoreMM-mm) <= 2*rimErrorMM {
			return &f
		}
	}
	return nil
}

// budget notes what the error budget counts for the job's way of finding zero.
func (n *notes) budget(method string, half float64) {
	for _, m := range measure.ZeroMethods() {
		if m.Name != method {
			continue
		}
		says := "which this keeps"
		if half > m.HalfMM {
			says = "which this does not keep: touch more points, or name another way in the job"
		}
		n.say(nil, "the job's error budget counts %s mm for zero found by %q, %s (%s mm)", units.Fixed(m.HalfMM, 3), method,
			says,
			units.Fixed(half, 3))
	}
}

// edgesDocument is the datum's start from the board's edges.
type edgesDocument struct {
	typed
	measure.EdgeZero
}

// widthNoteMM is the difference from the job's width that is worth a note. Common
// practice, no source.
const widthNoteMM = 0.5

func (d *zeroDocument) judgeEdges(m measured) (*part, error) {
	limit := m.limitXY()
	m.spec.AccuracyMM = limit
	z, err := measure.ZeroEdges(m.readings, m.spec)
	if err != nil {
		return nil, err
	}
	d.Edges = &edgesDocument{EdgeZero: z}
	p := newPart("edges:", basisText(z.Uncertainty, fmt.Sprintf("%d touches", len(z.Residuals))))
	if z.Contradictory {
		p.head[1] = contradictory
	}
	drive, command := raiseFirst, "G10 L20 P1"
	drawn := m.spec.ToMachine.Apply(geom.Vec{}) // turned over about the short axis it is not at zero
	var widest *float64
	for _, axis := range []struct {
		name        string
		value, half *float64
		drawn       float64
	}{{"X", z.XMM, z.XHalf, drawn.X}, {"Y", z.YMM, z.YHalf, drawn.Y}} {
		if axis.value == nil {
			continue
		}
		p.add("the datum's start, "+axis.name, *axis.value, axis.half, 3, "mm", offsetText(*axis.value, axis.drawn))
		drive, command = drive+" "+axis.name+" "+units.Fixed(*axis.value, 3), command+" "+axis.name+
			units.Decimal(axis.drawn, 3)
		if widest == nil || axis.half != nil && *axis.half > *widest {
			widest = axis.half
		}
	}
	if z.AngleRad != nil {
		p.addAngle("turn", *z.AngleRad, z.AngleHalf, "counter-clockwise seen from above is positive")
	}
	if z.WidthMM != nil {
		p.add("width", *z.WidthMM, z.WidthHalf, 3, "mm", "deviation from nominal width")
	}
	p.add("fit", z.RMSMM, nil, 3, "mm", "root mean square of the residuals")
	p.notes.contradicted(z.Contradicted, m.spec.ErrorMM)
	p.notes.edges(z, m.spec.WidthErrorMM)
	v := verdict.JudgePrecision("edges", widest, limit)
	if z.Outlier > 0 {
		v = v.Because(verdict.Outlier, fmt.Sprintf("The touch of line %d is off the others.", z.Outlier),
			fmt.Sprintf("Touch the place of line %d again, or put # before that line.", z.Outlier))
		v.Lines = []int{z.Outlier}
	}
	v = guarded(v, z.Guard, "The datum's start", widest, limit, "Touch every edge at one place more.")
	p.command(&d.Edges.typed, v, drive, command)
	off := each(z.Residuals, func(t measure.TouchResidual) float64 { return t.OffMM })
	p.chart = residualChart{
		title: "residuals of the touches from their edges, mm, outward positive",
		heads: []string{"line", "edge", ">residual"}, low: "in", high: "out", off: off,
		row: func(i int) []string {
			t := z.Residuals[i]
			return []string{fmt.Sprint(t.Line), t.Kind, units.Fixed(t.OffMM, 3)}
		},
		outlier: func(i int) bool { return z.Residuals[i].Line == z.Outlier },
	}
	return p, nil
}

// edges notes what the touches do not tell.
func (n *notes) edges(z measure.EdgeZero, widthErrorMM float64) {
	if !z.HasAlong {
		n.say(nil, "the start end was not touched: the place along the board is as drawn")
	}
	switch {
	case !z.HasAcross:
		n.say(nil, "no long edge was touched: the place across the board is as drawn")
	case z.WidthMM == nil:
		n.say(nil, "one long edge was touched: the datum line is half the job's width from it, good to "+
			"+-%s mm (--width-error-mm); touch both to be free of the width", units.Decimal(widthErrorMM/2, 3))
	case math.Abs(*z.WidthMM) > widthNoteMM:
		n.say(nil, "the board is %s mm wider than the job has it, or the probe's radius is wrong by a half of that",
			units.Fixed(*z.WidthMM, 3))
	}
	if z.AngleRad == nil {
		n.say(nil, "no long edge was touched at two places far apart: the board is taken to lie as straight as drawn")
	}
}
