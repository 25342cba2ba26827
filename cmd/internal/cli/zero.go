package cli

import (
	"bytes"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
)

type zeroOptions struct {
	measureFlags
	touches    string
	job        string
	at         string
	diameterMM float64
	outside    bool
	tipMM      float64
	ballMM     float64
	feelerMM   float64
	acrossMM   float64
	turnDeg    float64
	widthMM    float64
	json       bool
}

func newZeroCmd(s streams) *cobra.Command {
	var o zeroOptions
	cmd := &cobra.Command{
		Use:   "zero TOUCHES",
		Short: "Find X, Y and Z zero: a hole's centre, the board's edges, the top of a crown",
		Long:  zeroLong(),
		Example: `  # the centre of dot 7 from points on its rim, touched with a 2 mm probe
  $ reseat zero testdata/readings/bouzouki-rim.csv --job testdata/jobs/bouzouki-fingerboard.yaml --at "dot 7" --probe-mm 2

  # the board's edges: the datum's start from both long edges and the start end
  $ reseat zero testdata/readings/bouzouki-sides.csv --job testdata/jobs/bouzouki-fingerboard.yaml --probe-mm 3

  # Z over a 0.1 mm feeler beside the datum line of a crowned board, with a 6 mm cutter
  $ reseat zero testdata/readings/bouzouki-top.csv --job testdata/jobs/bouzouki-fingerboard.yaml --tip-mm 6`,
		Args: oneArg("file of touches"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.touches = args[0]
			return runZero(s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.job, "job", "", "job file of the board; a rim alone needs none")
	f.StringVar(&o.at, "at", "", "the feature or pin whose rim was touched; its drawn place is what is typed there")
	f.Float64Var(&o.diameterMM, "diameter-mm", 0, "drawn diameter of the rim, mm (default: the bore of --at)")
	f.BoolVar(&o.outside, "outside", false, "the probe stood outside the rim: round a pin")
	f.Float64Var(&o.tipMM, "tip-mm", 0, "diameter of the flat tip that touched the top, mm; 0: a point")
	f.Float64Var(&o.ballMM, "ball-mm", 0, "diameter of the ball tip that touched the top, mm; 0: none")
	f.Float64Var(&o.feelerMM, "feeler-error-mm", 0, "the feeler or paper is as thick as stated to plus or minus this, 95 %, mm")
	f.Float64Var(&o.acrossMM, "across-error-mm", 0, "the datum line lies where X and Y say to plus or minus this, 95 %, mm")
	f.Float64Var(&o.turnDeg, "turn-error-deg", 0, "where the edges do not tell it, the board lies straight to plus or minus this, 95 %, degrees")
	f.Float64Var(&o.widthMM, "width-error-mm", 0, "where one long edge was touched, the board is as wide as the job says to plus or minus this, 95 %, mm")
	f.BoolVar(&o.json, "json", false, "print the zero as JSON")
	o.add(cmd)
	return cmd
}

// mostTurnDeg is the largest turn that counts as a board put back, as for datum.
const mostTurnDeg = 10.0

// zeroLong lists the ways of finding zero behind the help.
func zeroLong() string {
	var b bytes.Buffer
	fmt.Fprint(&b, `Finds zero from touches. TOUCHES is a CSV with the header kind,x_mm,y_mm or, when the
top was touched, kind,x_mm,y_mm,z_mm,feeler_mm (or all in inches). "kind" is rim (three
or more points round a hole, a dot or a pin), left, right or start (the board's edges),
or top (Z of the tip, over paper or a feeler of the given thickness; x and y tell where
on the crown). The coordinates are those that the machine shows.

Ways of finding zero, and how well each does per axis (plus or minus, 95 %); the job's
machine.zero names one, and the error budget counts it:
`)
	for _, m := range measure.ZeroMethods() {
		fmt.Fprintf(&b, "  %-12s %4s mm  %s\n", m.Name, fixed(m.HalfMM, 2), m.How)
	}
	fmt.Fprint(&b, `(Common practice, no source: your own figure is better.)

Exit status 1, and nothing to type, when a touch is an outlier, lies off the others by
more than the job's accuracy, or when zero is known no better than that; 2 bad input.`)
	return b.String()
}

// zeroReport is what zero tells; what was not touched is nil.
type zeroReport struct {
	job   *job.Job // nil: none given
	at    string   // what the rim belongs to; "": not known
	drawn geom.Vec // where it was drawn, machine frame
	spec  measure.RimSpec
	lines []int // of the rim's points
	rim   *measure.CircleZero
	edges *measure.EdgeZero
	top   *measure.TopZero
}

// good reports whether every touch belongs and what was touched is known as well as the
// job wants. A rim without a job is held against nothing.
func (r zeroReport) good() bool {
	return r.doubt(r.rim != nil, r.rimDoubt) == "" && r.doubt(r.edges != nil, r.edgesDoubt) == "" && r.doubt(r.top != nil, r.topDoubt) == ""
}

func (r zeroReport) doubt(touched bool, of func() string) string {
	if !touched {
		return ""
	}
	return of()
}

// wide says that an interval is wider than the job's accuracy, or not known; "" when it is
// good enough.
func (r zeroReport) wide(what string, known bool, half float64) string {
	switch {
	case r.job == nil:
		return ""
	case !known:
		return "Nothing is left to judge the touches by: touch again, or state how well a touch repeats (--error-mm)."
	case half > r.job.AccuracyMM:
		return fmt.Sprintf("%s is known to +-%s mm only, and the job wants %s mm: touch more places, and those there are again.",
			what, fixed(half, 3), num(r.job.AccuracyMM, 3))
	}
	return ""
}

func (r zeroReport) rimDoubt() string {
	if o := r.rim.Odd; o != nil {
		return fmt.Sprintf("Touch the point of line %d again, or put # before that line: it is an outlier, %s mm from the circle of the others, whose centre is X %s Y %s.",
			r.lines[o.Index], plusMinus(o.OffMM, 3), fixed(o.Center.X, 3), fixed(o.Center.Y, 3))
	}
	u := r.rim.Uncertainty
	if u == nil {
		return r.wide("", false, 0)
	}
	return r.wide("The centre", true, u.WorstMM)
}

func (r zeroReport) edgesDoubt() string {
	u := r.edges.Uncertainty
	if u == nil {
		return r.wide("", false, 0)
	}
	return r.wide("The datum's start", true, max(u.AlongHalfMM, u.AcrossHalfMM))
}

func (r zeroReport) topDoubt() string {
	if odd := r.top.Odd; len(odd) > 0 {
		says := ""
		for _, o := range odd {
			says += fmt.Sprintf(" Touch the top of line %d again: %s.", o.Line, o.Why)
		}
		return says[1:]
	}
	u := r.top.Uncertainty
	if u == nil {
		return r.wide("", false, 0)
	}
	return r.wide("The top", true, u.HalfMM)
}

func runZero(s streams, o zeroOptions) error {
	p, err := o.precision(flagLength{"--diameter-mm", o.diameterMM}, flagLength{"--tip-mm", o.tipMM}, flagLength{"--ball-mm", o.ballMM},
		flagLength{"--feeler-error-mm", o.feelerMM}, flagLength{"--across-error-mm", o.acrossMM}, flagLength{"--width-error-mm", o.widthMM})
	if err != nil {
		return err
	}
	if !(o.turnDeg >= 0 && o.turnDeg <= mostTurnDeg) {
		return &usageError{fmt.Sprintf("--turn-error-deg %g: want degrees, 0 to %g", o.turnDeg, mostTurnDeg)}
	}
	if o.tipMM > 0 && o.ballMM > 0 {
		return &usageError{"--tip-mm and --ball-mm: the tip is flat or a ball, not both"}
	}
	data, err := readRegular(o.touches, mostReadings)
	if err != nil {
		return err
	}
	touches, err := measure.ReadZero(o.touches, data)
	if err != nil {
		return err
	}
	touched := map[measure.TouchKind]bool{}
	for _, t := range touches {
		touched[t.Kind] = true
	}
	edges := touched[measure.TouchLeft] || touched[measure.TouchRight] || touched[measure.TouchStart]
	if o.job == "" && (o.at != "" || edges || touched[measure.TouchTop]) {
		return &usageError{"zero wants the job file for --at, edges and top: --job JOB"}
	}
	r := zeroReport{at: o.at, spec: measure.RimSpec{ProbeRadiusMM: o.probeMM / 2, Outside: o.outside, DiameterMM: o.diameterMM, Precision: p}}
	var frame jig.Frame
	if o.job != "" {
		if r.job, err = job.Read(o.job); err != nil {
			return err
		}
		frame = jig.FrameOf(r.job)
	}
	if o.at != "" {
		if !touched[measure.TouchRim] {
			return &usageError{fmt.Sprintf("--at %q: no rim was touched", o.at)}
		}
		if err := r.findDrawn(); err != nil {
			return err
		}
	}
	var bad []error
	if touched[measure.TouchRim] {
		for _, t := range touches {
			if t.Kind == measure.TouchRim {
				r.lines = append(r.lines, t.Line)
			}
		}
		z, err := measure.ZeroCircle(measure.Rim(touches), r.spec)
		r.rim, bad = &z, append(bad, err)
	}
	if edges {
		b := r.job.Board
		z, err := measure.ZeroEdges(touches, measure.EdgeZeroSpec{
			LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM, ToMachine: frame.ToMachine, ProbeRadiusMM: o.probeMM / 2,
			AngleErrorRad: o.turnDeg * math.Pi / 180, WidthErrorMM: o.widthMM, Precision: p,
		})
		r.edges, bad = &z, append(bad, err)
	}
	if touched[measure.TouchTop] {
		b := r.job.Board
		z, err := measure.ZeroZ(touches, measure.TopSpec{
			CrownRadiusMM: b.CrownRadiusMM, WidthMM: math.Max(b.WidthStartMM, b.WidthEndMM), ToMachine: frame.ToMachine,
			FlatMM: o.tipMM, BallMM: o.ballMM / 2, AccuracyMM: r.job.AccuracyMM, FeelerErrorMM: o.feelerMM, AcrossErrorMM: o.acrossMM, Precision: p,
		})
		r.top, bad = &z, append(bad, err)
	}
	if err := allOf(bad...); err != nil {
		return err
	}
	if o.json {
		err = writeJSON(s.out, r.json())
	} else {
		var text bytes.Buffer
		r.write(&text)
		_, err = text.WriteTo(s.out)
	}
	if err == nil && !r.good() {
		err = errFails
	}
	return err
}

// findDrawn looks up the feature or pin whose rim was touched.
func (r *zeroReport) findDrawn() error {
	marks, err := marksFor(r.job, []string{r.at})
	if err != nil {
		return err
	}
	u, err := marks.find(r.at)
	if err != nil {
		return err
	}
	r.drawn = marks.frame.ToMachine.Apply(u)
	for _, f := range r.job.Board.AllFeatures() {
		if f.Name == r.at && r.spec.DiameterMM == 0 {
			r.spec.DiameterMM = f.BoreMM
		}
	}
	return nil
}
