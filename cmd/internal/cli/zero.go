package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/jig/job"
	"reseat/jig/measure"
)

type zeroOptions struct {
	measureOptions
	at                                                              string
	outside                                                         bool
	diameterMM, tipMM, ballMM, feelerMM, acrossMM, widthMM, turnDeg float64
}

func newZeroCmd(s streams) *cobra.Command {
	var o zeroOptions
	cmd := o.command(&cobra.Command{
		Use:   "zero TOUCHES",
		Short: "Find X, Y and Z zero: a hole's centre, the board's edges, the top of a crown",
		Long:  zeroLong(),
		Example: `  # the centre of dot 7 from points on its rim, touched with a 2 mm probe
  $ reseat zero testdata/readings/bouzouki-rim.csv --job testdata/jobs/bouzouki-fingerboard.yaml --at "dot 7" --probe-mm 2

  # the board's edges: the datum's start from both long edges and the start end
  $ reseat zero testdata/readings/bouzouki-sides.csv --job testdata/jobs/bouzouki-fingerboard.yaml --probe-mm 3

  # Z over a 0.1 mm feeler beside the datum line of a crowned board, with a 6 mm cutter
  $ reseat zero testdata/readings/bouzouki-top.csv --job testdata/jobs/bouzouki-fingerboard.yaml --tip-mm 6`,
	}, "file of touches", func() error { return runZero(s, o) })
	f := cmd.Flags()
	f.StringVar(&o.at, "at", "", "the feature or pin whose rim was touched; its drawn place is what is typed there")
	f.Float64Var(&o.diameterMM, "diameter-mm", 0, "drawn diameter of the rim, mm (default: the bore of --at)")
	f.BoolVar(&o.outside, "outside", false, "the probe stood outside the rim: round a pin")
	f.Float64Var(&o.tipMM, "tip-mm", 0, "diameter of the flat tip that touched the top, mm; 0: a point")
	f.Float64Var(&o.ballMM, "ball-mm", 0, "diameter of the ball tip that touched the top, mm; 0: none")
	f.Float64Var(&o.feelerMM, "feeler-error-mm", 0, "the feeler, paper or touch plate is as thick as stated to plus or minus this, 95 %, mm")
	f.Float64Var(&o.acrossMM, "across-error-mm", 0, "the datum line lies where X and Y say to plus or minus this, 95 %, mm")
	f.Float64Var(&o.turnDeg, "turn-error-deg", 0, "where the edges do not tell it, the board lies straight to plus or minus this, 95 %, degrees")
	f.Float64Var(&o.widthMM, "width-error-mm", 0, "where one long edge was touched, the board is as wide as the job says to plus or minus this, 95 %, mm")
	return cmd
}

// mostTurnDeg is the largest turn that counts as a board put back, as for datum.
const mostTurnDeg = 10.0

// zeroLong lists the ways of finding zero behind the help.
func zeroLong() string {
	var ways strings.Builder
	for _, m := range measure.ZeroMethods() {
		fmt.Fprintf(&ways, "  %-12s %4s mm  %s\n", m.Name, fixed(m.HalfMM, 2), m.How)
	}
	return `Finds zero from touches. TOUCHES is a CSV with the header kind,x_mm,y_mm or, when the
top was touched, kind,x_mm,y_mm,z_mm,feeler_mm (or all in inches). "kind" is rim (three
or more points round a hole, a dot or a pin), left, right or start (the board's edges),
or top (Z of the tip, over paper or a feeler of the given thickness; x and y tell where
on the crown). The coordinates are those that the machine shows. A rim alone needs no job.

Ways of finding zero, and how well each does per axis (plus or minus, 95 %); the job's
machine.zero names one, and the error budget counts it:
` + ways.String() + `(Common practice, no source: your own figure is better.)

Exit status 1, and nothing to type, when a touch is an outlier, lies off the others by
more than the job's accuracy, or when zero is known no better than that; 2 bad input.`
}

func runZero(s streams, o zeroOptions) error {
	more := lengths{
		"--diameter-mm": o.diameterMM, "--tip-mm": o.tipMM, "--ball-mm": o.ballMM,
		"--feeler-error-mm": o.feelerMM, "--across-error-mm": o.acrossMM, "--width-error-mm": o.widthMM,
	}
	return o.run(s, more, measure.ReadTouches, func(m measured) (answer, error) { return judgeZero(m, o) })
}

