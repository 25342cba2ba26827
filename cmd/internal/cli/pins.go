package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/units"
)

func newPinsCmd(s command.Streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "pins [DIAMETER]",
		Short: "Standard dowel pins: diameters, limits, chamfers, lengths",
		Example: `  # every standard with its diameters
  $ reseat pins

  # the 6 mm pins of every standard; an inch size likewise: reseat pins 1/4 in
  $ reseat pins 6`,
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0 && asJSON:
				return command.WriteRecord(s.Out, dowel.Series())
			case len(args) == 0:
				writeSeries(s.Out)
				return nil
			}
			text := strings.Join(args, " ")
			size, err := fit.ParseSize(text)
			if err != nil {
				return err
			}
			return runPins(s, size, saysInch(text), asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the pins as JSON")
	cmd.SetFlagErrorFunc(negativeSize)
	return cmd
}

// writeSeries lists the standards.
func writeSeries(w io.Writer) {
	tab := command.NewTable("standard", "class", "diameters")
	for _, st := range dowel.Series() {
		sizes, unit := []string{"any up to " + units.Decimal(dowel.LargestMM, 0)}, " mm"
		if st.DiametersMM != nil {
			sizes = nil
		}
		for _, d := range st.DiametersMM {
			if st.IsInch() {
				sizes, unit = append(sizes, units.Inches(d)), " in"
			} else {
				sizes = append(sizes, units.Decimal(d, 4))
			}
		}
		tab.Add(st.Title(), orOwn(strings.Join(st.Classes, ", ")), strings.Join(sizes, " ")+unit)
	}
	tab.Write(w, "")
	fmt.Fprintln(w, "\nThe first class is the standard's default. Limits, chamfer and lengths of one size: reseat "+
		"pins 6")
}

// orOwn says that a standard has limits of its own where it has no class.
func orOwn(class string) string {
	if class == "" {
		return "its own"
	}
	return class
}

// pinRecord is a pin with the keys that other programs read.
type pinRecord struct {
	dowel.Pin
	ChamferMM float64   `json:"chamfer_mm,omitempty"`
	LengthsMM []float64 `json:"lengths_mm"`
	Source    string    `json:"source"`
}

func recordOf(p dowel.Pin) pinRecord { return pinRecord{p, p.ChamferMM, p.LengthsMM, p.Source} }

// runPins lists the pins of one diameter; standards without it name their nearest.
func runPins(s command.Streams, size float64, inch, asJSON bool) error {
	var found []dowel.Pin
	var missing []string
	for _, st := range dowel.Series() {
		if st.DiametersMM != nil && size <= dowel.LargestMM {
			at, same := st.Nearest(size)
			if !same {
				near := units.Decimal(st.DiametersMM[at], 4) + " mm"
				if st.IsInch() {
					near += " (" + units.Inches(st.DiametersMM[at]) + " in)"
				}
				missing = append(missing, fmt.Sprintf("%s has none; the nearest is %s.", st.Title(), near))
				continue
			}
		}
		for _, class := range append([]string{""}, st.Classes[min(1, len(st.Classes)):]...) { // "" is the first
			p, err := dowel.Lookup(st.Name, size, class)
			if err != nil {
				return err
			}
			found = append(found, p)
		}
	}
	if asJSON {
		out := struct {
			DiameterMM float64     `json:"diameter_mm"`
			Pins       []pinRecord `json:"pins"`
		}{DiameterMM: size}
		for _, p := range found {
			out.Pins = append(out.Pins, recordOf(p))
		}
		return command.WriteRecord(s.Out, out)
	}
	writePinsOf(s.Out, sizeName(size, inch), found, missing)
	return nil
}

func writePinsOf(w io.Writer, size string, found []dowel.Pin, missing []string) {
	fmt.Fprintf(w, "Dowel pins of %s\n\n", size)
	tab := command.NewTable("standard", "class", ">minimum mm", ">maximum mm", ">lower µm", ">upper µm", ">chamfer mm",
		"lengths mm")
	for _, p := range found {
		chamfer, lengths := "-", "-"
		if p.ChamferMM > 0 {
			chamfer = units.Decimal(p.ChamferMM, 3)
		}
		if p.LengthsMM != nil {
			lengths = strings.Trim(fmt.Sprint(p.LengthsMM), "[]")
		}
		tab.Add(p.Title(), orOwn(p.Class), limit(p.MinMM), limit(p.MaxMM), um((p.MinMM-p.NominalMM)*1000),
			um((p.MaxMM-p.NominalMM)*1000), chamfer, lengths)
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w)
	for _, m := range missing {
		fmt.Fprintln(w, m)
	}
	for i, p := range found {
		if i == 0 || found[i-1].Standard != p.Standard {
			fmt.Fprintln(w, p.Source)
		}
	}
}
