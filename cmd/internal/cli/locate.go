package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
)

type locateOptions struct {
	measureOptions
	at       string
	anyAngle bool
}

func newLocateCmd(s streams) *cobra.Command {
	var o locateOptions
	cmd := o.command(&cobra.Command{
		Use:   "locate READINGS --job JOB",
		Short: "Locate the board: best fit to measured features, pins and edges",
		Long: `Lays the drawn board onto what was measured, by turn and shift alone, and tells where
zero lies, what to type at the machine, and the pose that a program takes. READINGS is
a CSV with the header name,x_mm,y_mm (or x_in,y_in): "name" is a feature of the job, a
pin of its design (P1, P2 ...), or left, right or start for a point touched along that
edge. The coordinates are those that the machine shows in the work offset that the
program will run in. Two marks are enough, or one and an edge at both ends; a third
one guards against a mistake.

Exit status 1, and nothing to type, when a reading is an outlier, when the readings fit
worse than the job's accuracy, or when the place of a feature is known no better than
that; 2 bad input.`,
		Example: `  # three dots under a pointed cutter
  $ reseat locate testdata/readings/bouzouki-dots.csv --job testdata/jobs/bouzouki-fingerboard.yaml

  # the pose for the program, and the zero set over dot 5
  $ reseat locate dots.csv --job fingerboard.yaml --at "dot 5" --json > pose.json
  $ reseat pocket fingerboard.yaml --pose pose.json`,
	}, "readings file", func() error { return runLocate(s, o) })
	cmd.Flags().StringVar(&o.at, "at", measure.OnStart, "feature or pin over which the zero is set; start: the datum's start")
	cmd.Flags().BoolVar(&o.anyAngle, "any-angle", false, "take a board that is turned by more than ten degrees")
	return cmd
}

func runLocate(s streams, o locateOptions) error {
	if o.job == "" {
		return &usageError{"locate wants the job file too: --job JOB"}
	}
	return o.run(s, lengths{}, measure.ReadMarks, func(m measured) (answer, error) {
		names := []string{o.at}
		for _, r := range m.readings {
			names = append(names, r.On)
		}
		marks, err := marksFor(m.job, names)
		if err != nil {
			return nil, err
		}
		at, err := marks.find(o.at)
		if err != nil {
			return nil, err
		}
		a := &locateAnswer{readings: o.readings, job: m.job, at: o.at, anyAngle: o.anyAngle, errorMM: o.errorMM}
		m.spec.Marks, m.spec.AnyAngle = marks.drawn(m.spec.ToMachine), o.anyAngle
		m.spec.At = append([]geom.Vec{{}, at}, featurePlaces(m.job)...)
		a.Located, err = measure.Locate(m.readings, m.spec)
		return a, err
	})
}

// featurePlaces lists the places that must come back, in the board frame: the features,
// or the board's ends.
func featurePlaces(j *job.Job) (at []geom.Vec) {
	for _, f := range j.Board.AllFeatures() {
		at = append(at, geom.Vec{X: f.UMM, Y: f.VMM})
	}
	if len(at) == 0 {
		at = []geom.Vec{{}, {X: j.Board.LengthMM}}
	}
	return at
}

// boardMarks are the places of the board that can be measured by name, board frame.
type boardMarks []jobPin

// marksFor lists the job's features, and the pins of its design when a name asks for
// one: working out the pattern takes longer than all the rest.
func marksFor(j *job.Job, names []string) (m boardMarks, err error) {
	for _, f := range j.Board.AllFeatures() {
		m = append(m, jobPin{f.Name, geom.Vec{X: f.UMM, Y: f.VMM}})
	}
	edges := []string{measure.OnLeft, measure.OnRight, measure.OnStart}
	known := func(n string) bool { return m.index(n) >= 0 || slices.Contains(edges, strings.ToLower(n)) }
	if slices.ContainsFunc(names, func(n string) bool { return !known(n) }) {
		pins, _, err := pinsOf(j)
		if err != nil {
			return m, err
		}
		for _, p := range pins {
			if m.index(p.id) < 0 { // a feature of that name is what the maker named
				m = append(m, p)
			}
		}
	}
	return m, nil
}

