package measuring

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/reading"
	"reseat/jig/reliable"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// locateAnswer is what locate tells.
type locateAnswer struct {
	locateOptions
	job  *job.Job
	up   setup.Face
	from string // what told the pins; "": none was asked for
	measure.Located
	guard reliable.Reliability // of the features
}

// start and chosen are where the datum's start and the chosen point lie.
func (a *locateAnswer) start() measure.Place  { return a.Places[0] }
func (a *locateAnswer) chosen() measure.Place { return a.Places[1] }

// answer is the report for somebody who stands at the machine.
func (a *locateAnswer) answer(m measured) *answer {
	basis := basisText(a.Uncertainty, fmt.Sprintf("%d readings", len(a.Residuals)))
	if a.Outlier != nil { // what all readings say together is worth nothing
		basis, a.Uncertainty, a.AngleHalf = "  confidence  none: a reading is an outlier", nil, nil
	}
	p := newPart(basis, "")
	a.values(p)
	a.note(&p.notes)
	if p.verdicts = []verdict.Verdict{a.verdict(m)}; p.good() {
		p.offer = a.offer()
	}
	off := each(a.Residuals, func(x measure.MarkResidual) float64 { return x.OffMM })
	p.chart = residualChart{
		title: "residuals, mm", heads: []string{"line", "name", ">X", ">Y", ">residual"}, off: off,
		row: func(i int) []string {
			x := a.Residuals[i]
			return []string{fmt.Sprint(x.Line), x.Name, units.Signed(x.XMM, 3), units.Signed(x.YMM, 3), units.Fixed(x.OffMM, 3)}
		},
		outlier: func(i int) bool { return a.Outlier != nil && a.Outlier.Line == a.Residuals[i].Line },
	}
	j := m.judged(p)
	return &answer{judged: j, title: a.job.Title, parts: []*part{p}, document: a.poseFile(p, j)}
}

// command is what the operator types over the chosen point, so that the program's zero
// comes right there. L20 takes the coordinates that the present place shall have.
func (a *locateAnswer) command() string {
	p := a.chosen().Drawn
	return fmt.Sprintf("G10 L20 P1 X%s Y%s", units.Decimal(p.X, 3), units.Decimal(p.Y, 3))
}

// note says what the figures alone do not.
func (a *locateAnswer) note(n *notes) {
	n.pinsFrom(a.from)
	if c := a.Scale; c != nil && c.Off {
		n.say(nil, "measured distances are %s times the drawn ones (+- %s), %s mm over %g mm: a wrong mark, or the axes' "+
			"steps; nothing was stretched",
			units.Fixed(c.Factor, 5), halfText(c.Half, 5), units.Signed((c.Factor-1)*scaleOverMM, 2), scaleOverMM)
	}
	for _, r := range a.Repeats {
		n.say(r.Lines, "%s was measured %d times: it counts once, where they lie on average", r.On, len(r.Lines))
	}
	if a.DF == 1 && a.Scale != nil {
		n.say(nil, "only the distance of the two marks guards against a wrong one: it is off by %s mm",
			units.Fixed((a.Scale.Factor-1)*a.Scale.SpanMM, 2))
	}
}

const (
	// scaleOverMM is the length over which a scale is told in words.
	scaleOverMM = 400.0
	// farZeroMM is how far the readings' zero may lie from the datum's start to be taken
	// for the program's own: a board that was put back lies within it. Common practice,
	// no source.
	farZeroMM = 20.0
)

func (a *locateAnswer) values(p *part) {
	p.addAngle("turn", a.AngleRad, a.AngleHalf, "counter-clockwise seen from above is positive")
	place := func(what string, at measure.Place) {
		var x, y *float64
		if a.Uncertainty != nil {
			x, y = &at.Half.X, &at.Half.Y
		}
		p.add(what+", X", at.Lies.X, x, 3, "mm", offsetText(at.Lies.X, at.Drawn.X))
		p.add("  Y", at.Lies.Y, y, 3, "mm", offsetText(at.Lies.Y, at.Drawn.Y))
	}
	place("the datum's start", a.start())
	if a.at != reading.OnStart {
		place(a.at, a.chosen())
	}
	if c := a.Scale; c != nil {
		p.add("scale", c.Factor, c.Half, 5, "", "measured distances over drawn ones; the program is not scaled")
	}
	if g := a.guard; g.AsideMM < math.Inf(1) && a.Outlier == nil {
		p.add("one wrong reading", g.AsideMM, nil, 3, "mm", "largest error of a feature, if any one reading is wrong")
	}
	p.add("fit", a.RMSMM, nil, 3, "mm", "root mean square of the residuals")
}

