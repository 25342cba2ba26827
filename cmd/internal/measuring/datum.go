package measuring

import (
	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/measure"
	"reseat/jig/reading"
)

type datumOptions struct {
	measureOptions
	toleranceMM, pinMM, widthMM float64
}

// boardBowMM is how far a board of an instrument's length is bowed in its plane, its middle
// from the chord between its ends, plus or minus, 95 %, when it was planed against a straight
// fence. Common practice, no source.
const boardBowMM = 0.05

func NewDatum(s command.Streams) *cobra.Command {
	var o datumOptions
	var cmd *cobra.Command
	cmd = o.command(&cobra.Command{
		Use:   "datum READINGS --job JOB",
		Short: "Check that the datum line runs parallel to the machine's axis",
		Long: `Reads points measured on the machine and reports whether the board's datum line
is parallel to the axis and in its place, with the uncertainty of both, and what
to do: tap which end which way, push it over, or lift and seat it again.
READINGS is a CSV with the header on,x_mm,y_mm ("on" is datum, left or right,
the coordinates are the machine's) or on,station_mm,dial_mm for a dial indicator
run along an edge; x_in, y_in, station_in and dial_in are inches. The board's
taper is taken out of points on an edge. With --side under the edges are still
the board's own left and right, as seen on its top.

It gives two verdicts. Direction is the runout over the board's length. Place is
how far to the side the datum line lies, at the feature where that is most. Both
are held against what the job's accuracy leaves after the errors of zero, of the
first cut and of this one. When the place is good, the program may be turned
instead of the board (pocket --datum).

The intervals allow for a board bowed by 0.05 mm either way (common practice, no
source) where the readings do not tell its bow, for the error of the width when
one edge was read, and for neighbouring readings that err alike.

good: the whole interval lies within the tolerance; out of tolerance: all of it
lies outside; outlier: a reading contradicts the others; otherwise inconclusive. Exit
status 0 good, 1 otherwise, 2 bad input.`,
		Example: `  # points along both edges
  $ reseat datum testdata/readings/bouzouki-askew.csv \
      --job testdata/jobs/bouzouki-fingerboard.yaml

  # touched with a 3 mm probe, held to 0.05 mm over the board, with a picture
  $ reseat datum readings.csv --job fingerboard.yaml --probe-mm 3 \
      --tolerance-mm 0.05 --svg chart.svg

  # two points only: state how well one reading repeats
  $ reseat datum two.csv --job fingerboard.yaml --error-mm 0.02`,
	}, "readings file", func() error { return runDatum(s, o, cmd.Flags().Changed("width-error-mm")) })
	cmd.Flags().Float64Var(&o.toleranceMM, "tolerance-mm", 0, "largest runout over the board's length, mm (default: "+
		"what the job's accuracy leaves beside the zero and both cuts)")
	cmd.Flags().Float64Var(&o.pinMM, "pin-mm", 0, "station of the pin where the board is tapped, mm (default: the "+
		"design's last pin)")
	cmd.Flags().Float64Var(&o.widthMM, "width-error-mm", 0, "where one long edge was read, each end of the board is as "+
		"wide as the job says to plus or minus this, 95 %, mm (default: the job's board.width_error)")
	cmd.Flags().StringVar(&o.svg, "svg", "", "also draw the chart into this file, which must not exist yet")
	return cmd
}

func runDatum(s command.Streams, o datumOptions, widthStated bool) error {
	if o.job == "" {
		return command.Usage("datum wants the job file too: --job JOB")
	}
	more := lengths{"--tolerance-mm": o.toleranceMM, "--pin-mm": o.pinMM, "--width-error-mm": o.widthMM}
	return o.run(s, more, reading.Datum, func(m measured) (*answer, error) {
		d := &datumAnswer{Title: m.job.Title, ToleranceFrom: "--tolerance-mm", spec: m.spec, again: o.again}
		if d.spec.ToleranceMM = o.toleranceMM; o.toleranceMM == 0 {
			d.spec.ToleranceMM, d.ToleranceFrom = jig.DatumToleranceMM(m.job),
				"what the job's accuracy leaves beside the zero and both cuts"
		}
		if d.spec.WidthErrorMM = o.widthMM; !widthStated {
			d.spec.WidthErrorMM = m.job.Board.WidthErrorMM
		}
		d.spec.BowMM = boardBowMM
		for _, at := range featurePlaces(m.job, m.up) {
			d.spec.Stations = append(d.spec.Stations, at.X)
		}
		var err error
		if d.DatumReport, err = measure.CheckDatum(m.readings, d.spec); err != nil {
			return nil, err
		}
		d.judge(m, lastPin{stationMM: o.pinMM, from: "--pin-mm"})
		return d.answer(m), nil
	})
}
