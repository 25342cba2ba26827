package cli

import (
	"bytes"
	"fmt"
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
	measureFlags
	readings string
	job      string
	at       string
	anyAngle bool
	json     bool
}

func newLocateCmd(s streams) *cobra.Command {
	var o locateOptions
	cmd := &cobra.Command{
		Use:   "locate READINGS --job JOB",
		Short: "Where does the board lie? Best fit to measured features, pins and edges",
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
		Args: oneArg("readings file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.readings = args[0]
			if o.job == "" {
				return &usageError{"locate wants the job file too: --job JOB"}
			}
			return runLocate(s, o)
		},
	}
	cmd.Flags().StringVar(&o.job, "job", "", "job file of the board")
	cmd.Flags().StringVar(&o.at, "at", atStart, "feature or pin over which the zero is set; start: the datum's start")
	cmd.Flags().BoolVar(&o.anyAngle, "any-angle", false, "take a board that is turned by more than ten degrees")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the pose and everything else as JSON, for pocket --pose")
	o.add(cmd)
	return cmd
}

// atStart names the datum's start as the chosen point.
const atStart = "start"

func runLocate(s streams, o locateOptions) error {
	p, err := o.precision()
	if err != nil {
		return err
	}
	j, err := job.Read(o.job)
	if err != nil {
		return err
	}
	data, err := readRegular(o.readings, mostReadings)
	if err != nil {
		return err
	}
	readings, err := measure.ReadMarks(o.readings, data)
	if err != nil {
		return err
	}
	names := []string{o.at}
	for _, r := range readings {
		names = append(names, r.Name)
	}
	marks, err := marksFor(j, names)
	if err != nil {
		return err
	}
	at, err := marks.find(o.at)
	if err != nil {
		return err
	}
	spec := measure.LocateSpec{
		File:  o.readings,
		Marks: marks.machine, LengthMM: j.Board.LengthMM, WidthStartMM: j.Board.WidthStartMM, WidthEndMM: j.Board.WidthEndMM,
		ToMachine: marks.frame.ToMachine, ProbeRadiusMM: o.probeMM / 2, At: at, Features: featurePlaces(j), AnyAngle: o.anyAngle, Precision: p,
	}
	l, err := measure.Locate(readings, spec)
	if err != nil {
		return err
	}
	out := locateReport{readings: o.readings, job: j, frame: marks.frame, at: o.at, anyAngle: o.anyAngle, located: l}
	if o.json {
		err = writeJSON(s.out, out.poseFile())
	} else {
		var text bytes.Buffer
		out.write(&text)
		_, err = text.WriteTo(s.out)
	}
	if err == nil && !out.good() {
		err = errFails
	}
	return err
}

// marksOn are the places of the board that can be measured by name.
type marksOn struct {
	frame   jig.Frame
	machine []measure.Mark
	board   []geom.Vec // the same order, board frame
}

// marksFor lists the job's features, and the pins of its design when a name asks for
// one: working out the pattern takes longer than all the rest.
func marksFor(j *job.Job, names []string) (marksOn, error) {
	m := marksOn{frame: jig.FrameOf(j)}
	for _, f := range j.Board.AllFeatures() {
		m.add(f.Name, geom.Vec{X: f.UMM, Y: f.VMM})
	}
	if !slices.ContainsFunc(names, func(n string) bool { return !m.has(n) && !edgeOrStart(n) }) {
		return m, nil
	}
	pins, _, err := pinsOf(j)
	if err != nil {
		return m, err
	}
	for _, p := range pins {
		if !m.has(p.id) { // a feature of that name is what the maker named
			m.add(p.id, p.at)
		}
	}
	return m, nil
}

func edgeOrStart(name string) bool {
	return slices.Contains([]measure.Edge{measure.OnLeft, measure.OnRight, measure.OnStart}, measure.Edge(strings.ToLower(name)))
}

func (m *marksOn) add(name string, at geom.Vec) {
	m.machine = append(m.machine, measure.Mark{Name: name, At: m.frame.ToMachine.Apply(at)})
	m.board = append(m.board, at)
}

func (m *marksOn) index(name string) int {
	return slices.IndexFunc(m.machine, func(k measure.Mark) bool { return k.Name == name })
}

