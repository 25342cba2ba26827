package measuring

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig/measure"
	"reseat/jig/reading"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

type zeroOptions struct {
	measureOptions
	at                                                              string
	outside                                                         bool
	diameterMM, tipMM, ballMM, feelerMM, acrossMM, widthMM, turnDeg float64
}

func NewZero(s command.Streams) *cobra.Command {
	var o zeroOptions
	cmd := o.command(&cobra.Command{
		Use:   "zero TOUCHES",
		Short: "Find X, Y and Z zero from a hole, from the edges, on the top",
		Long:  zeroLong(),
		Example: `  # the centre of dot 7 from points on its rim, touched with a 2 mm probe
  $ reseat zero testdata/readings/bouzouki-rim.csv \
      --job testdata/jobs/bouzouki-fingerboard.yaml \
      --at "dot 7" --probe-mm 2

  # the board's edges: the datum's start from both long edges and the start end
  $ reseat zero testdata/readings/bouzouki-sides.csv \
      --job testdata/jobs/bouzouki-fingerboard.yaml --probe-mm 3

  # Z over a 0.1 mm feeler beside the datum line of a crowned board, with a 6 mm
  # cutter
  $ reseat zero testdata/readings/bouzouki-top.csv \
      --job testdata/jobs/bouzouki-fingerboard.yaml --tip-mm 6`,
	}, "file of touches", func() error { return runZero(s, o) })
	f := cmd.Flags()
	f.StringVar(&o.at, "at", "", "the feature or pin whose rim was touched; its drawn place is what is typed there")
	f.Float64Var(&o.diameterMM, "diameter-mm", 0, "drawn diameter of the rim, mm (default: of --at)")
	f.BoolVar(&o.outside, "outside", false, "the probe stood outside the rim: round a pin (taken as given for a pin of "+
		"the job)")
	f.Float64Var(&o.tipMM, "tip-mm", 0, "diameter of the flat tip that touched the top, mm; 0: a point")
	f.Float64Var(&o.ballMM, "ball-mm", 0, "diameter of the ball tip that touched the top, mm; 0: none")
	f.Float64Var(&o.feelerMM, "feeler-error-mm", 0, "the feeler, paper or touch plate is as thick as stated to plus "+
		"or minus this, 95 %, mm")
	f.Float64Var(&o.acrossMM, "across-error-mm", 0, "the datum line lies where X and Y say to plus or minus this, 95 "+
		"%, mm")
	f.Float64Var(&o.turnDeg, "turn-error-deg", 0, "where the edges do not tell it, the board lies straight to plus or "+
		"minus this, 95 %, degrees")
	f.Float64Var(&o.widthMM, "width-error-mm", 0, "where one long edge was touched, the board is as wide as the job "+
		"says to plus or minus this, 95 %, mm (default: the job's board.width_error)")
	return cmd
}

// MostTurnDeg is the largest turn that counts as a board put back, as for datum.
const MostTurnDeg = 10.0

// zeroLong lists the ways of finding zero behind the help.
func zeroLong() string {
	var ways strings.Builder
	for _, m := range measure.ZeroMethods() {
		fmt.Fprintf(&ways, "  %-12s %4s mm  %s\n", m.Name, units.Fixed(m.HalfMM, 2), m.How)
	}
	return `Finds zero from touches. TOUCHES is a CSV with the header kind,x_mm,y_mm or,
when the top was touched, kind,x_mm,y_mm,z_mm,feeler_mm (or all in inches).
"kind" is rim (three or more points round a hole, a dot or a pin), left, right
or start (the board's edges), or top (Z of the tip, over paper or a feeler of
the given thickness; x and y tell where on the crown). The coordinates are those
that the machine shows. A rim alone needs no job. With --side under "top" is the
underside, left and right stay the board's own as seen on its top, and a pin is
where it stands in the bed: it does not turn over with the part.

Ways of finding zero, and the error of each per axis (plus or minus, 95 %); the
job's machine.zero names one, and the error budget counts it:
` + ways.String() + `(Common practice, no source: your own figure is better.)

Touch more than is just enough, so that a wrong touch shows: the top at three
places or more along the board, a rim at five or six, every edge at one place
more than it needs.

Exit status 1, and nothing to type, when a touch is an outlier or a wrong one
would not show, when a slope or a bow puts a feature off by more than the job's
accuracy, or when zero is known less well than the accuracy wants; 2 bad input.`
}

