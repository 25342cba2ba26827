package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/measuring"
	"reseat/cmd/internal/report"
	"reseat/export"
	"reseat/export/gcode"
	"reseat/export/record"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/units"
)

type pocketOptions struct {
	job, out, pose, datum string
	side                  string
	step                  int
	turnDeg               float64
	turned, anyway, json  bool // turned: --turn-deg was given
}

func newPocketCmd(s command.Streams) *cobra.Command {
	var o pocketOptions
	cmd := &cobra.Command{
		Use:   "pocket JOB",
		Short: "Bore the features again: the plan, and the program of one step",
		Long: `Plans how every feature is bored again: the finished diameter from the measured inlays, the cuts that
lead to it from a first one under size, the depth on the crown, what is left of inlay and board. Writes the
program of one step. The next step bores what came out too small, so that nothing comes out too large.

--pose takes the file of reseat locate --json and moves the program to where the board was measured to lie.
--datum takes the file of reseat datum --json and turns the program by its angle alone: use it where the board's
place is right. Both are refused when their verdict is not good, when they are of another job file, and when the
program would leave the machine's travel. An angle typed with --turn-deg has no verdict and is always refused.
--anyway takes any of them: the program's head then repeats what speaks against it, and the exit status is 1.

Without -o the program goes into the folder of the job's design, in place of an earlier one. A file that you made
or changed is never replaced. Nothing is written when a pin stands proud, when the cutter does not reach or would
meet a pin or a plate, or when the program is longer than the machine's travel: these are rules of reseat design.`,
		Example: `  # the plan, and the first cut in the folder of the design: pockets-1.nc
  $ reseat pocket testdata/jobs/bouzouki-fingerboard.yaml

  # the underside, once the blank is turned over onto its pins
  $ reseat pocket testdata/jobs/neck-second-side.yaml --side under

  # the second step, where the board was measured to lie
  $ reseat pocket fingerboard.yaml --step 2 --pose pose.json -o second.nc`,
		Args: command.OneArg("job file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.job, o.turned = args[0], cmd.Flags().Changed("turn-deg")
			return runPocket(s, o)
		},
	}
	cmd.Flags().IntVar(&o.step, "step", 1, "which cut, from 1: the first is under size")
	cmd.Flags().StringVar(&o.pose, "pose", "", "measured pose of the board, from reseat locate --json")
	cmd.Flags().Float64Var(&o.turnDeg, "turn-deg", 0,
		"turn about the datum's start, degrees counter-clockwise, as reseat datum tells it")
	cmd.Flags().StringVar(&o.datum, "datum", "", "measured direction of the board, from reseat datum --json")
	cmd.Flags().BoolVar(&o.anyway, "anyway", false, "move the program although the measurement's verdict is not good")
	cmd.MarkFlagsMutuallyExclusive("pose", "turn-deg")
	cmd.MarkFlagsMutuallyExclusive("pose", "datum")
	cmd.Flags().StringVar(&o.side, "side", string(setup.Top),
		"the face that is up: top, or under once the part is turned "+
			"over")
	cmd.Flags().StringVarP(&o.out, "out", "o", "",
		"G-code file (default: pockets-STEP.nc or pockets-under-STEP.nc in the "+
			"job's folder)")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the program's holes and extents as JSON")
	return cmd
}

