package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/jig"
	"reseat/jig/job"
	"reseat/jig/register"
)

type datumOptions struct {
	readings    string
	job         string
	toleranceMM float64
	probeMM     float64
	json        bool
}

func newDatumCmd(s streams) *cobra.Command {
	var o datumOptions
	cmd := &cobra.Command{
		Use:   "datum READINGS --job JOB",
		Short: "Does the board's datum line run parallel to the machine axis?",
		Long: `Reads points measured on the machine and tells how far the board's datum line is
from parallel, and which end to tap which way. READINGS is a CSV with the header
on,x_mm,y_mm: "on" is datum, left or right, the coordinates are the machine's.
Points on an edge have the board's taper taken out. Exit status 1 when the board
runs out by more than the tolerance.`,
		Example: `  # points along both edges
  $ reseat datum testdata/readings/bouzouki-askew.csv --job testdata/jobs/bouzouki-fingerboard.yaml

  # touched with a 3 mm probe, held to 0.05 mm over the board
  $ reseat datum readings.csv --job fingerboard.yaml --probe-mm 3 --tolerance-mm 0.05`,
		Args: oneArg("readings file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.readings = args[0]
			if o.job == "" {
				return &usageError{"datum wants the job file too: --job JOB"}
			}
			return runDatum(s, o)
		},
	}
	cmd.Flags().StringVar(&o.job, "job", "", "job file of the board")
	cmd.Flags().Float64Var(&o.toleranceMM, "tolerance-mm", 0, "largest runout over the board's length (default: the job's accuracy)")
	cmd.Flags().Float64Var(&o.probeMM, "probe-mm", 0, "diameter of the probe that touched the edges, mm")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the report as JSON")
	return cmd
}

func runDatum(s streams, o datumOptions) error {
	j, err := job.Read(o.job)
	if err != nil {
		return err
	}
	data, err := readSmall(o.readings)
	if err != nil {
		return err
	}
	readings, err := register.ReadReadings(o.readings, data)
	if err != nil {
		return err
	}
	spec, err := datumSpec(j, o)
	if err != nil {
		return err
	}
	rep, err := register.CheckDatum(readings, spec)
	if err != nil {
		return err
	}
	if o.json {
		err = writeDatumJSON(s.out, rep)
	} else {
		writeDatum(s.out, j, rep)
	}
	if err == nil && !rep.Pass {
		err = errFails
	}
	return err
}

func datumSpec(j *job.Job, o datumOptions) (register.DatumSpec, error) {
	for _, f := range []struct {
		name string
		v    float64
	}{{"--tolerance-mm", o.toleranceMM}, {"--probe-mm", o.probeMM}} {
		if math.IsNaN(f.v) || math.IsInf(f.v, 0) || f.v < 0 {
			return register.DatumSpec{}, &usageError{fmt.Sprintf("%s %g: want a length in mm, zero or more", f.name, f.v)}
		}
	}
	tol := o.toleranceMM
	if tol == 0 {
		tol = j.AccuracyMM
	}
	return register.DatumSpec{
		LengthMM: j.Board.LengthMM, WidthStartMM: j.Board.WidthStartMM, WidthEndMM: j.Board.WidthEndMM,
		ToMachine: jig.FrameOf(j).ToMachine, ToleranceMM: tol, ProbeRadiusMM: o.probeMM / 2,
	}, nil
}

func writeDatum(w io.Writer, j *job.Job, r register.DatumReport) {
	verdict := "parallel"
	if !r.Pass {
		verdict = "NOT parallel"
	}
	var on []string
	for _, e := range r.UsedEdges {
		on = append(on, string(e))
	}
	fmt.Fprintf(w, "%s: %s\n\n", j.Title, verdict)
	tab := newTable("", ">value", "unit", "")
	deg := r.AngleRad * 180 / math.Pi
	tab.add("angle", fixed(deg, 4), "degrees", "counter-clockwise seen from above is positive")
	tab.add("runout", fixed(r.RunoutMM, 3), "mm", fmt.Sprintf("over the board's %s mm; tolerance %s", num(j.Board.LengthMM, 2), num(r.ToleranceMM, 3)))
	if u := r.Uncertainty; u != nil {
		tab.add("  give or take", fixed(u.RunoutHalfMM, 3), "mm", fmt.Sprintf("%.0f %% interval from the scatter of the readings", 100*u.Confidence))
	}
	tab.add("start off by", fixed(r.OffsetMM, 3), "mm", "to the left of X0 Y0 is positive")
	tab.add("scatter", fixed(r.RMSmm, 3), "mm", fmt.Sprintf("root mean square of %d readings on: %s", r.Points, strings.Join(on, ", ")))
	tab.write(w, "  ")
	fmt.Fprintf(w, "\n%s\n", r.Says)
	if !r.Pass {
		fmt.Fprintln(w, "Spindle off while you tap; measure again before you cut.")
	}
	fmt.Fprintln(w)
	res := newTable("line", "on", ">station", ">off by", "")
	scale := 0.0
	for _, x := range r.Residuals {
		scale = math.Max(scale, math.Abs(x.ResidualMM))
	}
	for _, x := range r.Residuals {
		res.add(fmt.Sprint(x.Line), string(x.On), fixed(x.StationMM, 1), fixed(x.ResidualMM, 3), stick(x.ResidualMM, scale))
	}
	res.write(w, "  ")
}

// stickHalf is the half width of a residual's bar in characters.
const stickHalf = 12

// stick draws a residual as a bar to the left or right of a centre line.
func stick(x, scale float64) string {
	n := 0
	if scale > 0 {
		n = int(math.Round(stickHalf * math.Abs(x) / scale))
	}
	if x < 0 {
		return strings.Repeat(" ", stickHalf-n) + strings.Repeat("#", n) + "|"
	}
	return strings.Repeat(" ", stickHalf) + "|" + strings.Repeat("#", n)
}

func writeDatumJSON(w io.Writer, r register.DatumReport) error {
	type tap struct {
		End       string  `json:"end"`
		Toward    string  `json:"toward"`
		Direction string  `json:"direction"`
		MM        float64 `json:"mm"`
	}
	type residual struct {
		Line       int     `json:"line"`
		On         string  `json:"on"`
		StationMM  float64 `json:"station_mm"`
		ResidualMM float64 `json:"residual_mm"`
	}
	out := struct {
		AngleRad    float64    `json:"angle_rad"`
		RunoutMM    float64    `json:"runout_mm"`
		ToleranceMM float64    `json:"tolerance_mm"`
		OffsetMM    float64    `json:"offset_mm"`
		Pass        bool       `json:"pass"`
		Points      int        `json:"points"`
		RMSmm       float64    `json:"rms_mm"`
		RunoutHalf  *float64   `json:"runout_interval_half_mm,omitempty"`
		Tap         tap        `json:"tap"`
		Other       tap        `json:"tap_other_end"`
		Residuals   []residual `json:"residuals"`
		Says        string     `json:"says"`
	}{
		AngleRad: r.AngleRad, RunoutMM: r.RunoutMM, ToleranceMM: r.ToleranceMM, OffsetMM: r.OffsetMM,
		Pass: r.Pass, Points: r.Points, RMSmm: r.RMSmm, Tap: tap(r.Tap), Other: tap(r.Other), Says: r.Says,
	}
	if r.Uncertainty != nil {
		out.RunoutHalf = &r.Uncertainty.RunoutHalfMM
	}
	for _, x := range r.Residuals {
		out.Residuals = append(out.Residuals, residual{x.Line, string(x.On), x.StationMM, x.ResidualMM})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}