func runZero(s command.Streams, o zeroOptions) error {
	more := lengths{
		"--diameter-mm": o.diameterMM, "--tip-mm": o.tipMM, "--ball-mm": o.ballMM,
		"--feeler-error-mm": o.feelerMM, "--across-error-mm": o.acrossMM, "--width-error-mm": o.widthMM,
	}
	return o.run(s, more, reading.Touches, func(m measured) (*answer, error) { return judgeZero(m, o) })
}

// zeroDocument is what zero tells other programs; what was not touched, or is not known,
// is absent.
type zeroDocument struct {
	Title string `json:"title,omitempty"`
	judged
	Rim   *rimDocument         `json:"rim,omitempty"`
	Edges *edgesDocument       `json:"edges,omitempty"`
	Top   *topDocument         `json:"top,omitempty"`
	Ways  []measure.ZeroMethod `json:"ways"`
}

// typed is what to type at the machine, absent when in doubt, and what to know.
type typed struct {
	Type  string `json:"type,omitempty"`
	Notes notes  `json:"notes"`
}

// judgeZero finds zero from whatever was touched.
func judgeZero(m measured, o zeroOptions) (*answer, error) {
	touched := map[string]bool{}
	for _, t := range m.readings {
		touched[t.On] = true
	}
	if p := m.plan; p != nil {
		if p.Rim != "" { // a pin, which is touched from outside
			o.at, o.outside = cmp.Or(o.at, p.Rim), true
		}
		if p.ByProgram && o.tipMM == 0 {
			o.ballMM = cmp.Or(o.ballMM, p.ProbeMM)
		}
	}
	edges := touched[reading.OnLeft] || touched[reading.OnRight] || touched[reading.OnStart]
	switch {
	case !(o.turnDeg >= 0 && o.turnDeg <= MostTurnDeg):
		return nil, command.Usage("--turn-error-deg %g: want degrees, 0 to %g", o.turnDeg, MostTurnDeg)
	case o.tipMM > 0 && o.ballMM > 0:
		return nil, command.Usage("--tip-mm and --ball-mm: the tip is flat or a ball, not both")
	case m.job == nil && (o.at != "" || edges || touched[reading.OnTop]):
		return nil, command.Usage("zero wants the job file for --at, edges and top: --job JOB")
	case o.at != "" && !touched[reading.OnRim]:
		return nil, command.Usage("--at %q: no rim was touched", o.at)
	}
	spec := &m.spec
	spec.Outside, spec.DiameterMM, spec.FlatMM, spec.BallMM = o.outside, o.diameterMM, o.tipMM, o.ballMM
	spec.FeelerErrorMM, spec.AcrossErrorMM, spec.WidthErrorMM, spec.TurnErrorRad = o.feelerMM, o.acrossMM, o.widthMM,
		o.turnDeg*math.Pi/180
	if m.job != nil && spec.WidthErrorMM == 0 {
		spec.WidthErrorMM = m.job.Board.WidthErrorMM
	}
	doc := &zeroDocument{Ways: measure.ZeroMethods()}
	a := &answer{document: doc, foot: []string{workOffset}}
	if m.job != nil {
		doc.Title, a.title = m.job.Title, m.job.Title+", zero"
	}
	if touched[reading.OnRim] || edges {
		a.foot = append(a.foot, "A zero does not tell whether the board lies parallel: reseat datum does.")
	}
	var bad []error
	for _, kind := range []struct {
		touched bool
		judge   func(measured) (*part, error)
	}{
		{touched[reading.OnRim], func(m measured) (*part, error) { return doc.judgeRim(m, o.at) }},
		{edges, doc.judgeEdges}, {touched[reading.OnTop], doc.judgeTop},
	} {
		if !kind.touched {
			continue
		}
		p, err := kind.judge(m)
		if bad = append(bad, err); err == nil {
			a.parts = append(a.parts, p)
		}
	}
	a.judged = m.judged(a.parts...)
	doc.judged = a.judged
	return a, errors.Join(bad...)
}

// command offers what to type at a place when the verdict is good.
func (p *part) command(t *typed, v verdict.Verdict, drive, command string) {
	if p.verdicts = append(p.verdicts, v); v.IsGood() {
		t.Type, p.offer = command, []string{drive + " and type", "  " + command}
	}
	t.Notes = p.notes
}