// judgeZero finds zero from whatever was touched.
func judgeZero(m measured, o zeroOptions) (answer, error) {
	touched := map[string]bool{}
	for _, t := range m.readings {
		touched[t.On] = true
	}
	edges := touched[measure.OnLeft] || touched[measure.OnRight] || touched[measure.OnStart]
	switch {
	case !(o.turnDeg >= 0 && o.turnDeg <= mostTurnDeg):
		return nil, &usageError{fmt.Sprintf("--turn-error-deg %g: want degrees, 0 to %g", o.turnDeg, mostTurnDeg)}
	case o.tipMM > 0 && o.ballMM > 0:
		return nil, &usageError{"--tip-mm and --ball-mm: the tip is flat or a ball, not both"}
	case m.job == nil && (o.at != "" || edges || touched[measure.OnTop]):
		return nil, &usageError{"zero wants the job file for --at, edges and top: --job JOB"}
	case o.at != "" && !touched[measure.OnRim]:
		return nil, &usageError{fmt.Sprintf("--at %q: no rim was touched", o.at)}
	}
	spec := m.spec
	spec.Outside, spec.DiameterMM, spec.FlatMM, spec.BallMM = o.outside, o.diameterMM, o.tipMM, o.ballMM
	spec.FeelerErrorMM, spec.AcrossErrorMM, spec.WidthErrorMM, spec.TurnErrorRad = o.feelerMM, o.acrossMM, o.widthMM, o.turnDeg*math.Pi/180
	z := &zeroAnswer{Ways: measure.ZeroMethods()}
	if m.job != nil {
		z.Title = m.job.Title
	}
	var bad []error
	if touched[measure.OnRim] {
		rim, err := zeroRim(m, spec, o.at)
		z.Rim, bad = rim, append(bad, err)
	}
	if edges {
		sides, err := zeroEdges(m, spec)
		z.Edges, bad = sides, append(bad, err)
	}
	if touched[measure.OnTop] {
		top, err := zeroTop(m, spec)
		z.Top, bad = top, append(bad, err)
	}
	if err := allOf(bad...); err != nil {
		return nil, err
	}
	z.Holds = true
	for _, p := range z.parts() {
		z.Holds = z.Holds && p.doubt == ""
	}
	return z, nil
}

// zeroAnswer is what zero tells; what was not touched, or is not known, is absent. Its keys
// are read by other programs.
type zeroAnswer struct {
	Title string               `json:"title,omitempty"`
	Holds bool                 `json:"holds_good"`
	Rim   *rimAnswer           `json:"rim,omitempty"`
	Edges *edgesAnswer         `json:"edges,omitempty"`
	Top   *topAnswer           `json:"top,omitempty"`
	Ways  []measure.ZeroMethod `json:"ways"`
}

func (z *zeroAnswer) holds() bool   { return z.Holds }
func (z *zeroAnswer) document() any { return z }

// parts lists what was touched.
func (z *zeroAnswer) parts() (out []*zeroPart) {
	if z.Rim != nil {
		out = append(out, &z.Rim.zeroPart)
	}
	if z.Edges != nil {
		out = append(out, &z.Edges.zeroPart)
	}
	if z.Top != nil {
		out = append(out, &z.Top.zeroPart)
	}
	return out
}

func (z *zeroAnswer) writeText(w io.Writer) {
	if z.Title != "" {
		fmt.Fprintf(w, "%s: zero\n\n", z.Title)
	}
	for _, p := range z.parts() {
		p.write(w)
	}
	fmt.Fprintln(w, "P1 is the work offset G54; where the touches were read in another one, its number.")
	if z.Rim != nil || z.Edges != nil {
		fmt.Fprintln(w, "A zero does not turn the board: whether it lies parallel is for  reseat datum.")
	}
}

// zeroPart is what one kind of touch comes to.
type zeroPart struct {
	Type    string `json:"type,omitempty"` // the command for the operator; absent when in doubt
	Notes   notes  `json:"notes"`
	head    string
	figures *table
	doubt   string // why nothing is to be typed; "": nothing
	drive   string // where to go before it is typed
	chart   residualChart
}

func newZeroPart(head string) zeroPart {
	return zeroPart{head: head, Notes: notes{}, figures: newTable("", ">value", ">+-", "unit", "")}
}

// command offers what to type, unless there is doubt: a reason of its own, or an interval
// wider than the job's accuracy or not known. Without a job there is nothing to hold it
// against.
func (p *zeroPart) command(j *job.Job, what, own string, half *float64, drive, command string) {
	p.drive = drive
	switch {
	case own != "":
		p.doubt = own
	case j != nil && half == nil:
		p.doubt = noBasis
	case j != nil && *half > j.AccuracyMM:
		p.doubt = fmt.Sprintf("%s is known to +-%s mm only, and the job wants %s mm: touch more places, and those there are again.",
			what, fixed(*half, 3), num(j.AccuracyMM, 3))
	default:
		p.Type = command
	}
}

func (p *zeroPart) add(what string, v float64, half *float64, n int, unit, says string) {
	p.figures.add(what, fixed(v, n), halfText(half, n), unit, says)
}

func (p *zeroPart) write(w io.Writer) {
	fmt.Fprintln(w, p.head)
	p.figures.write(w, "  ")
	fmt.Fprintln(w)
	if !writeDoubt(w, p.doubt) {
		fmt.Fprintf(w, "%s and type\n  %s\n\n", p.drive, p.Type)
	}
	p.Notes.write(w)
	p.chart.write(w)
	fmt.Fprintln(w)
}
