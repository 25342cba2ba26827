package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/units"
)

func newPinsCmd(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "pins [DIAMETER]",
		Short: "Standard dowel pins: diameters, limits, chamfers, lengths",
		Example: `  # every standard with its diameters
  $ reseat pins

  # the 6 mm pins of every standard; an inch size likewise: reseat pins 1/4 in
  $ reseat pins 6`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return runAllPins(s, asJSON)
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

// runAllPins lists the standards.
func runAllPins(s streams, asJSON bool) error {
	type standard struct {
		Standard    string    `json:"standard"`
		Classes     []string  `json:"classes"`
		DiametersMM []float64 `json:"diameters_mm"`
	}
	out := []standard{}
	for _, name := range dowel.Standards() {
		classes, err := dowel.Classes(name)
		if err != nil {
			return err
		}
		diameters, err := dowel.Diameters(name)
		if err != nil {
			return err
		}
		st := standard{name, append([]string{}, classes...), []float64{}}
		for _, d := range diameters {
			st.DiametersMM = append(st.DiametersMM, clean(d))
		}
		out = append(out, st)
	}
	if asJSON {
		return writeJSON(s.out, struct {
			Standards []standard `json:"standards"`
		}{out})
	}
	tab := newTable("standard", "class", "diameters")
	for _, st := range out {
		class, sizes := strings.Join(st.Classes, ", "), "any up to 50 mm"
		if class == "" {
			class = "its own"
		}
		if len(st.DiametersMM) > 0 {
			var names []string
			for _, d := range st.DiametersMM {
				names = append(names, pinSize(st.Standard, d))
			}
			sizes = strings.Join(names, " ") + " mm"
			if isInchStandard(st.Standard) {
				sizes = strings.Join(names, " ") + " in"
			}
		}
		tab.add(st.Standard, class, sizes)
	}
	tab.write(s.out, "")
	fmt.Fprintln(s.out, "\nThe first class is the standard's default. Limits, chamfer and lengths of one size: reseat pins 6")
	return nil
}

// isInchStandard reports whether a standard's pins are of an inch series.
func isInchStandard(standard string) bool { return dowel.Pin{Standard: standard}.Inch() }

// pinSize writes a diameter as its standard names it: a fraction for inches.
func pinSize(standard string, mm float64) string {
	if !isInchStandard(standard) {
		return num(mm, 4)
	}
	return units.Inches(mm)
}

// runPins lists the pins of one diameter; standards without it name their nearest.
func runPins(s streams, size float64, inch, asJSON bool) error {
	var found []dowel.Pin
	var missing []*dowel.DiameterError
	for _, name := range dowel.Standards() {
		classes, err := dowel.Classes(name)
		if err != nil {
			return err
		}
		if len(classes) == 0 {
			classes = []string{""}
		}
		for _, class := range classes {
			p, err := dowel.Lookup(name, size, class)
			var none *dowel.DiameterError
			switch {
			case errors.As(err, &none) && none.KnownMM != nil && none.NearestMM() > 0 && size <= largestPin:
				if class == classes[0] {
					missing = append(missing, none)
				}
			case err != nil:
				return err
			default:
				found = append(found, p)
			}
		}
	}
	if asJSON {
		return writePinsJSON(s.out, size, found)
	}
	writePinsOf(s.out, size, inch, found, missing)
	return nil
}

// largestPin is the largest diameter that a standard has, mm.
const largestPin = 50.0

func writePinsOf(w io.Writer, size float64, inch bool, found []dowel.Pin, missing []*dowel.DiameterError) {
	fmt.Fprintf(w, "Dowel pins of %s\n\n", sizeName(size, inch))
	tab := newTable("standard", "class", ">least mm", ">greatest mm", ">lower µm", ">upper µm", ">chamfer mm", "lengths mm")
	for _, p := range found {
		class, chamfer, lengths := p.Class, "-", "-"
		if class == "" {
			class = "its own"
		}
		if p.ChamferMM > 0 {
			chamfer = num(p.ChamferMM, 3)
		}
		if n := len(p.LengthsMM); n > 0 {
			var all []string
			for _, l := range p.LengthsMM {
				all = append(all, num(l, 1))
			}
			lengths = strings.Join(all, " ")
		}
		tab.add(p.Standard, class, limit(p.MinMM), limit(p.MaxMM), um((p.MinMM-p.NominalMM)*1000), um((p.MaxMM-p.NominalMM)*1000), chamfer, lengths)
	}
	tab.write(w, "  ")
	fmt.Fprintln(w)
	for _, m := range missing {
		near := num(m.NearestMM(), 4) + " mm"
		if isInchStandard(m.Standard) {
			near += " (" + units.Inches(m.NearestMM()) + " in)"
		}
		fmt.Fprintf(w, "%s has none; the nearest is %s.\n", m.Standard, near)
	}
	for i, p := range found {
		if i == 0 || found[i-1].Standard != p.Standard {
			fmt.Fprintf(w, "%s\n", p.Source)
		}
	}
}

type pinJSON struct {
	Standard  string    `json:"standard"`
	Class     string    `json:"class"`
	NominalMM float64   `json:"nominal_mm"`
	MinMM     float64   `json:"min_mm"`
	MaxMM     float64   `json:"max_mm"`
	ChamferMM *float64  `json:"chamfer_mm"`
	LengthsMM []float64 `json:"lengths_mm"`
	Source    string    `json:"source"`
}

func pinOut(p dowel.Pin) pinJSON {
	j := pinJSON{
		Standard: p.Standard, Class: p.Class, NominalMM: clean(p.NominalMM), MinMM: clean(p.MinMM), MaxMM: clean(p.MaxMM),
		LengthsMM: append([]float64{}, p.LengthsMM...), Source: p.Source,
	}
	if p.ChamferMM > 0 {
		c := clean(p.ChamferMM)
		j.ChamferMM = &c
	}
	return j
}

func writePinsJSON(w io.Writer, size float64, found []dowel.Pin) error {
	out := struct {
		DiameterMM float64   `json:"diameter_mm"`
		Pins       []pinJSON `json:"pins"`
	}{DiameterMM: clean(size), Pins: []pinJSON{}}
	for _, p := range found {
		out.Pins = append(out.Pins, pinOut(p))
	}
	return writeJSON(w, out)
}
