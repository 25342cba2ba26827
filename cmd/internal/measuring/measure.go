package measuring

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	parts "reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/touch"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// datum, locate and zero have one shape: readings and the job go in, a judge makes an
// answer of them, and the answer is printed as text, JSON or a picture. The exit status is
// 0 when every verdict is good, so that something may be run or typed at the machine, and 1
// otherwise.

// measureOptions are the flags that they share.
type measureOptions struct {
	verb          string
	again         string // the command line, without what says how to print
	readings, job string
	plan          string  // file of the touches that a log tells of; "": none
	workZero      string  // X,Y,Z of the work zero in the log's machine coordinates; "": the log tells it
	side          string  // the face that is up
	probeMM       float64 // diameter
	errorMM       float64
	confidence    float64 // percent
	svg           string  // "": no picture
	json          bool
}

// command completes a command: one file of readings, the shared flags, and what runs it.
func (o *measureOptions) command(cmd *cobra.Command, what string, run func() error) *cobra.Command {
	o.verb = cmd.Name()
	cmd.Args = command.OneArg(what)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		o.readings, o.again = args[0], command.Again(cmd, args, "json", "svg")
		return run()
	}
	f := cmd.Flags()
	f.StringVar(&o.job, "job", "", "job file of the board")
	f.StringVar(&o.plan, "plan", "", "plan of the touches, from reseat touch, when a controller's log stands in for the "+
		"readings")
	f.StringVar(&o.workZero, "work-zero", "", "machine coordinates X,Y,Z of the work zero, mm, where the log does not "+
		"tell them ([G54:...])")
	f.StringVar(&o.side, "side", string(setup.Top), "the face that is up: top, or under once the part is turned over")
	f.Float64Var(&o.probeMM, "probe-mm", 0, "diameter of the probe that touched edges and rims, mm; 0: its radius is "+
		"already out")
	f.Float64Var(&o.errorMM, "error-mm", 0, "a reading repeats to plus or minus this, 95 %, mm (default: judged by "+
		"the scatter)")
	f.Float64Var(&o.confidence, "confidence", 95, "of the intervals and the verdict, percent (50 to 99.99)")
	f.BoolVar(&o.json, "json", false, "print the answer as JSON")
	return cmd
}

// The confidence that can be asked for, percent; beyond, a handful of readings says nothing.
const leastPercent, mostPercent = 50.0, 99.99

// mostFlagMM bounds a length on the command line: a hundred metres.
const mostFlagMM = 1e5

// lengths are flags that hold one, by name.
type lengths map[string]float64

// precision checks the shared flags, and the lengths that come with them.
func (o measureOptions) precision(more lengths) (measure.Precision, error) {
	more["--probe-mm"], more["--error-mm"] = o.probeMM, o.errorMM
	var bad []error
	for _, flag := range slices.Sorted(maps.Keys(more)) {
		if mm := more[flag]; !(mm >= 0 && mm <= mostFlagMM) {
			bad = append(bad, command.Usage("%s %g: want a length in mm, zero or more", flag, mm))
		}
	}
	c := o.confidence
	switch {
	case c > 0 && c < 1:
		bad = append(bad, command.Usage("--confidence %g: want percent: %g", c, 100*c))
	case !(c >= leastPercent && c <= mostPercent):
		bad = append(bad, command.Usage("--confidence %g: want %g to %g percent, such as 95", c, leastPercent,
			mostPercent))
	}
	return measure.Precision{Confidence: c / 100, ErrorMM: o.errorMM}, errors.Join(bad...)
}

// measured is what an answer is made of. The job is nil when none was named.
type measured struct {
	job      *job.Job
	up       setup.Face
	plan     *touch.Plan // that the readings were touched by; nil: none
	readings []reading.Reading
	spec     measure.Spec
}

// answer is what a measurement comes to.
type answer struct {
	judged
	title    string // "": none
	parts    []*part
	foot     []string
	document any // for other programs: a pointer to a struct
	draw     func() *picture.Picture
}

// judged is what every document starts with: whose board, and the verdicts.
type judged struct {
	JobSHA256 string            `json:"job_sha256,omitempty"` // of the job file's bytes; absent without a job
	Side      string            `json:"side,omitempty"`       // "top" or "under": the face that was up; likewise
	Verdict   verdict.Word      `json:"verdict"`              // the worst of all
	Verdicts  []verdict.Verdict `json:"verdicts"`
}

