// Package touching is reseat touch, the verb that plans what datum, locate and zero are fed with.
package touching

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/measuring"
	"reseat/export"
	"reseat/export/gcode"
	"reseat/jig"
	"reseat/jig/job"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/touch"
)

type touchOptions struct {
	job, want, side, out string
	probe, json          bool
	probeMM              float64
	without              []string
}

// defaultProbeMM is a usual ball of a touch probe. Common practice, no source.
const defaultProbeMM = 2.0

// New plans what datum, locate and zero are to be fed with.
func New(s command.Streams) *cobra.Command {
	var o touchOptions
	cmd := &cobra.Command{
		Use:   "touch JOB --for datum|locate|zero",
		Short: "Plan the touches for datum, locate or zero; program a probe",
		Long: `Plans the touches that datum, locate or zero wants: where, from which side, and
what the machine should show. Names what cannot be reached, and what stands in the
way. The plan is a CSV whose last columns are empty: filled in, it is the
readings file of that command.

--probe also writes a program that touches all of it with a touch probe, each
place twice, fast and slowly. What the controller logs is then read as it is:
the console of a small controller with its [PRB:x,y,z:1] lines and the [G54:...]
that $# prints, or the file that PROBEOPEN made:

  reseat locate console.log --job JOB --plan plan.csv

Sides are touched with a ball, --probe-mm in diameter; by hand with an edge
finder of that diameter, and marks with a pointed cutter. Exit status 1 when too
little can be touched for a good answer; 2 bad input, nothing written.`,
		Example: `  # what to touch by hand to see whether the board lies parallel
  $ reseat touch testdata/jobs/dulcimer-inches.yaml --for datum

  # plan.csv, and plan.nc for a touch probe with a ball of 2 mm
  $ reseat touch testdata/jobs/bouzouki-fingerboard.yaml --for locate --probe \
      --probe-mm 2 -o plan.csv`,
		Args: command.OneArg("job file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.job = args[0]
			return runTouch(s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.want, "for", "", "datum, locate or zero: which command the touches are for")
	f.StringVar(&o.side, "side", string(setup.Top), "the face that is up: top, or under once the part is turned over")
	f.StringVarP(&o.out, "out", "o", "", "the plan's file (default: touch-datum.csv or the like in the job's folder)")
	f.BoolVar(&o.probe, "probe", false, "also write the program for a touch probe, beside the plan, ending in .nc")
	f.Float64Var(&o.probeMM, "probe-mm", defaultProbeMM, "diameter of the probe's ball or of the edge finder, mm")
	f.StringArrayVar(&o.without, "without", nil,
		"feature that is not to be touched: its inlay is in, its rim is gone; may "+
			"be given again")
	f.BoolVar(&o.json, "json", false, "print the plan as JSON")
	return cmd
}

// mostProbeMM is wider than any probe or edge finder.
const mostProbeMM = 20.0

func runTouch(s command.Streams, o touchOptions) error {
	want := touch.Purpose(o.want)
	if !slices.Contains([]touch.Purpose{touch.Datum, touch.Locate, touch.Zero}, want) {
		return command.Usage("--for %q: want datum, locate or zero", o.want)
	}
	if !(o.probeMM > 0 && o.probeMM <= mostProbeMM) {
		return command.Usage("--probe-mm %g: want the diameter of a probe's ball, above 0 and at most %g mm", o.probeMM,
			mostProbeMM)
	}
	j, up, err := measuring.ReadJob(o.job, o.side)
	if err != nil {
		return err
	}
	for _, name := range o.without {
		if !slices.ContainsFunc(measuring.FeaturesOn(j, up), func(f job.Feature) bool { return f.Name == name }) {
			return command.Usage("--without %q: there is no such feature on the %s", name, up.Name())
		}
	}
	d, err := jig.Judged(j)
	if err != nil {
		return err
	}
	plan, notes, enough, err := Plan(d, touch.Spec{
		Job: j, Up: up, For: want, ProbeMM: o.probeMM, ByProgram: o.probe, Without: o.without,
	})
	if err != nil {
		return err
	}
	files := []touchFile{{cmp.Or(o.out, filepath.Join(command.DefaultDir(o.job), "touch-"+o.want+".csv")), plan.Write}}
	if o.probe {
		g := plan.Program()
		if err := inTravel(j, g); err != nil {
			return err
		}
		nc := strings.TrimSuffix(files[0].path, filepath.Ext(files[0].path)) + ".nc"
		g.File, g.Title = filepath.Base(nc), j.Title+": touches for reseat "+o.want
		headed(&g, plan, seated(d.Setups, up))
		files = append(files, touchFile{nc, func(w io.Writer) error {
			return gcode.WriteTouches(w, g, probeLog(nc), gcode.Dialect(j.Cutting.Dialect))
		}})
	}
	if err := writeTouches(files, o.out == ""); err != nil {
		return err
	}
	*s.Wrote = true
	if o.json {
		err = command.WriteRecord(s.Out, plan)
	} else {
		tellPlan(s.Out, plan, j, notes, files)
	}
	if err == nil && !enough {
		err = command.ErrFails
	}
	return err
}

// Plan plans the touches of a design; what cannot be touched is told, and whether the rest gives a sure
// answer. The design is that of the specified job, and gives the seat and the board's place. The error
// is for too little that can be touched.
func Plan(d *jig.Design, spec touch.Spec) (plan touch.Plan, notes []string, enough bool, err error) {
	j := spec.Job
	spec.Seat, spec.Board, spec.Bow = seated(d.Setups, spec.Up), measuring.ToFace(j, spec.Up), program.BowOf(j)
	if plan, err = touch.NewPlan(spec); err != nil {
		return plan, nil, false, err
	}
	some, enough := plan.Answers()
	if notes = blockedText(plan); !enough {
		notes = append(notes, shortText(spec))
	}
	if !some {
		err = fmt.Errorf("%s: too little can be touched for %s: %s", j.File, spec.For, strings.Join(notes, " "))
	}
	return plan, notes, enough, err
}

// touchFile is a file that touch writes.
type touchFile struct {
	path  string
	write func(io.Writer) error
}

// writeTouches writes all files or none: into the folder of the job's design, in the place of
// earlier ones that nobody has filled in or edited, or as new files.
func writeTouches(files []touchFile, beside bool) error {
	var b export.Bundle
	for _, f := range files {
		if beside {
			if err := b.AddFunc(filepath.Base(f.path), f.write); err != nil {
				return err
			}
		} else if _, err := os.Lstat(f.path); err == nil && !export.FileEquals(f.path, f.write) {
			return export.WriteNewFunc(f.path, f.write) // which says so
		}
	}
	if beside {
		_, err := b.WriteBeside(filepath.Dir(files[0].path))
		return err
	}
	for _, f := range files {
		if !export.FileEquals(f.path, f.write) {
			if err := export.WriteNewFunc(f.path, f.write); err != nil {
				return err
			}
		}
	}
	return nil
}
