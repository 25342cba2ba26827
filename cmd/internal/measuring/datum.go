package measuring

import (
	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/measure"
	"reseat/jig/verdict"
)

type datumOptions struct {
	measureOptions
	toleranceMM, pinMM float64
}

func NewDatum(s command.Streams) *cobra.Command {
	var o datumOptions
	cmd := o.command(&cobra.Command{
		Use:   "datum READINGS --job JOB",
		Short: "Check that the board's datum line runs parallel to the machine axis",
		Long: `Reads points measured on the machine and reports whether the board's datum line is
parallel to the axis, with its uncertainty, and which end to tap which way. READINGS is a
CSV with the header on,x_mm,y_mm ("on" is datum, left or right, the coordinates are
the machine's) or on,station_mm,dial_mm for a dial run along an edge; x_in, y_in,
station_in and dial_in are inches. Points on an edge have the board's taper taken out. With
--side under the edges are still the board's own left and right, as seen on its top.

good: the whole interval lies within the tolerance; out of tolerance: all of it lies
outside; outlier: a reading does not belong; otherwise inconclusive. Exit status 0 good,
1 otherwise, 2 bad input.`,
		Example: `  # points along both edges
  $ reseat datum testdata/readings/bouzouki-askew.csv --job testdata/jobs/bouzouki-fingerboard.yaml

  # touched with a 3 mm probe, held to 0.05 mm over the board, with a picture
  $ reseat datum readings.csv --job fingerboard.yaml --probe-mm 3 --tolerance-mm 0.05 --svg chart.svg

  # two points only: state how well one reading repeats
  $ reseat datum two.csv --job fingerboard.yaml --error-mm 0.02`,
	}, "readings file", func() error { return runDatum(s, o) })
	cmd.Flags().Float64Var(&o.toleranceMM, "tolerance-mm", 0, "largest runout over the board's length, mm (default: "+
		"what the job's accuracy leaves beside the zero and the next cut)")
	cmd.Flags().Float64Var(&o.pinMM, "pin-mm", 0, "station of the pin where the board is tapped, mm (default: the "+
		"design's last pin)")
	cmd.Flags().StringVar(&o.svg, "svg", "", "also draw the chart into this file, which must not exist yet")
	return cmd
}

func runDatum(s command.Streams, o datumOptions) error {
	if o.job == "" {
		return command.Usage("datum wants the job file too: --job JOB")
	}
	more := lengths{"--tolerance-mm": o.toleranceMM, "--pin-mm": o.pinMM}
	return o.run(s, more, measure.ReadDatum, func(m measured) (*answer, error) {
		d := &datumAnswer{Title: m.job.Title, ToleranceFrom: "--tolerance-mm", lengthMM: m.spec.LengthMM}
		if m.spec.ToleranceMM = o.toleranceMM; o.toleranceMM == 0 {
			m.spec.ToleranceMM, d.ToleranceFrom = jig.DatumToleranceMM(m.job),
				"what the job's accuracy leaves beside zero and both cuts' own moves"
		}
		var err error
		if d.DatumReport, err = measure.CheckDatum(m.readings, m.spec); err != nil {
			return nil, err
		}
		if d.Judgement.Verdict != verdict.Good {
			pin := lastPin{stationMM: o.pinMM, from: "--pin-mm"}
			if o.pinMM == 0 {
				pin = lastPinOf(m.job, m.up)
			}
			d.tapAt(pin)
		}
		return d.answer(m), nil
	})
}