func (m boardMarks) index(name string) int {
	return slices.IndexFunc(m, func(p jobPin) bool { return p.id == name })
}

// find returns the place of a mark, or the datum's start.
func (m boardMarks) find(name string) (geom.Vec, error) {
	if i := m.index(name); i >= 0 {
		return m[i].at, nil
	}
	if name == measure.OnStart {
		return geom.Vec{}, nil
	}
	all := []string{measure.OnStart}
	for _, p := range m {
		all = append(all, p.id)
	}
	return geom.Vec{}, &usageError{fmt.Sprintf("--at %q: there is no such feature or pin; want one of %s", name, strings.Join(all, ", "))}
}

// drawn returns the marks where they lie on the machine when the board lies as drawn.
func (m boardMarks) drawn(toMachine geom.Rigid) (out []measure.Mark) {
	for _, p := range m {
		out = append(out, measure.Mark{Name: p.id, At: toMachine.Apply(p.at)})
	}
	return out
}

// locateAnswer is what locate tells.
type locateAnswer struct {
	readings string
	job      *job.Job
	at       string
	anyAngle bool
	errorMM  float64 // stated, of a reading
	measure.Located
}

// start and chosen are where the datum's start and the chosen point lie.
func (a *locateAnswer) start() measure.Place  { return a.Places[0] }
func (a *locateAnswer) chosen() measure.Place { return a.Places[1] }

func (a *locateAnswer) holds() bool { return a.doubt() == "" }

// doubt says why nothing is to be typed, "" when every reading belongs, they fit as well as
// the job wants, and every feature's place is known as well as that.
func (a *locateAnswer) doubt() string {
	accuracy, half := a.job.AccuracyMM, 0.0
	for _, p := range a.Places[2:] {
		half = max(half, p.Half.X, p.Half.Y)
	}
	switch o := a.Outlier; {
	case o != nil:
		return fmt.Sprintf("A reading is an outlier: measure %s (line %d) again; or put # before that line to leave it out, and run this again.", o.Name, o.Line)
	case a.RMSmm > accuracy:
		return fmt.Sprintf("The readings fit worse than %s mm: measure every mark again. Are they of this board, and are the names right?", num(accuracy, 3))
	case a.Basis == nil:
		return noBasis
	case half > accuracy:
		return fmt.Sprintf("A feature's place is known to +-%s mm only, and the job wants %s mm: measure one mark more, far from the others, and those there are again.",
			fixed(half, 3), num(accuracy, 3))
	}
	return ""
}

// command is what the operator types over the chosen point, so that the program's zero
// comes right there. L20 takes the coordinates that the present place shall have.
func (a *locateAnswer) command() string {
	p := a.chosen().Drawn
	return fmt.Sprintf("G10 L20 P1 X%s Y%s", num(p.X, 3), num(p.Y, 3))
}

func (a *locateAnswer) notes() notes {
	n := notes{}
	rms := a.RMSmm
	if o := a.Outlier; o != nil {
		fits := ""
		if o.Near != "" {
			fits = "; it fits " + o.Near
		}
		n.say([]int{o.Line}, "%s (line %d) is an outlier: it lies %s mm (X %s, Y %s) from where the others have it%s; measure it again",
			o.Name, o.Line, fixed(o.OffMM, 2), plusMinus(o.XMM, 2), plusMinus(o.YMM, 2), fits)
		rms = o.Without.RMSmm
	}
	n.contradicted(a.Contradicted, a.errorMM)
	if rms > grossMM {
		n.say(nil, "the readings fit to %s mm only: are they of this board, and are the names right?", fixed(rms, 2))
	}
	if c := a.Scale; c != nil && c.Off {
		n.say(nil, "measured distances are %s times the drawn ones (+- %s), %s mm over %g mm: a wrong mark, or the axes' steps; nothing was stretched",
			fixed(c.Factor, 5), halfText(c.Half, 5), plusMinus((c.Factor-1)*scaleOverMM, 2), scaleOverMM)
	}
	for _, r := range a.Repeats {
		n.say(r.Lines, "%s was measured %d times: each counts", r.On, len(r.Lines))
	}
	switch {
	case a.DF == 0:
		n.say(nil, "just enough readings: nothing guards against a wrong one; measure one mark more")
	case a.DF == 1 && a.Scale != nil:
		n.say(nil, "two marks are enough, but only their distance guards against a wrong one: it is off by %s mm; measure a third", fixed((a.Scale.Factor-1)*a.Scale.SpanMM, 2))
	}
	return n
}

