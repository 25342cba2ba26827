package cli

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"reseat/jig"
	"reseat/jig/job"
	"reseat/jig/measure"
)

type datumOptions struct {
	measureFlags
	readings    string
	job         string
	toleranceMM float64
	pinMM       float64
	svg         string
	json        bool
}

func newDatumCmd(s streams) *cobra.Command {
	var o datumOptions
	cmd := &cobra.Command{
		Use:   "datum READINGS --job JOB",
		Short: "Does the board's datum line run parallel to the machine axis?",
		Long: `Reads points measured on the machine and tells whether the board's datum line runs
parallel to the axis, how sure that is, and which end to tap which way. READINGS is a
CSV with the header on,x_mm,y_mm ("on" is datum, left or right, the coordinates are
the machine's) or on,station_mm,dial_mm for a dial run along an edge; x_in, y_in,
station_in and dial_in are inches. Points on an edge have the board's taper taken out.

parallel: the whole interval lies within the tolerance; not parallel: all of it lies
outside; otherwise it cannot tell. Exit status 0 parallel, 1 otherwise, 2 bad input.`,
		Example: `  # points along both edges
  $ reseat datum testdata/readings/bouzouki-askew.csv --job testdata/jobs/bouzouki-fingerboard.yaml

  # touched with a 3 mm probe, held to 0.05 mm over the board, with a picture
  $ reseat datum readings.csv --job fingerboard.yaml --probe-mm 3 --tolerance-mm 0.05 --svg chart.svg

  # two points only: say how good one reading is
  $ reseat datum two.csv --job fingerboard.yaml --error-mm 0.02`,
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
	cmd.Flags().Float64Var(&o.toleranceMM, "tolerance-mm", 0, "largest runout over the board's length, mm (default: what the job's accuracy leaves beside the zero and the next cut)")
	cmd.Flags().Float64Var(&o.pinMM, "pin-mm", 0, "station of the pin where the board is tapped, mm (default: the last pin of the design, or the far end)")
	cmd.Flags().StringVar(&o.svg, "svg", "", "also draw the chart into this file, which must not exist yet")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the report as JSON")
	o.add(cmd)
	return cmd
}

// datumJob is what the report needs beside its figures.
type datumJob struct {
	title         string
	lengthMM      float64
	toleranceFrom string
	pin           lastPin
}

func runDatum(s streams, o datumOptions) error {
	p, err := o.precision(flagLength{"--tolerance-mm", o.toleranceMM}, flagLength{"--pin-mm", o.pinMM})
	if err != nil {
		return err
	}
	j, err := job.Read(o.job)
	if err != nil {
		return err
	}
	data, err := readRegular(o.readings, mostReadings)
	if err != nil {
		return err
	}
	readings, err := measure.ReadReadings(o.readings, data)
	if err != nil {
		return err
	}
	from := datumJob{title: j.Title, lengthMM: j.Board.LengthMM, toleranceFrom: "--tolerance-mm"}
	if o.toleranceMM == 0 {
		o.toleranceMM, from.toleranceFrom = jig.DatumToleranceMM(j), "what the job's accuracy leaves beside zero and next cut"
	}
	if from.pin = (lastPin{stationMM: o.pinMM, from: "--pin-mm"}); o.pinMM == 0 {
		from.pin = lastPinOf(j)
	}
	rep, err := measure.CheckDatum(readings, measure.DatumSpec{
		LengthMM: j.Board.LengthMM, WidthStartMM: j.Board.WidthStartMM, WidthEndMM: j.Board.WidthEndMM,
		ToMachine: jig.FrameOf(j).ToMachine, ToleranceMM: o.toleranceMM, ProbeRadiusMM: o.probeMM / 2,
		PinStationMM: from.pin.stationMM, Precision: p,
	})
	if err != nil {
		return err
	}
	if o.svg != "" {
		if err := writePicture(o.svg, drawDatum(from, rep)); err != nil {
			return err
		}
	}
	if o.json {
		err = writeDatumJSON(s.out, from, rep)
	} else {
		var text bytes.Buffer // one write: a terminal shows it at once
		writeDatum(&text, from, rep)
		if o.svg != "" {
			fmt.Fprintf(&text, "\nwrote %s\n", o.svg)
		}
		_, err = text.WriteTo(s.out)
	}
	if err == nil && rep.Verdict != measure.Parallel {
		err = errFails
	}
	return err
}