func (m *marksOn) has(name string) bool { return m.index(name) >= 0 }

// find returns the place of a mark, or the datum's start, in the board frame.
func (m *marksOn) find(name string) (geom.Vec, error) {
	if i := m.index(name); i >= 0 {
		return m.board[i], nil
	}
	if name == atStart {
		return geom.Vec{}, nil
	}
	all := []string{atStart}
	for _, k := range m.machine {
		all = append(all, k.Name)
	}
	return geom.Vec{}, &usageError{fmt.Sprintf("--at %q: there is no such feature or pin; want one of %s", name, strings.Join(all, ", "))}
}

// locateReport is what locate tells.
type locateReport struct {
	readings string
	job      *job.Job
	frame    jig.Frame
	at       string
	anyAngle bool
	located  measure.Located
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

// halfMM is the widest interval of the place of any feature, either way; ok is false
// when nothing is left to judge it by.
func (r locateReport) halfMM() (half float64, ok bool) {
	for _, p := range r.located.Features {
		half = max(half, p.Half.X, p.Half.Y)
	}
	return half, r.located.Uncertainty != nil
}

// good reports whether every reading belongs, they fit as well as the job wants, and
// every feature's place is known as well as that.
func (r locateReport) good() bool {
	half, ok := r.halfMM()
	return r.located.Outlier == nil && r.located.RMSmm <= r.job.AccuracyMM && ok && half <= r.job.AccuracyMM
}

// command is what the operator types over the chosen point, so that the program's zero
// comes right there. L20 takes the coordinates that the present place shall have.
func (r locateReport) command() string {
	p := r.located.At.Drawn
	return fmt.Sprintf("G10 L20 P1 X%s Y%s", num(p.X, 3), num(p.Y, 3))
}

// leftMM is how far the farthest feature, or end of the board, still lies off once
// the zero is set at the chosen point and the turn is left as it is.
func (r locateReport) leftMM() (mm float64, name string) {
	at := r.frame.ToMachine.Inverse().Apply(r.located.At.Drawn)
	name = "the far end"
	arm := at.Dist(geom.Vec{X: r.job.Board.LengthMM})
	if all := r.job.Board.AllFeatures(); len(all) > 0 {
		arm = -1
		for _, f := range all {
			if d := at.Dist(geom.Vec{X: f.UMM, Y: f.VMM}); d > arm {
				arm, name = d, f.Name
			}
		}
	}
	return arm * 2 * math.Abs(math.Sin(r.located.AngleRad/2)), name
}

// poseFile is the report for programs.
func (r locateReport) poseFile() PoseFile {
	l := r.located
	f := PoseFile{
		Schema: poseSchema, Units: "mm", Title: r.job.Title, JobFile: filepath.Base(r.job.File), LongAxis: r.frame.LongAxis,
		Pose: newPose(l.Placing, r.frame.ToMachine), AnyAngle: r.anyAngle, HoldsGood: r.good(),
		Points: len(l.Residuals), RMSmm: l.RMSmm, Residuals: []PoseResidual{}, Notes: notesJSON(l.Notes),
		At: PoseAt{Name: r.at, DrawnXMM: l.At.Drawn.X, DrawnYMM: l.At.Drawn.Y, XMM: l.At.Lies.X, YMM: l.At.Lies.Y},
	}
	if r.good() {
		f.At.Type = r.command()
	}
	if u := l.Uncertainty; u != nil {
		f.Certainty = &PoseCertainty{u.Confidence, u.Stated, u.DF, u.ReadingSDmm, u.AngleHalfRad, l.Start.Half.X, l.Start.Half.Y}
	}
	for _, x := range l.Residuals {
		f.Residuals = append(f.Residuals, PoseResidual{x.Line, x.Name, x.Off.X, x.Off.Y, x.OffMM, x.Studentised})
	}
	if c := l.Scale; c != nil {
		f.Scale = &PoseScale{c.Factor, known(c.Half), c.Off}
	}
	if o := l.Outlier; o != nil {
		f.Outlier = &PoseOutlier{o.Line, o.Name, o.Off.X, o.Off.Y, o.OffMM, o.Near, newPose(o.Without, r.frame.ToMachine)}
	}
	return f
}