const (
	// grossMM is the misfit that looks like readings of another board. Common practice, no
	// source.
	grossMM = 0.5
	// scaleOverMM is the length over which a scale is told in words.
	scaleOverMM = 400.0
	// farZeroMM is how far the readings' zero may lie from the datum's start to be taken
	// for the program's own: a board that was put back lies within it. Common practice,
	// no source.
	farZeroMM = 20.0
)

// writeText prints the report for somebody who stands at the machine.
func (a *locateAnswer) writeText(w io.Writer) {
	verdict := "located"
	if !a.holds() {
		verdict = "INCONCLUSIVE"
	}
	fmt.Fprintf(w, "%s: %s\n\n", a.job.Title, verdict)
	fmt.Fprintf(w, "  confidence  %s\n\n", basisText(a.Basis, fmt.Sprintf("%d readings", len(a.Residuals))))
	a.writeFigures(w)
	if !writeDoubt(w, a.doubt()) {
		a.writeRemedy(w)
	}
	a.notes().write(w)
	off := make([]float64, len(a.Residuals))
	for i, x := range a.Residuals {
		off[i] = x.OffMM
	}
	residualChart{
		title: "residuals, mm", heads: []string{"line", "name", ">X", ">Y", ">residual"}, off: off,
		row: func(i int) []string {
			x := a.Residuals[i]
			return []string{fmt.Sprint(x.Line), x.Name, plusMinus(x.XMM, 3), plusMinus(x.YMM, 3), fixed(x.OffMM, 3)}
		},
		outlier: func(i int) bool { return a.Outlier != nil && a.Outlier.Line == a.Residuals[i].Line },
	}.write(w)
}

func (a *locateAnswer) writeFigures(w io.Writer) {
	tab := newTable("", ">value", ">+-", "unit", "")
	tab.add("turn", fixed(degrees(a.AngleRad), 4), halfText(degreesOf(a.AngleHalf), 4), "degrees", "counter-clockwise seen from above is positive")
	place := func(what string, p measure.Place) {
		var x, y *float64
		if a.Basis != nil {
			x, y = &p.Half.X, &p.Half.Y
		}
		tab.add(what+", X", fixed(p.Lies.X, 3), halfText(x, 3), "mm", movedText(p.Lies.X, p.Drawn.X))
		tab.add("  Y", fixed(p.Lies.Y, 3), halfText(y, 3), "mm", movedText(p.Lies.Y, p.Drawn.Y))
	}
	place("the datum's start", a.start())
	if a.at != measure.OnStart {
		place(a.at, a.chosen())
	}
	if c := a.Scale; c != nil {
		tab.add("scale", fixed(c.Factor, 5), halfText(c.Half, 5), "", "measured over drawn distances; nothing is stretched")
	}
	tab.add("fit", fixed(a.RMSmm, 3), "", "mm", "root mean square of the residuals")
	tab.write(w, "  ")
	fmt.Fprintln(w)
}

// movedText tells where a coordinate was drawn and how far it lies from there.
func movedText(lies, drawn float64) string {
	return fmt.Sprintf("drawn at %s: %s mm", fixed(drawn, 3), plusMinus(lies-drawn, 3))
}

