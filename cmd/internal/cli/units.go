package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/fit"
	"reseat/jig/units"
)

// faults are several things wrong with one command line, told together.
type faults struct{ list []error }

func (e *faults) Error() string {
	var out []string
	for _, err := range e.list {
		out = append(out, err.Error())
	}
	return strings.Join(out, "\n")
}

func (e *faults) Unwrap() []error { return e.list }

// Detail writes a line to each fault.
func (e *faults) Detail() string {
	return "reseat: " + strings.Join(strings.Split(e.Error(), "\n"), "\nreseat: ")
}

// allOf joins errors, those that are joined themselves taken apart; nil when there is none.
func allOf(errs ...error) error {
	var list []error
	for _, err := range errs {
		if err == nil {
			continue
		}
		if j, ok := err.(interface{ Unwrap() []error }); ok {
			list = append(list, j.Unwrap()...)
			continue
		}
		list = append(list, err)
	}
	if len(list) == 0 {
		return nil
	}
	return &faults{list}
}

// writeJSON prints a value as indented JSON. Angle brackets stay as they are.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// clean takes the rounding of sums off a length in mm: 6.0120000000000005 is 6.012.
// A thousandth of a micrometre is below every limit there is.
func clean(mm float64) float64 {
	const perMM = 1e6
	if v := math.Round(mm*perMM) / perMM; v != 0 {
		return v
	}
	return 0 // no -0
}

// um writes a deviation or clearance in micrometres with its sign: "+12", "-7.5", "0".
func um(v float64) string {
	s := num(v, 1)
	if v > 0 && s != "0" {
		return "+" + s
	}
	return s
}

// limit writes a limit in mm to the half micrometre at most: "6.012", "6.0075".
func limit(mm float64) string {
	s := fixed(mm, 4)
	return strings.TrimSuffix(s, "0")
}

// sizeName writes a nominal size, in inches too when that is how it was given.
func sizeName(mm float64, inch bool) string {
	if inch {
		return fmt.Sprintf("%s in (%s mm)", units.Inches(mm), num(mm, 4))
	}
	return num(mm, 4) + " mm"
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

// sizeAndClass joins the words of a size and a class and reads them.
func sizeAndClass(cmd *cobra.Command, args []string) (fit.Spec, string, error) {
	text := strings.Join(args, " ")
	if strings.TrimSpace(text) == "" {
		return fit.Spec{}, "", &usageError{fmt.Sprintf("%s wants a size and a class: reseat %s", cmd.Name(), cmd.Use)}
	}
	s, err := fit.ParseSpec(text)
	if err != nil {
		var j interface{ Unwrap() []error }
		if errors.As(err, &j) {
			return fit.Spec{}, "", allOf(err)
		}
		return fit.Spec{}, "", err
	}
	return s, text, nil
}
