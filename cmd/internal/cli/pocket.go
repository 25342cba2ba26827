package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"reseat/export"
	"reseat/export/gcode"
	"reseat/export/record"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
)

type pocketOptions struct {
	job, out, pose string
	step           int
	turnDeg        float64
	json           bool
}

func newPocketCmd(s streams) *cobra.Command {
	var o pocketOptions
	cmd := &cobra.Command{
		Use:   "pocket JOB",
		Short: "Bore the features again: the plan, and the program of one step",
		Long: `Plans the boring of every feature again: the finished diameter from the measured
inlays, the cuts that lead there from a first one under size, the depth on the crown,
what is left of inlay and board. Writes the program of one step; the next step bores
what came out too small, so that nothing ever comes out too large.

--pose takes what reseat locate --json wrote: the coordinates themselves are moved to
where the board was measured to lie; --turn-deg takes the angle alone that reseat datum
told. Without -o the program goes into the folder of the job's design, in the place of an
earlier one; a file that you made or changed is never replaced. Nothing is written when a
pin stands proud, the cutter would meet a pin or a plate, or the way is longer than the
machine's travel.`,
		Example: `  # the plan, and the first cut in testdata/jobs/bouzouki-fingerboard/pockets-1.nc
  $ reseat pocket testdata/jobs/bouzouki-fingerboard.yaml

  # the second step, where the board was measured to lie
  $ reseat pocket fingerboard.yaml --step 2 --pose pose.json -o second.nc`,
		Args: oneArg("job file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.job = args[0]
			return runPocket(s, o)
		},
	}
	cmd.Flags().IntVar(&o.step, "step", 1, "which cut, from 1: the first is under size")
	cmd.Flags().StringVar(&o.pose, "pose", "", "measured pose of the board, from reseat locate --json")
	cmd.Flags().Float64Var(&o.turnDeg, "turn-deg", 0,
		"turn about the datum's start, degrees counter-clockwise, as reseat datum tells it")
	cmd.MarkFlagsMutuallyExclusive("pose", "turn-deg")
	cmd.Flags().StringVarP(&o.out, "out", "o", "", "G-code file (default: pockets-STEP.nc in the job's folder)")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the program's holes and extents as JSON")
	return cmd
}

func runPocket(s streams, o pocketOptions) error {
	j, err := job.Read(o.job)
	if err != nil {
		return err
	}
	d, err := jig.Build(j)
	if err != nil {
		return err
	}
	if !(math.Abs(o.turnDeg) <= mostTurnDeg) {
		return &usageError{fmt.Sprintf("--turn-deg is %g; want at most %g degrees either way: a board that lies so far "+
			"off is laid again", o.turnDeg, mostTurnDeg)}
	}
	pose := geom.Rigid{Angle: o.turnDeg * math.Pi / 180}
	doubtful := false
	if o.pose != "" {
		p, err := readPose(o.pose)
		if err != nil {
			return err
		}
		if err := p.of(o.pose, j); err != nil {
			return err
		}
		pose, doubtful = p.Move(), !p.HoldsGood
	}
	prog, unsafe, err := jig.PocketProgram(j, d, o.step, pose)
	if err != nil {
		return err
	}
	prog.Path.File = fmt.Sprintf("pockets-%d.nc", o.step)
	out := filepath.Join(defaultDir(o.job), prog.Path.File)
	if o.out != "" {
		out, prog.Path.File = o.out, filepath.Base(o.out)
	}
	if len(unsafe) > 0 {
		for _, r := range unsafe {
			fmt.Fprintf(s.err, "reseat: %s is not written: %s\n", out, at(d, r)+r.Says)
		}
		return errFails
	}
	write := func(w io.Writer) error { return gcode.Write(w, prog.Path, gcode.Dialect(prog.Dialect)) }
	if o.out == "" {
		err = writeBeside(out, write)
	} else if !export.Holds(o.out, write) {
		err = export.WriteNewFunc(o.out, write)
	}
	if err != nil {
		return err
	}
	*s.wrote = true
	if o.json {
		data, err := record.ProgramJSON(prog)
		if err != nil {
			return err
		}
		if _, err := s.out.Write(data); err != nil {
			return err
		}
		return pocketVerdict(d)
	}
	writePocketPlan(s.out, d, o.step)
	if j.Template.Flip != "none" {
		fmt.Fprintf(s.out, "%s\n\n", jig.TopUp)
	}
	writeDryRun(s.out, prog)
	writeHoldDown(s.out, d)
	if o.pose != "" || o.turnDeg != 0 {
		fmt.Fprintf(s.out, "moved by the measured pose: %s degrees, X %s, Y %s mm at the zero\n",
			signedDegrees(pose.Angle), signed(pose.Shift.X), signed(pose.Shift.Y))
		if doubtful {
			fmt.Fprintln(s.out, "that pose is not known to the accuracy of the job: measure again before you cut")
		}
	}
	fmt.Fprintf(s.out, "written to %s\n\n%s\n", out, cuttingCaution)
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
	"keep hands clear while the spindle turns; the machine's manual, local rules and trained people come before this file."

// signedDegrees writes an angle in degrees with its sign.
func signedDegrees(rad float64) string { return fmt.Sprintf("%+.4f", rad*180/math.Pi) }

// pocketVerdict is the exit status of the rules that the pockets are held against; those on
// safety have let the program be written.
func pocketVerdict(d *jig.Design) error {
	for _, r := range d.Rules {
		if r.Level == jig.Fail && strings.HasPrefix(r.ID, "pocket") {
			return errFails
		}
	}
	return nil
}

// writePocketPlan prints how each feature is bored.
func writePocketPlan(w io.Writer, d *jig.Design, step int) {
	k := d.Pockets
	fmt.Fprintf(w, "%s: features bored again with a cutter of %s mm, mm\n", d.Title, num(k.CutterMM, 3))
	tab := newTable("feature", ">u", ">v", ">this cut", ">finished", "steps", ">helix r", ">depth", ">proud",
		">inlay left", ">board left")
	for _, p := range k.Plan.Pockets {
		now, helix := "done", ""
		if step <= len(p.Cuts) {
			c := p.Cuts[step-1]
			now, helix = fixed(c.BoreMM, 3), fixed(c.HelixMM, 3)
		}
		proud, left := "", ""
		if p.Seat.HasInlay {
			proud, left = fixed(p.Seat.LeastProudMM, 2), fixed(p.Seat.LeftMM, 2)
		}
		tab.add(p.Name, fixed(p.UMM, 2), fixed(p.VMM, 2), now, fixed(p.Size.BoreMM, 3),
			fmt.Sprintf("%d of %d", min(step, len(p.Cuts)), len(p.Cuts)), helix,
			fixed(p.Seat.DepthMM, 3), proud, left, fixed(p.Seat.UnderMM, 2))
	}
	tab.write(w, "  ")
	fmt.Fprintln(w, "  depth counts from the board's face on the datum line; "+
		"proud and inlay left are the least over the whole disc")
	if z := k.Plan.Pockets[0].Size; z.Inlays > 0 { // the features of one batch are told once
		fmt.Fprintf(w, "  largest of %d inlays, %s mm, and a glue gap of %s mm\n", z.Inlays, fixed(z.LargestMM, 3),
			fixed(z.BoreMM-z.LargestMM, 3))
	}
	for _, f := range k.Plan.Findings {
		level := jig.Warn
		if f.Fails {
			level = jig.Fail
		}
		fmt.Fprintf(w, "%s  %s\n", level, f.Says)
	}
	fmt.Fprintln(w)
}