func runPocket(s command.Streams, o pocketOptions) error {
	j, up, err := measuring.ReadJob(o.job, o.side)
	if err != nil {
		return err
	}
	d, err := jig.Build(j)
	if err != nil {
		return err
	}
	move, err := o.move(j, up)
	if err != nil {
		return err
	}
	if len(move.Doubts) > 0 && !o.anyway {
		for _, why := range move.Doubts {
			fmt.Fprintln(s.Err, "reseat: nothing is written:", why)
		}
		fmt.Fprintln(s.Err, "Measure again; --anyway moves the program all the same, and its head then repeats this.")
		return command.ErrFails
	}
	prog, unsafe, err := jig.PocketProgram(j, d, up, o.step, move.Rigid)
	if errors.Is(err, program.ErrNothing) {
		report.PocketPlan(s.Out, d, d.PocketsOn(up), o.step)
		fmt.Fprintf(s.Out, "no program is written: %v\n", err)
		return pocketVerdict(d)
	}
	if err != nil {
		return err
	}
	prog.Path.Says = slices.Concat(moveWarning(move), prog.Path.Says)
	prog.Path.File = fmt.Sprintf("%s-%d.nc", strings.TrimSuffix(program.PocketsFile(up), ".nc"), o.step)
	out := filepath.Join(command.DefaultDir(o.job), prog.Path.File)
	if o.out != "" {
		out, prog.Path.File = o.out, filepath.Base(o.out)
	}
	if len(unsafe) > 0 {
		for _, r := range unsafe {
			fmt.Fprintf(s.Err, "reseat: %s is not written: %s\n", out, report.RemedyLine(d, r)+r.Says)
		}
		return command.ErrFails
	}
	write := func(w io.Writer) error { return gcode.Write(w, prog.Path, gcode.Dialect(prog.Dialect)) }
	if o.out == "" {
		err = writeBeside(out, write)
	} else if !export.FileEquals(o.out, write) {
		err = export.WriteNewFunc(o.out, write)
	}
	if err != nil {
		return err
	}
	*s.Wrote = true
	if o.json {
		data, err := record.ProgramJSON(prog)
		if err != nil {
			return err
		}
		if _, err := s.Out.Write(data); err != nil {
			return err
		}
		return verdictOf(d, move)
	}
	report.PocketPlan(s.Out, d, d.PocketsOn(up), o.step)
	if at, ok := setup.ForProgram(d.Setups, program.PocketsFile(up)); ok && j.Template.Flip != "none" {
		fmt.Fprintf(s.Out, "%s\n\n", at.Lies)
	}
	report.DryRun(s.Out, prog)
	report.PrintTape(s.Out, d)
	if move.Rigid != (geom.Rigid{}) {
		fmt.Fprintf(s.Out, "moved to where the board was measured to lie: %s degrees, X %s, Y %s mm at the zero\n",
			units.Signed(move.Angle*180/math.Pi, 4), units.Signed(move.Shift.X, 3), units.Signed(move.Shift.Y, 3))
		for _, line := range moveWarning(move) {
			fmt.Fprintln(s.Out, line)
		}
	}
	fmt.Fprintf(s.Out, "written to %s\n\n%s\n", out, cuttingCaution)
	return verdictOf(d, move)
}

// move is where the program was asked to be moved to.
func (o pocketOptions) move(j *job.Job, up setup.Face) (measuring.Move, error) {
	switch {
	case o.pose != "":
		return measuring.MoveByPose(o.pose, j, up)
	case o.turned:
		return measuring.MoveByTurn(o.datum, &o.turnDeg, j, up)
	case o.datum != "":
		return measuring.MoveByTurn(o.datum, nil, j, up)
	}
	return measuring.Move{}, nil
}

// moveWarning repeats what speaks against the move; none when nothing does.
func moveWarning(move measuring.Move) (says []string) {
	for _, why := range move.Doubts {
		says = append(says, "MOVED ANYWAY. "+why)
	}
	return says
}

// verdictOf is the exit status of a program that was written.
func verdictOf(d *jig.Design, move measuring.Move) error {
	if len(move.Doubts) > 0 {
		return command.ErrFails
	}
	return pocketVerdict(d)
}

// writeBeside writes a program into the folder of the job's design, in the place of an
// earlier one that nobody has edited.
func writeBeside(path string, write func(io.Writer) error) error {
	var b export.Bundle
	if err := b.AddFunc(filepath.Base(path), write); err != nil {
		return err
	}
	_, err := b.WriteBeside(filepath.Dir(path))
	return err
}

// cuttingCaution is told wherever a program is handed over.
const cuttingCaution = "Dry run first. Safety: wear eye, hearing and breathing protection, hold the work down, " +
	"keep hands clear while the spindle turns; the machine's manual, local rules and trained people come before this " +
	"file."

// pocketVerdict is the exit status of the rules that the pockets are held against; those on
// safety have let the program be written.
func pocketVerdict(d *jig.Design) error {
	for _, r := range d.Rules {
		if r.Level == jig.Fail && strings.HasPrefix(r.ID, "pocket") {
			return command.ErrFails
		}
	}
	return nil
}
