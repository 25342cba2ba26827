package measuring

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/reading"
	"reseat/jig/setup"
)

type locateOptions struct {
	measureOptions
	at       string
	anyAngle bool
}

func NewLocate(s command.Streams) *cobra.Command {
	var o locateOptions
	cmd := o.command(&cobra.Command{
		Use:   "locate READINGS --job JOB",
		Short: "Locate the board: best fit to measured features, pins and edges",
		Long: `Fits the drawn board to the measured points, by turn and shift alone. Tells where
zero lies, what to type at the machine, and the pose for the program.
READINGS is a CSV with the header name,x_mm,y_mm (or x_in,y_in): "name" is a
feature of the job, a pin of its design (P1, P2 ...), or left, right or start
for a point touched along that edge. The coordinates are those that the machine
shows in the work offset that the program will run in. Two marks fix the board,
or one mark and an edge at both ends. The answer is good only where it does not
hang on a single reading: measure four or five marks spread over the board.
Otherwise it tells which mark to add, and what that gains.

--side under is for a part that is turned over: features are those of the
underside, left and right stay the board's own as seen on its top, and a pin's
name stands for its hole in the part, which has turned over with it.

Exit status 1, and nothing to type, when a reading is an outlier, when the
readings fit worse than the job's accuracy, when a feature's place is not known
within what the accuracy leaves after the errors of both cuts, or
when a single wrong reading could put it outside; 2 bad input.`,
		Example: `  # five dots under a pointed cutter
  $ reseat locate testdata/readings/bouzouki-dots.csv \
      --job testdata/jobs/bouzouki-fingerboard.yaml

  # the pose for the program, and the zero set over dot 5
  $ reseat locate dots.csv --job fingerboard.yaml --at "dot 5" \
      --json > pose.json
  $ reseat pocket fingerboard.yaml --pose pose.json

  # what a touch probe's controller logged of the program that reseat touch
  # wrote
  $ reseat locate console.log --job fingerboard.yaml --plan touch-locate.csv`,
	}, "readings file", func() error { return runLocate(s, o) })
	cmd.Flags().StringVar(&o.at, "at", reading.OnStart, "feature or pin over which the zero is set; start: the "+
		"datum's start")
	cmd.Flags().BoolVar(&o.anyAngle, "any-angle", false, "take a board that is turned by more than ten degrees")
	return cmd
}

func runLocate(s command.Streams, o locateOptions) error {
	if o.job == "" {
		return command.Usage("locate wants the job file too: --job JOB")
	}
	return o.run(s, lengths{}, reading.Marks, func(m measured) (*answer, error) {
		marks, err := marksFor(m.job, m.up, o.at, m.readings)
		if err != nil {
			return nil, err
		}
		m.spec.Marks, m.spec.AnyAngle, m.spec.MarkErrorMM = marks.list, o.anyAngle, m.job.Machine.PositionMM
		m.spec.At = append([]geom.Vec{{}, marks.at}, featurePlaces(m.job, m.up)...)
		l, err := measure.Locate(m.readings, m.spec)
		if err == nil && l.RMSMM > m.job.AccuracyMM {
			err = m.otherFace(fmt.Errorf("the readings fit to %.3g mm only", l.RMSMM))
		} else if err != nil {
			err = cmp.Or(m.otherFace(err), err)
		}
		if err != nil {
			return nil, err
		}
		l.Hold.Places = l.Hold.Places[2:] // the features; the start and the chosen point need not come back
		return (&locateAnswer{o, m.job, m.up, marks.from, l, l.Hold.Guarded()}).answer(m), nil
	})
}

// otherFace is the error of marks that do not fit, with the word that they do with the other
// face up; nil when they do not.
func (m measured) otherFace(bad error) error {
	if m.job.Template.Flip == "none" {
		return nil
	}
	other := m.other()
	m.spec.ToMachine = ToFace(m.job, other)
	l, err := measure.Locate(m.readings, m.spec)
	if err != nil || l.RMSMM > m.job.AccuracyMM {
		return nil
	}
	return fmt.Errorf("%w; with the %s up they fit to %.3g mm: --side %s, or turn it over", bad, other.Name(), l.RMSMM,
		other)
}

// FeaturesOn are the features of the face that is up.
func FeaturesOn(j *job.Job, up setup.Face) []job.Feature {
	return slices.DeleteFunc(j.Board.AllFeatures(), func(f job.Feature) bool {
		return f.IsUnderside() != (up == setup.Under)
	})
}

// featurePlaces lists the places that must come back, in the board frame: the features of
// the face that is up, or the board's ends.
func featurePlaces(j *job.Job, up setup.Face) (at []geom.Vec) {
	for _, f := range FeaturesOn(j, up) {
		at = append(at, geom.Vec{X: f.UMM, Y: f.VMM})
	}
	if len(at) == 0 {
		at = []geom.Vec{{}, {X: j.Board.LengthMM}}
	}
	return at
}

// boardMarks are the places of the board that can be measured by name, board frame.
type boardMarks struct {
	list []measure.Mark
	at   geom.Vec // the chosen one
	pin  bool     // that is a pin, or its hole in the part
	from string   // what told the pins; "": none was asked for
}

// marksFor lists the features of the face that is up, and the pins of its design when a reading or the
// chosen point asks for one: working out the pattern takes longer than all the rest.
func marksFor(j *job.Job, up setup.Face, at string, readings []reading.Reading) (m boardMarks, err error) {
	for _, f := range FeaturesOn(j, up) {
		m.list = append(m.list, measure.Mark{Name: f.Name, At: geom.Vec{X: f.UMM, Y: f.VMM}})
	}
	other := map[string]job.Feature{} // those of the face that is down
	for _, f := range j.Board.AllFeatures() {
		if f.IsUnderside() != (up == setup.Under) {
			other[f.Name] = f
		}
	}
	for _, r := range readings {
		if f, is := other[r.On]; is {
			return m, fmt.Errorf("line %d: %s is on the %s, and the %s is up: --side %s, or another mark", r.Line, r.On,
				setup.Face(f.Side).Name(), up.Name(), f.Side)
		}
	}
	features := len(m.list)
	has := func(name string) bool { return m.index(name) >= 0 || reading.IsEdge(name) }
	if !has(at) || slices.ContainsFunc(readings, func(r reading.Reading) bool { return !has(r.On) }) {
		var pins []measure.Mark
		if pins, m.from, err = pinsOf(j); err != nil {
			return m, err
		}
		for _, p := range pins {
			if m.index(p.Name) < 0 { // a feature of that name is what the maker named
				m.list = append(m.list, p)
			}
		}
	}
	if i := m.index(at); i >= 0 {
		m.at, m.pin = m.list[i].At, i >= features
	} else if at != reading.OnStart {
		all := reading.OnStart
		for _, p := range m.list {
			all += ", " + p.Name
		}
		err = command.Usage("--at %q: there is no such feature or pin; want one of %s", at, all)
	}
	return m, err
}

func (m boardMarks) index(name string) int {
	return slices.IndexFunc(m.list, func(p measure.Mark) bool { return p.Name == name })
}
