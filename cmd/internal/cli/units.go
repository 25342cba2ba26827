package cli

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/fit"
	"reseat/jig/units"
)

// um writes a deviation or clearance in micrometres with its sign: "+12", "-7.5", "0".
func um(v float64) string {
	s := units.Decimal(v, 1)
	if v > 0 && s != "0" {
		return "+" + s
	}
	return s
}

// umWords tells a clearance in µm and what it is when it is none.
func umWords(v float64) (value, says string) {
	switch {
	case v < 0:
		says = fmt.Sprintf("an interference of %s µm", units.Decimal(math.Abs(v), 1))
	case v == 0:
		says = "zero clearance"
	}
	return um(v), says
}

// limit writes a limit in mm to the half micrometre at most: "6.012", "6.0075".
func limit(mm float64) string { return strings.TrimSuffix(units.Fixed(mm, 4), "0") }

// limits writes two limits in mm.
func limits(low, high float64) string { return limit(low) + " to " + limit(high) + " mm" }

// sizeName writes a nominal size, in inches too when that is how it was given.
func sizeName(mm float64, inch bool) string {
	if inch {
		return fmt.Sprintf("%s in (%s mm)", units.Inches(mm), units.Decimal(mm, 4))
	}
	return units.Decimal(mm, 4) + " mm"
}

// saysInch reports whether a size was written in inches.
func saysInch(text string) bool {
	return strings.Contains(text, "in") || strings.ContainsAny(text, "\"\u2033")
}

// negativeSize turns the complaint about an unknown flag "-6" into what is meant.
func negativeSize(_ *cobra.Command, err error) error {
	_, arg, ok := strings.Cut(err.Error(), " in -")
	if !ok || arg == "" || !strings.Contains("0123456789.", arg[:1]) {
		return err
	}
	size, _, _ := strings.Cut(arg, " ")
	return fmt.Errorf("-%s: the size is negative; give the diameter itself, over 0: %s", arg, size)
}

// sizeAndClass joins the words of a size and a class and reads them; inch reports
// whether the size was written in inches.
func sizeAndClass(cmd *cobra.Command, args []string) (spec fit.Spec, inch bool, err error) {
	text := strings.Join(args, " ")
	if strings.TrimSpace(text) == "" {
		return spec, false, command.Usage("%s wants a size and a class: reseat %s", cmd.Name(), cmd.Use)
	}
	spec, err = fit.ParseSpec(text)
	return spec, saysInch(text), err
}