// judged puts the verdicts of the parts together.
func (m measured) judged(parts ...*part) judged {
	j := judged{}
	if m.job != nil {
		j.JobSHA256, j.Side = m.job.SHA256, string(m.up)
	}
	for _, p := range parts {
		j.Verdicts = append(j.Verdicts, p.verdicts...)
	}
	j.Verdict = verdict.All(j.Verdicts)
	return j
}

// part is one table of values with what to do about it, in the order in which it is read.
type part struct {
	head     []string
	values   *command.Table
	verdicts []verdict.Verdict
	offer    []string // lines: what to run or to type, printed only when every verdict is good
	mended   bool     // or when the offer itself puts right what is not
	notes    notes
	more     *command.Table // below the notes; nil: none
	chart    residualChart
}

// good reports whether what the part offers may be run or typed.
func (p *part) good() bool { return verdict.All(p.verdicts) == verdict.Good }

func newPart(head ...string) *part {
	return &part{head: head, values: command.NewTable("", ">value", ">+-", "unit", ""), notes: notes{}}
}

// add adds a value with n decimals and the half width of its interval.
func (p *part) add(what string, v float64, half *float64, n int, unit, says string) {
	p.values.Add(what, units.Fixed(v, n), halfText(half, n), unit, says)
}

// addAngle adds an angle in degrees.
func (p *part) addAngle(what string, rad float64, half *float64, says string) {
	if half != nil {
		deg := degrees(*half)
		half = &deg
	}
	p.add(what, degrees(rad), half, 4, "degrees", says)
}

func (p *part) write(w io.Writer) {
	var said []string // remedies, each once
	for _, v := range p.verdicts {
		if !v.IsGood() {
			command.Paragraph(w, v.Of+": ", "  ", strings.Join(v.Reasons, " "))
			for _, r := range v.Remedy {
				if !slices.Contains(said, r) {
					command.Paragraph(w, "  - ", "    ", r)
				}
			}
			said = append(said, v.Remedy...)
		}
	}
	if p.good() || p.mended {
		fmt.Fprintln(w, strings.Join(p.offer, "\n"))
	} else {
		fmt.Fprintln(w, "Nothing is offered to type or to run until then.")
	}
	fmt.Fprintln(w)
	for _, h := range p.head {
		fmt.Fprintln(w, h)
	}
	p.values.Write(w, "  ")
	fmt.Fprintln(w)
	for _, n := range p.notes {
		command.Paragraph(w, "note: ", "      ", n.Says)
	}
	if len(p.notes) > 0 {
		fmt.Fprintln(w)
	}
	if p.more != nil {
		p.more.Write(w, "  ")
		fmt.Fprintln(w)
	}
	p.chart.write(w)
}

// run reads job and readings, has them judged, and prints the answer.
func (o measureOptions) run(s command.Streams, more lengths, read func(string, []byte) ([]reading.Reading, error),
	judge func(measured) (*answer, error)) error {
	p, err := o.precision(more)
	if err != nil {
		return err
	}
	from, err := o.open(s)
	if err != nil {
		return err
	}
	m := measured{plan: from.plan, spec: measure.Spec{File: o.readings, ProbeRadiusMM: o.probeMM / 2, Precision: p}}
	if o.job == "" && o.side != string(setup.Top) {
		return command.Usage("--side %s wants the job file, which says how the board is turned over: --job JOB", o.side)
	}
	if o.job != "" {
		if m.job, m.up, err = jobOn(s, o.job, o.side); err != nil {
			return err
		}
		b := m.job.Board
		m.spec.LengthMM, m.spec.WidthStartMM, m.spec.WidthEndMM, m.spec.CrownRadiusMM = b.LengthMM, b.WidthStartMM,
			b.WidthEndMM, b.CrownRadiusMM
		if b.Outline != nil { // no width of it is asked, only how far from the datum line it is touched
			m.spec.WidthStartMM, m.spec.WidthEndMM = 2*b.ReachMM(), 2*b.ReachMM()
		}
		m.spec.ToMachine, m.spec.AccuracyMM = ToFace(m.job, m.up), m.job.AccuracyMM
		if m.up == setup.Under {
			m.spec.CrownRadiusMM = 0 // that face lies below
		}
	}
	if m.readings, err = from.readings(m.job, read); err != nil {
		return err
	}
	if err := m.sides(); err != nil {
		return err
	}
	a, err := judge(m)
	if x := (*measure.ExchangedError)(nil); errors.As(err, &x) && m.job != nil && m.job.Template.Flip != "none" {
		return fmt.Errorf("%w; or the %s is up: --side %s", err, m.other().Name(), m.other())
	}
	if err != nil {
		return err
	}
	if from.log {
		a.foot = append(a.foot, "Lines are those of the plan, "+o.plan+".")
	}
	if o.svg != "" {
		if err := command.WritePicture(o.svg, a.draw()); err != nil {
			return err
		}
	}
	var text bytes.Buffer // one write: a terminal shows it at once
	if o.json {
		roundFloats(reflect.ValueOf(a.document))
		err = command.WriteJSON(&text, a.document)
	} else {
		a.write(&text, o.svg)
	}
	if err == nil {
		_, err = text.WriteTo(s.Out)
	}
	if err == nil && a.Verdict != verdict.Good {
		err = command.ErrFails
	}
	return err
}