// offsetText tells where a coordinate was drawn and how far it lies from there.
func offsetText(lies, drawn float64) string {
	return fmt.Sprintf("drawn at %s: %s mm", units.Fixed(drawn, 3), units.Signed(lies-drawn, 3))
}

// offer says what to do at the machine. The pose holds with the zero as it was;
// whoever moves the zero must not give the program the pose as well.
func (a *locateAnswer) offer() []string {
	var b strings.Builder
	shift, lies := a.Move.Shift, a.chosen().Lies
	pose := fmt.Sprintf("leave board and zero as they are, and let the program take the pose (turn %s degrees, shift "+
		"X %s Y %s mm):",
		units.Signed(degrees(a.AngleRad), 4), units.Signed(shift.X, 3), units.Signed(shift.Y, 3))
	if far := shift.Norm(); far > farZeroMM {
		pose = fmt.Sprintf("only when the program runs in the work offset that the readings were taken in, whose zero "+
			"lies %s mm from the datum's start: %s", units.Fixed(far, 1), pose)
	}
	command.Paragraph(&b, "  1  ", "     ", pose)
	fmt.Fprintf(&b, "       $ %s --json > pose.json\n", a.again)
	fmt.Fprintf(&b, "       $ reseat pocket %s%s --pose pose.json\n", command.ShellWord(a.job.File), sideFlag(a.up))
	at := "the datum's start"
	if a.at != reading.OnStart {
		at = a.at
	}
	// Zero alone does not turn the board: what that leaves is told before what to type.
	left, name := a.leftMM()
	says := fmt.Sprintf("set the zero. The turn stays, and %s is then off by %s mm, ", name, units.Fixed(left, 2))
	if left > a.job.AccuracyMM {
		says += "more than the job's accuracy of %s mm: tap the board straight first (reseat datum), or take 1. Else %s X " +
			"%s " +
			"Y %s,"
	} else {
		says += "within the job's accuracy of %s mm: %s X %s Y %s,"
	}
	command.Paragraph(&b, "  2  ", "     ", fmt.Sprintf(says+" where %s lies in the coordinates "+
		"that the machine shows now (or jog until the cutter stands over it), and type",
		units.Decimal(a.job.AccuracyMM, 3), raiseFirst, units.Fixed(lies.X, 3), units.Fixed(lies.Y, 3), at))
	fmt.Fprintf(&b, "       %s\n", a.command())
	command.Paragraph(&b, "     ", "     ", workOffset)
	return []string{"do one of these, never both:", strings.TrimSuffix(b.String(), "\n")}
}

// leftMM is how far the farthest feature, or end of the board, still lies off once
// the zero is set at the chosen point and the turn is left as it is.
func (a *locateAnswer) leftMM() (mm float64, name string) {
	features, arm := FeaturesOn(a.job, a.up), -1.0
	name = "the far end"
	for i, p := range a.Places[2:] {
		if d := p.Drawn.Dist(a.chosen().Drawn); d > arm {
			if arm = d; i < len(features) {
				name = features[i].Name
			}
		}
	}
	return arm * 2 * math.Abs(math.Sin(a.AngleRad/2)), name
}

// PoseFile is the answer for other programs.
func (a *locateAnswer) poseFile(p *part, j judged) *PoseFile {
	frame, at := jig.FrameOf(a.job), a.chosen()
	f := &PoseFile{
		Schema: poseSchema, Units: "mm", Title: a.job.Title, JobFile: filepath.Base(a.job.File), LongAxis: frame.LongAxis,
		judged: j, Board: sizeOf(a.job), Pose: newPose(a.Move, frame.ToMachine), AnyAngle: a.anyAngle,
		Points: len(a.Residuals), RMSMM: a.RMSMM,
		At:        poseAt{Name: a.at, DrawnXMM: at.Drawn.X, DrawnYMM: at.Drawn.Y, XMM: at.Lies.X, YMM: at.Lies.Y},
		Residuals: a.Residuals, Scale: a.Scale, Notes: p.notes,
	}
	if p.good() {
		f.At.Type = a.command()
	}
	if a.Uncertainty != nil {
		f.Certainty = &poseCertainty{*a.Uncertainty, *a.AngleHalf, a.start().Half.X, a.start().Half.Y}
		f.At.XHalf, f.At.YHalf = &at.Half.X, &at.Half.Y
	}
	if o := a.Outlier; o != nil {
		f.Outlier = &poseOutlier{*o, newPose(o.Without.Move, frame.ToMachine)}
	}
	return f
}
