package cli

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/fit"
	"reseat/jig/units"
)

type fitOptions struct {
	spec fit.Spec
	inch bool
	svg  string
	json bool
}

func newFitCmd(s command.Streams) *cobra.Command {
	var o fitOptions
	cmd := &cobra.Command{
		Use:   "fit SIZE CLASS[/CLASS]",
		Short: "ISO 286 limits of a class, or of a hole and a shaft together",
		Long: `Gives upper and lower deviation and the limits of a tolerance class at a nominal
size up to 500 mm; of a pair also the clearances and the kind of fit. Capitals
are a hole, small letters a shaft. The size is in mm unless it says "in". ISO
286-1:2010.`,
		Example: `  # a ground m6 pin in a reamed hole: is it a running fit?
  $ reseat fit 6 H7/m6

  # an inch size, with a picture of the two zones
  $ reseat fit "1/4 in" H7/h6 --svg zones.svg`,
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			if o.spec, o.inch, err = sizeAndClass(cmd, args); err != nil {
				return err
			}
			return runFit(s, o)
		},
	}
	cmd.Flags().StringVar(&o.svg, "svg", "", "also draw the zones into this file, which must not exist yet")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the limits as JSON")
	cmd.SetFlagErrorFunc(negativeSize)
	return cmd
}

// A zone is a class with its limits at the size asked for.
type zone struct {
	class  fit.Class
	limits fit.Limits
}

func runFit(s command.Streams, o fitOptions) error {
	zones, err := zonesOf(o.spec)
	if err != nil {
		return err
	}
	pair, isPair, err := o.spec.Fit()
	if err != nil {
		return err
	}
	if o.svg != "" {
		if err := command.WritePicture(o.svg, drawZones(o.spec, zones)); err != nil {
			return err
		}
	}
	if o.json {
		return writeFitJSON(s.Out, o.spec, zones, pair, isPair)
	}
	var text bytes.Buffer // one write: a terminal shows it at once
	writeFit(&text, o, zones, pair, isPair)
	_, err = text.WriteTo(s.Out)
	return err
}

// zonesOf lists the classes of a spec, the hole first.
func zonesOf(spec fit.Spec) ([]zone, error) {
	var out []zone
	for _, c := range []*fit.Class{spec.Hole, spec.Shaft} {
		if c == nil {
			continue
		}
		l, err := fit.ClassLimits(spec.SizeMM, *c)
		if err != nil {
			return nil, err
		}
		out = append(out, zone{*c, l})
	}
	return out, nil
}

func writeFit(w io.Writer, o fitOptions, zones []zone, pair fit.Fit, isPair bool) {
	size := o.spec.SizeMM
	fmt.Fprintf(w, "%s %s", sizeName(size, o.inch), zones[0].class)
	if isPair {
		fmt.Fprintf(w, "/%s: %s fit", zones[1].class, pair.Kind)
	}
	fmt.Fprint(w, "\n\n")
	tab := command.NewTable("class", "", ">upper µm", ">lower µm", ">width µm", ">maximum mm", ">minimum mm")
	for _, z := range zones {
		what := "shaft"
		if z.class.IsHole() {
			what = "hole"
		}
		tab.Add(z.class.String(), what, um(z.limits.Upper), um(z.limits.Lower), units.Decimal(z.limits.Width(), 1),
			limit(size+z.limits.Upper/1000), limit(size+z.limits.Lower/1000))
	}
	tab.Write(w, "  ")
	if isPair {
		fmt.Fprintln(w)
		res := command.NewTable("", ">µm", "")
		most, mostSays := umWords(pair.ClearanceMaxUM)
		least, leastSays := umWords(pair.ClearanceMinUM)
		res.Add("maximum clearance", most, mostSays)
		res.Add("minimum clearance", least, leastSays)
		res.Write(w, "  ")
	}
	fmt.Fprintln(w)
	drawZonesText(w, zones, sizeName(size, o.inch))
	for _, z := range zones {
		if !z.class.IsListed() {
			fmt.Fprintf(w, "\n%s follows from the rules of ISO 286-1 but is not tabulated in ISO 286-2: gauges and "+
				"reamers are seldom made.\n", z.class)
		}
	}
	if o.svg != "" {
		fmt.Fprintf(w, "\nwrote %s\n", o.svg)
	}
}

// fitZoneJSON and fitJSON have the keys that other programs read.
type fitZoneJSON struct {
	Class   string  `json:"class"`
	UpperUM float64 `json:"upper_um"`
	LowerUM float64 `json:"lower_um"`
	MaxMM   float64 `json:"max_mm"`
	MinMM   float64 `json:"min_mm"`
}

type fitClearanceJSON struct {
	MaxUM float64 `json:"max_um"`
	MinUM float64 `json:"min_um"`
}

// fitJSON leaves out the half that was not asked for.
type fitJSON struct {
	SizeMM    float64           `json:"size_mm"`
	Hole      *fitZoneJSON      `json:"hole,omitempty"`
	Shaft     *fitZoneJSON      `json:"shaft,omitempty"`
	Clearance *fitClearanceJSON `json:"clearance,omitempty"`
	Kind      string            `json:"kind,omitempty"`
}

func writeFitJSON(w io.Writer, spec fit.Spec, zones []zone, pair fit.Fit, isPair bool) error {
	out := fitJSON{SizeMM: spec.SizeMM}
	for _, z := range zones {
		l := z.limits
		j := &fitZoneJSON{z.class.String(), l.Upper, l.Lower, spec.SizeMM + l.Upper/1000, spec.SizeMM + l.Lower/1000}
		if z.class.IsHole() {
			out.Hole = j
		} else {
			out.Shaft = j
		}
	}
	if isPair {
		out.Clearance = &fitClearanceJSON{pair.ClearanceMaxUM, pair.ClearanceMinUM}
		out.Kind = string(pair.Kind)
	}
	return command.WriteRecord(w, out)
}