func (a *answer) write(w io.Writer, svg string) {
	word := string(a.Verdict)
	if a.Verdict != verdict.Good {
		word = strings.ToUpper(word)
	}
	if a.title != "" {
		word = a.title + ": " + word
	}
	fmt.Fprintf(w, "%s\n\n", word)
	table := command.NewTable("", "verdict", ">found", ">+-", ">limit", "")
	for _, v := range a.Verdicts {
		limit := ""
		if v.Limit > 0 {
			limit = units.Fixed(v.Limit, 3)
		}
		table.Add(v.Of, string(v.Word), halfText(v.Value, 3), halfText(v.Half, 3), limit, "mm")
	}
	table.Write(w, "  ")
	fmt.Fprintln(w)
	for i, p := range a.parts {
		if i > 0 {
			fmt.Fprintln(w)
		}
		p.write(w)
	}
	if len(a.foot) > 0 {
		fmt.Fprintf(w, "\n%s\n", strings.Join(a.foot, "\n"))
	}
	if svg != "" {
		fmt.Fprintf(w, "\nwrote %s\n", svg)
	}
}

// ReadJob reads a job, with the board as it is now, and which of its faces is up. Errors as of
// job.Read, part.AsNow, and for another word than top or under.
func ReadJob(file, side string) (j *job.Job, up setup.Face, err error) {
	return jobOn(command.Streams{}, file, side)
}

func jobOn(s command.Streams, file, side string) (j *job.Job, up setup.Face, err error) {
	if s.Open == nil {
		j, err = job.Read(file)
	} else if data, fault := s.Read(file, job.MaxFileBytes); fault != nil {
		err = fault
	} else {
		j, err = job.Parse(file, data, s.Open)
	}
	if err != nil {
		return nil, "", err
	}
	return JobAsNow(j, side)
}

// JobAsNow is ReadJob for a job that was read.
func JobAsNow(j *job.Job, side string) (now *job.Job, up setup.Face, err error) {
	if now, err = parts.AsNow(j); err != nil {
		return nil, "", err
	}
	up, err = faceOf(side, now)
	return now, up, err
}

// faceOf reads --side: the face of the job's board that is up. The error is for another
// word, and for the underside of a board that is never turned over.
func faceOf(side string, j *job.Job) (setup.Face, error) {
	up := setup.Face(side)
	switch {
	case up != setup.Top && up != setup.Under:
		return "", command.Usage("--side %q: want top or under, the face that is up", side)
	case up == setup.Under && j.Template.Flip == "none":
		return "", command.Usage("--side under: %s turns nothing over; give template.flip: long or short, the axis "+
			"that the board is turned over about", j.File)
	}
	return up, nil
}

// other is the face that is down.
func (m measured) other() setup.Face {
	if m.up == setup.Under {
		return setup.Top
	}
	return setup.Under
}

// ToFace takes the board's places, as seen on its top, to the machine with a face up.
func ToFace(j *job.Job, up setup.Face) geom.Rigid {
	return jig.FrameOf(j).ToMachine.After(program.TurnOf(j).Rigid(up))
}

// roundFloats rounds every number to nine decimals, a millionth of a micrometre: the last
// digits of a fit differ from machine to machine.
func roundFloats(v reflect.Value) {
	const parts = 1e9
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			roundFloats(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() || f.Anonymous {
				roundFloats(v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			roundFloats(v.Index(i))
		}
	case reflect.Float64:
		v.SetFloat(math.Round(v.Float()*parts)/parts + 0) // no -0
	}
}
