package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

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
	cmd.Flags().StringVar(&o.at, "at", measure.OnStart, "feature or pin over which the zero is set; start: the "+
		"datum's start")
	cmd.Flags().BoolVar(&o.anyAngle, "any-angle", false, "take a board that is turned by more than ten degrees")
	return cmd
}

func runLocate(s streams, o locateOptions) error {
	if o.job == "" {
		return &usageError{"locate wants the job file too: --job JOB"}
	}
	return o.run(s, lengths{}, measure.ReadMarks, func(m measured) (*answer, error) {
		names := []string{o.at}
		for _, r := range m.readings {
			names = append(names, r.On)
		}
		marks, from, err := marksFor(m.job, names)
		if err != nil {
			return nil, err
		}
		at, err := marks.find(o.at)
		if err != nil {
			return nil, err
		}
		m.spec.Marks, m.spec.AnyAngle = marks, o.anyAngle
		m.spec.At = append([]geom.Vec{{}, at}, featurePlaces(m.job)...)
		l, err := measure.Locate(m.readings, m.spec)
		a := &locateAnswer{o, m.job, from, l}
		if err != nil {
			return nil, err
		}
		return a.answer(), nil
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
type boardMarks []measure.Mark

// marksFor lists the job's features, and the pins of its design when a name asks for
// one, with what told the pins: working out the pattern takes longer than all the rest.
func marksFor(j *job.Job, names []string) (m boardMarks, from string, err error) {
	for _, f := range j.Board.AllFeatures() {
		m = append(m, measure.Mark{Name: f.Name, At: geom.Vec{X: f.UMM, Y: f.VMM}})
	}
	edges := []string{measure.OnLeft, measure.OnRight, measure.OnStart}
	has := func(n string) bool { return m.index(n) >= 0 || slices.Contains(edges, strings.ToLower(n)) }
	if !slices.ContainsFunc(names, func(n string) bool { return !has(n) }) {
		return m, "", nil
	}
	pins, from, err := pinsOf(j)
	for _, p := range pins {
		if m.index(p.Name) < 0 { // a feature of that name is what the maker named
			m = append(m, p)
		}
	}
	return m, from, err
}

func (m boardMarks) index(name string) int {
	return slices.IndexFunc(m, func(p measure.Mark) bool { return p.Name == name })
}

// find returns the place of a mark, or the datum's start.
func (m boardMarks) find(name string) (geom.Vec, error) {
	if i := m.index(name); i >= 0 {
		return m[i].At, nil
	}
	if name == measure.OnStart {
		return geom.Vec{}, nil
	}
	all := []string{measure.OnStart}
	for _, p := range m {
		all = append(all, p.Name)
	}
	return geom.Vec{}, &usageError{fmt.Sprintf("--at %q: there is no such feature or pin; want one of %s", name,
		strings.Join(all, ", "))}
}