// writeRemedy says what to do at the machine. The pose holds with the zero as it was;
// whoever moves the zero must not give the program the pose as well.
func (a *locateAnswer) writeRemedy(w io.Writer) {
	fmt.Fprintln(w, "do one of these, never both:")
	shift, lies := a.start().Lies.Sub(a.start().Drawn), a.chosen().Lies
	pose := fmt.Sprintf("leave board and zero as they are, and let the program take the pose (turn %s degrees, shift X %s Y %s mm):",
		plusMinus(degrees(a.AngleRad), 4), plusMinus(shift.X, 3), plusMinus(shift.Y, 3))
	if far := shift.Norm(); far > farZeroMM {
		pose = fmt.Sprintf("only when the program runs in the work offset that the readings were taken in, whose zero lies %s mm from the datum's start: %s", fixed(far, 1), pose)
	}
	paragraph(w, "  1  ", "     ", pose)
	fmt.Fprintf(w, "       reseat locate %s --job %s --json > pose.json\n", shellWord(a.readings), shellWord(a.job.File))
	fmt.Fprintf(w, "       reseat pocket %s --pose pose.json\n", shellWord(a.job.File))
	at := "the datum's start"
	if a.at != measure.OnStart {
		at = a.at
	}
	paragraph(w, "  2  ", "     ", fmt.Sprintf("set the zero: drive to X %s Y %s, where %s lies in the coordinates that the machine shows now (or jog until the cutter stands over it), and type",
		fixed(lies.X, 3), fixed(lies.Y, 3), at))
	fmt.Fprintf(w, "       %s\n", a.command())
	paragraph(w, "     ", "     ", "P1 is the work offset G54; where the readings were taken in another one, its number.")
	left, name := a.leftMM()
	says, accuracy := "within the job's accuracy of %s mm.", num(a.job.AccuracyMM, 3)
	if left > a.job.AccuracyMM {
		says = "more than the job's accuracy of %s mm. Tap the board straight first (reseat datum), or take 1."
	}
	paragraph(w, "     ", "     ", fmt.Sprintf("The turn stays: %s is then off by %s mm, "+says, name, fixed(left, 2), accuracy))
	fmt.Fprintln(w)
}

// leftMM is how far the farthest feature, or end of the board, still lies off once
// the zero is set at the chosen point and the turn is left as it is.
func (a *locateAnswer) leftMM() (mm float64, name string) {
	features, arm := a.job.Board.AllFeatures(), -1.0
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

// shellWord quotes a path that a shell would take apart.
func shellWord(path string) string {
	if strings.ContainsAny(path, " \t\"'$&|;<>()*?`\\") {
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	}
	return path
}

// document is the pose file.
func (a *locateAnswer) document() any {
	frame := jig.FrameOf(a.job)
	pose := func(p measure.Pose) pose { return newPose(p.Move, frame.ToMachine) }
	at := a.chosen()
	f := &poseFile{
		Schema: poseSchema, Units: "mm", Title: a.job.Title, JobFile: filepath.Base(a.job.File), LongAxis: frame.LongAxis,
		Pose: pose(a.Pose), AnyAngle: a.anyAngle, HoldsGood: a.holds(), Points: len(a.Residuals), RMSmm: a.RMSmm,
		At:        poseAt{Name: a.at, DrawnXMM: at.Drawn.X, DrawnYMM: at.Drawn.Y, XMM: at.Lies.X, YMM: at.Lies.Y},
		Residuals: a.Residuals, Scale: a.Scale, Notes: a.notes(),
	}
	if a.holds() {
		f.At.Type = a.command()
	}
	if a.Basis != nil {
		f.Certainty = &poseCertainty{*a.Basis, *a.AngleHalf, a.start().Half.X, a.start().Half.Y}
	}
	if o := a.Outlier; o != nil {
		f.Outlier = &poseOutlier{*o, pose(o.Without)}
	}
	return f
}
