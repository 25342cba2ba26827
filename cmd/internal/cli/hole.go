package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/spelling"
	"reseat/jig/units"
)

// holeOptions are the flags as they were typed; ask turns them into a request.
type holeOptions struct {
	pin, material, by, want, standard, measured string
	thicknessMM, kerfMM, biasMM, spreadMM       float64
	biasSet, spreadSet                          bool
	slot, all, json                             bool
}

func newHoleCmd(s command.Streams) *cobra.Command {
	var o holeOptions
	cmd := &cobra.Command{
		Use:   "hole --pin PIN --in MATERIAL --by PROCESS --want PURPOSE",
		Short: "Which hole for this pin, in this material, made this way",
		Long: `Chooses the hole for a dowel pin and says how to make it: class and finished
limits, the size to draw, the drill before the reamer, which reamer to buy, the
clearance and the probability that the pin enters.

PROCESS  ream, drill, router, laser or print
PURPOSE  press (press fit: stays in), locate (locating fit: by hand, with the
         minimum clearance), slide (running fit: in and out freely),
         clear (clearance hole: never touches)

Exit status 1 when no hole does what is wanted, as a press fit in acrylic.`,
		Example: `  # a 6 mm m6 pin, running fit in laser-cut acrylic
  $ reseat hole --pin 6m6 --in "cast acrylic" --by laser --want slide

  # pins measured with a micrometer, bored on the router; every candidate
  $ reseat hole --pin 6 --measured 5.996,5.998,5.997 --in mdf \
      --thickness-mm 18 --by router --want locate --all`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return command.Usage("hole takes flags only, got %q: reseat %s", args[0], cmd.Use)
			}
			o.biasSet, o.spreadSet = cmd.Flags().Changed("bias-mm"), cmd.Flags().Changed("spread-mm")
			return runHole(s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.pin, "pin", "", "diameter and class: 6m6, 6 h8, \"1/4 in\"; without a class the standard's own")
	f.StringVar(&o.material, "in", "", "material of the plate: \"cast acrylic\", mdf, sapele, brass ...")
	f.StringVar(&o.by, "by", "", "what makes the hole: "+list(fit.ProcessKinds()))
	f.StringVar(&o.want, "want", "", "what it is for: "+list(dowel.Purposes()))
	f.Float64Var(&o.thicknessMM, "thickness-mm", 6, "thickness of the plate")
	f.BoolVar(&o.slot, "slot", false, "a slot's width in place of a hole")
	f.StringVar(&o.standard, "standard", "", "pin standard: "+strings.Join(dowel.Standards(),
		", ")+" (default: by size and class)")
	f.StringVar(&o.measured, "measured", "", "micrometer readings of the pins, mm, in place of a class: 5.996,5.998")
	f.Float64Var(&o.kerfMM, "kerf-mm", 0, "width of the cut, taken out of the size to draw")
	f.Float64Var(&o.biasMM, "bias-mm", 0, "how much larger a hole comes out than drawn, from a coupon (default: by "+
		"process)")
	f.Float64Var(&o.spreadMM, "spread-mm", 0, "plus or minus that holds 95 % of the holes, from a coupon (default: "+
		"by process)")
	f.BoolVar(&o.all, "all", false, "list every candidate, the chosen one first")
	f.BoolVar(&o.json, "json", false, "print the choice as JSON")
	offer(cmd, "by", strings.Split(list(fit.ProcessKinds()), ", "))
	offer(cmd, "want", strings.Split(list(dowel.Purposes()), ", "))
	offer(cmd, "standard", dowel.Standards())
	offer(cmd, "in", materials)
	return cmd
}

// materials are offered by the shell; any other name may be given.
var materials = []string{"cast acrylic", "extruded acrylic", "mdf", "birch plywood", "sapele", "aluminium", "brass",
	"steel", "pla"}

// offer gives the shell values to complete a flag with. It fails only for a flag that the command
// does not have.
func offer(cmd *cobra.Command, flag string, values []string) {
	if err := cmd.RegisterFlagCompletionFunc(flag,
		cobra.FixedCompletions(values, cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err)
	}
}

func list[T ~string](all []T) string {
	var out []string
	for _, v := range all {
		out = append(out, string(v))
	}
	return strings.Join(out, ", ")
}

func runHole(s command.Streams, o holeOptions) error {
	r, err := o.request()
	if err != nil {
		return err
	}
	choices, err := dowel.RankHoles(r)
	var refused *dowel.PressError
	switch {
	case errors.As(err, &refused) && o.json:
		err = command.WriteRecord(s.Out, o.record(r, nil, refused))
	case errors.As(err, &refused):
		writeTitle(s.Out, r)
		fmt.Fprintf(s.Out, "REFUSED: %v\n", refused)
		err = nil
	case err != nil:
		return err
	case o.json:
		err = command.WriteRecord(s.Out, o.record(r, choices, nil))
	default:
		writeHole(s.Out, o, r, choices)
	}
	if err == nil && (refused != nil || !choices[0].Holds) {
		err = command.ErrFails
	}
	return err
}

