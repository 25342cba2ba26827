package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"reseat/dowel"
	"reseat/fit"
)

type reamOptions struct {
	spec     fit.Spec
	inch     bool
	material string
	json     bool
}

func newReamCmd(s streams) *cobra.Command {
	var o reamOptions
	cmd := &cobra.Command{
		Use:   "ream SIZE CLASS [--in MATERIAL]",
		Short: "Reamer limits, what to drill before, and the nearest drills",
		Long: `Gives the limits of the reamer that makes a hole class (DIN 1420), which reamer to
buy, the stock to leave for it and the drills that leave it. Without --in the
handbook's stock for steel is taken.`,
		Example: `  # a reamed hole for a ground pin in aluminium
  $ reseat ream 6 H7 --in aluminium

  # a larger hole for an m6 pin, for another program
  $ reseat ream 6 E8 --in "cast acrylic" --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			spec, text, err := sizeAndClass(cmd, args)
			if err != nil {
				return err
			}
			if spec.Hole != nil && spec.Shaft != nil {
				return &usageError{fmt.Sprintf("ream wants the class of the hole alone: %s", fit.Spec{SizeMM: spec.SizeMM, Hole: spec.Hole})}
			}
			o.spec, o.inch = spec, saysInch(text)
			return runReam(s, o)
		},
	}
	cmd.Flags().StringVar(&o.material, "in", "steel", "material of the plate")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the figures as JSON")
	cmd.SetFlagErrorFunc(negativeSize)
	offer(cmd, "in", materials)
	return cmd
}

// Where the figures come from, as they are named to people.
const (
	sourceLimits = "ISO 286-1:2010"
	sourceReamer = "DIN 1420: 0.15 IT below the greatest hole, 0.35 IT wide, rounded up to 1 µm"
	sourceMetric = "BS 328 metric series, testdata/reference/drills_metric.csv"
	sourceInch   = "number, letter and fraction drills, testdata/reference/drills_inch.csv"
)

func runReam(s streams, o reamOptions) error {
	class := o.spec.Hole
	if class == nil {
		class = o.spec.Shaft
	}
	size := o.spec.SizeMM
	reamer, err := dowel.Reamer(size, *class)
	if err != nil {
		return err
	}
	l, err := fit.ClassLimits(size, *class)
	if err != nil {
		return err
	}
	low, high := size+l.Lower/1000, size+l.Upper/1000
	pre, err := dowel.PreReam(low, o.material)
	if err != nil {
		return err
	}
	if o.json {
		return writeReamJSON(s.out, o, low, high, reamer, pre)
	}
	writeReam(s.out, o, low, high, reamer, pre)
	return nil
}

func writeReam(w io.Writer, o reamOptions, low, high float64, reamer dowel.ReamerLimits, pre dowel.PreReamSize) {
	fmt.Fprintf(w, "%s %s reamed in %s\n\n", sizeName(o.spec.SizeMM, o.inch), reamer.Class, takenAs(o.material))
	tab := newTable("", "", "from")
	tab.add("hole", limit(low)+" to "+limit(high)+" mm", sourceLimits)
	tab.add("reamer", limit(reamer.MinMM)+" to "+limit(reamer.MaxMM)+" mm", sourceReamer)
	for i, b := range reamer.Buy {
		head := "buy"
		if i > 0 {
			head = "or"
		}
		tab.add(head, b, "")
	}
	tab.add("stock", num(pre.LowMM, 3)+" to "+num(pre.HighMM, 3)+" mm on the diameter", pre.Source)
	tab.add("drill", "under "+fixed(drillUnder(low, pre), 2)+" mm", "least hole less stock and 0.05 mm that a drill cuts over")
	tab.add("  metric", drillName(pre.Metric), sourceMetric)
	tab.add("  inch", drillName(pre.Inch), sourceInch)
	tab.write(w, "  ")
}

// drillUnder is the size that a drill must stay below to leave the lesser stock.
func drillUnder(low float64, pre dowel.PreReamSize) float64 { return low - pre.LowMM - drillOverMM }

// drillOverMM is how much a drill cuts over its size
// (testdata/reference/reaming_stock.csv), as the library has it.
const drillOverMM = 0.05

func drillName(d *dowel.DrillSize) string {
	if d == nil {
		return "none so small"
	}
	return d.String()
}

// takenAs names a material, and its family where that says more.
func takenAs(material string) string {
	if f := string(fit.FamilyOf(material)); f != material {
		return fmt.Sprintf("%s (taken as %s)", material, f)
	}
	return material
}

type drillJSON struct {
	Name       string  `json:"name"`
	DiameterMM float64 `json:"diameter_mm"`
	Inch       bool    `json:"inch"`
}

type reamerJSON struct {
	MinMM  float64  `json:"min_mm"`
	MaxMM  float64  `json:"max_mm"`
	Buy    []string `json:"buy"`
	Sold   bool     `json:"sold"`
	Source string   `json:"source"`
}

type preReamJSON struct {
	StockMinMM float64    `json:"stock_min_mm"`
	StockMaxMM float64    `json:"stock_max_mm"`
	Metric     *drillJSON `json:"drill_metric"`
	Inch       *drillJSON `json:"drill_inch"`
	Source     string     `json:"source"`
}

func reamerOut(r dowel.ReamerLimits) *reamerJSON {
	return &reamerJSON{clean(r.MinMM), clean(r.MaxMM), r.Buy, r.Sold, sourceReamer}
}

func preReamOut(p dowel.PreReamSize) *preReamJSON {
	drill := func(d *dowel.DrillSize) *drillJSON {
		if d == nil {
			return nil
		}
		return &drillJSON{d.Name, clean(d.DiameterMM), d.Inch}
	}
	return &preReamJSON{clean(p.LowMM), clean(p.HighMM), drill(p.Metric), drill(p.Inch), p.Source}
}

func writeReamJSON(w io.Writer, o reamOptions, low, high float64, reamer dowel.ReamerLimits, pre dowel.PreReamSize) error {
	type hole struct {
		Class  string  `json:"class"`
		MinMM  float64 `json:"min_mm"`
		MaxMM  float64 `json:"max_mm"`
		Source string  `json:"source"`
	}
	return writeJSON(w, struct {
		SizeMM   float64      `json:"size_mm"`
		Material string       `json:"material"`
		Family   fit.Family   `json:"family"`
		Hole     hole         `json:"hole"`
		Reamer   *reamerJSON  `json:"reamer"`
		PreReam  *preReamJSON `json:"pre_ream"`
	}{
		clean(o.spec.SizeMM), o.material, fit.FamilyOf(o.material),
		hole{reamer.Class, clean(low), clean(high), sourceLimits},
		reamerOut(reamer), preReamOut(pre),
	})
}
