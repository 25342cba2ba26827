package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/units"
)

func newReamCmd(s command.Streams) *cobra.Command {
	var material string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "ream SIZE CLASS [--in MATERIAL]",
		Short: "Reamer limits, what to drill before, and the nearest drills",
		Long: `Gives the limits of the reamer that makes a hole class (DIN 1420), which reamer
to buy, the stock to leave for it and the drills that leave it. Without --in the
handbook's stock for steel is taken.`,
		Example: `  # a reamed hole for a ground pin in aluminium
  $ reseat ream 6 H7 --in aluminium

  # a larger hole for an m6 pin, for another program
  $ reseat ream 6 E8 --in "cast acrylic" --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			spec, inch, err := sizeAndClass(cmd, args)
			if err != nil {
				return err
			}
			class := spec.Hole
			if class == nil {
				class = spec.Shaft // which Reamer refuses with the remedy
			} else if spec.Shaft != nil {
				return command.Usage("ream wants the class of the hole alone: %s",
					fit.Spec{SizeMM: spec.SizeMM, Hole: class})
			}
			r, err := reamingOf(spec.SizeMM, *class, material)
			if err != nil {
				return err
			}
			if asJSON {
				return command.WriteRecord(s.Out, r)
			}
			writeReaming(s.Out, r, inch)
			return nil
		},
	}
	cmd.Flags().StringVar(&material, "in", "steel", "material of the plate")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the figures as JSON")
	cmd.SetFlagErrorFunc(negativeSize)
	offer(cmd, "in", materials)
	return cmd
}

// reaming is everything about one reamed hole, with the keys that other programs read.
type reaming struct {
	SizeMM   float64            `json:"size_mm"`
	Material string             `json:"material"`
	Family   fit.Family         `json:"family"`
	Hole     reamedHole         `json:"hole"`
	Reamer   dowel.ReamerLimits `json:"reamer"`
	// ComesOut are the limits, 95 %, of the hole that the first of these reamers makes.
	ComesOut reamedHole        `json:"comes_out"`
	PreReam  dowel.PreReamSize `json:"pre_ream"`
}

type reamedHole struct {
	Class  string  `json:"class"`
	MinMM  float64 `json:"min_mm"`
	MaxMM  float64 `json:"max_mm"`
	Source string  `json:"source"`
}

func reamingOf(size float64, class fit.Class, material string) (reaming, error) {
	out := reaming{SizeMM: size, Material: material, Family: fit.FamilyOf(material)}
	l, err := fit.ClassLimits(size, class)
	if err != nil {
		return out, err
	}
	out.Hole = reamedHole{class.String(), size + l.Lower/1000, size + l.Upper/1000, "ISO 286-1:2010 (standard)"}
	if out.Reamer, err = dowel.Reamer(size, class); err != nil {
		return out, err
	}
	p, err := fit.DefaultProcess(fit.Ream, material, plateMM)
	if err != nil {
		return out, err
	}
	mean, sd := out.Reamer.Hole(p)
	spread := p.Assumed[0].Range
	out.ComesOut = reamedHole{class.String(), mean - sd*fit.Normal95, mean + sd*fit.Normal95,
		fmt.Sprintf("95 %%: the first reamer's limits and +-%s mm (%s: %s)", units.Decimal(p.Spread, 3), spread.Mark,
			spread.Source)}
	out.PreReam, err = dowel.PreReam(out.Hole.MinMM, material)
	return out, err
}

// plateMM is a thickness; reaming is taken alike in all of them.
const plateMM = 6

func writeReaming(w io.Writer, r reaming, inch bool) {
	pre := r.PreReam
	fmt.Fprintf(w, "%s %s reamed in %s\n\n", sizeName(r.SizeMM, inch), r.Hole.Class, takenAs(r.Material))
	tab := command.NewTable("", "", "from")
	tab.Add("hole", limits(r.Hole.MinMM, r.Hole.MaxMM), r.Hole.Source)
	tab.Add("reamer", limits(r.Reamer.MinMM, r.Reamer.MaxMM), r.Reamer.Source)
	addReamers(tab, "", r.Reamer.Buy)
	tab.Add("comes out", limits(r.ComesOut.MinMM, r.ComesOut.MaxMM), r.ComesOut.Source)
	tab.Add("stock", units.Decimal(pre.LowMM, 3)+" to "+units.Decimal(pre.HighMM, 3)+" mm on the diameter", pre.Source)
	tab.Add("drill", units.Fixed(pre.FromMM, 2)+" to "+units.Fixed(pre.UpToMM, 2)+" mm",
		fmt.Sprintf("minimum hole less stock and the %s mm that a drill cuts over (web)",
			units.Decimal(dowel.DrillOverMM, 2)))
	tab.Add("  metric", drillName(pre.Metric), "BS 328 series (web: en.wikipedia.org/wiki/Drill_bit_sizes)")
	tab.Add("  inch", drillName(pre.Inch), "number and letter sizes (web), fractions (derived)")
	tab.Write(w, "  ")
}

// addReamers lists the reamers that make a hole, best first.
func addReamers(tab *command.Table, indent string, names []string) {
	for i, name := range names {
		head := "buy"
		if i > 0 {
			head = "or"
		}
		tab.Add(indent+head, name)
	}
}

func drillName(d *dowel.DrillSize) string {
	if d == nil {
		return "none in the series"
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