// request turns the flags into a request; every fault is named.
func (o holeOptions) request() (dowel.Request, error) {
	pin, pinErr := o.readPin()
	r := dowel.Request{Pin: pin, Material: o.material, ThicknessMM: o.thicknessMM, Purpose: dowel.Purpose(o.want),
		Slot: o.slot}
	faults := []error{pinErr}
	fault := func(format string, a ...any) { faults = append(faults, fmt.Errorf(format, a...)) }
	if strings.TrimSpace(o.material) == "" {
		fault("--in is missing: the plate's material, such as --in mdf")
	}
	const thickest = 150.0 // as the library has it
	thick := o.thicknessMM
	if !(thick > 0 && thick <= thickest) {
		fault("--thickness-mm %g: want a thickness in mm over 0, up to %g", thick, thickest)
		thick = 1 // so that the rest is still looked at
	}
	kinds, purposes := list(fit.ProcessKinds()), list(dowel.Purposes())
	var err error
	if o.by == "" {
		fault("--by is missing: one of %s", kinds)
	} else if r.Process, err = fit.DefaultProcess(fit.ProcessKind(o.by), o.material, thick); err != nil {
		if near := spelling.Nearest(o.by, strings.Split(kinds, ", ")); near != "" {
			err = fmt.Errorf("%w (did you mean %s?)", err, near)
		}
		fault("--by: %w", err)
	}
	switch {
	case o.want == "":
		fault("--want is missing: one of %s", purposes)
	case !slices.Contains(dowel.Purposes(), r.Purpose):
		fault("--want %q: want one of %s", o.want, purposes)
	}
	if !(o.kerfMM >= 0 && o.kerfMM <= mostKerfMM) {
		fault("--kerf-mm %g: want a width in mm, 0 to %g", o.kerfMM, mostKerfMM)
	}
	if o.biasSet {
		r.Process.SetBias(o.biasMM)
	}
	if o.spreadSet {
		r.Process.SetSpread(o.spreadMM)
	}
	return r, errors.Join(append(faults, r.Process.Check())...)
}

// mostKerfMM is more than any beam or cutter of a sheet shop takes out.
const mostKerfMM = 10.0

// readPin finds the pin that --pin, --standard and --measured mean.
func (o holeOptions) readPin() (dowel.Pin, error) {
	if strings.TrimSpace(o.pin) == "" {
		return dowel.Pin{}, fmt.Errorf("--pin is missing: diameter and class, such as --pin 6m6")
	}
	class := ""
	size, err := fit.ParseSize(o.pin)
	if err != nil {
		spec, specErr := fit.ParseSpec(o.pin)
		switch {
		case specErr != nil:
			return dowel.Pin{}, fmt.Errorf("--pin: %w", specErr)
		case spec.Hole != nil:
			return dowel.Pin{}, fmt.Errorf("--pin %q: %s is a hole's class; give the pin's alone, such as %s", o.pin,
				spec.Hole, units.Decimal(spec.SizeMM, 4)+" m6")
		}
		size, class = spec.SizeMM, spec.Shaft.String()
	}
	if o.measured != "" {
		readings, err := readReadings(o.measured)
		if o.standard != "" {
			err = errors.Join(err, fmt.Errorf("--measured stands in place of --standard: leave one of them out"))
		}
		if err != nil {
			return dowel.Pin{}, err
		}
		return dowel.Measured(size, readings)
	}
	standard := o.standard
	if standard == "" {
		standard = usualStandard(size, class, saysInch(o.pin))
	}
	p, err := dowel.Lookup(standard, size, class)
	if err != nil {
		return dowel.Pin{}, fmt.Errorf("--pin %q: %w", o.pin, err)
	}
	return p, nil
}

// usualStandard is the standard that a size and a class mean when none is named:
// the one sold everywhere.
func usualStandard(size float64, class string, inch bool) string {
	switch {
	case class == "" && inch:
		return "asme b18.8.2"
	case class == "h8":
		if _, err := dowel.Lookup("iso 2338", size, class); err == nil {
			return "iso 2338"
		}
		return "rod"
	case class == "h6" || class == "g6":
		return "rod"
	}
	for _, s := range []string{"iso 8734", "iso 2338", "din 6325"} {
		if _, err := dowel.Lookup(s, size, class); err == nil {
			return s
		}
	}
	return "iso 8734"
}

// readReadings reads "5.996, 5.998"; every one that is no number is named.
func readReadings(text string) ([]float64, error) {
	var out []float64
	var faults []error
	for i, word := range strings.Split(text, ",") {
		word = strings.TrimSpace(word)
		v, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			faults = append(faults, fmt.Errorf("--measured: reading %d, %q, is no number; write mm with a point, "+
				"commas between: 5.996,5.998", i+1, word))
			continue
		}
		out = append(out, v)
	}
	return out, errors.Join(faults...)
}
