package units

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		name, text string
		unit       Unit
		want       float64
		reason     string
	}{
		{"bare mm", "41.5", MM, 41.5, "a bare number is in the file's unit"},
		{"bare in", "41.5", Inch, 1054.1, "41.5 x 25.4"},
		{"mm in an inch file", "6 mm", Inch, 6, "its own unit wins"},
		{"mm glued", "6mm", MM, 6, "the space is free"},
		{"quarter inch", "1/4 in", MM, 6.35, "1/4 x 25.4"},
		{"decimal inch", "0.25in", MM, 6.35, "the unit is glued"},
		{"mixed fraction", "1 1/2 in", MM, 38.1, "1.5 x 25.4"},
		{"inch sign", `3/8"`, MM, 9.525, "3/8 x 25.4"},
		{"double prime", `3/8″`, MM, 9.525, "the typographic sign for inches"},
		{"bare fraction in inches", "5/16", Inch, 7.9375, "only inches are written so"},
		{"fraction of mm", "1/2 mm", MM, 0.5, "unusual, not ambiguous"},
		{"word", "2 inches", MM, 50.8, "plural"},
		{"capitals", "2 MM", MM, 2, "no other reading"},
		{"negative", "-6", MM, -6, "places beside the datum line"},
		{"negative fraction", "-1 1/4 in", MM, -31.75, "the sign holds for both parts"},
		{"point first", ".5", MM, 0.5, ""},
		{"point last", "5.", MM, 5, ""},
		{"exponent", "4.5e1", MM, 45, "other programs write numbers so"},
		{"spaces", "  1   1/2   in ", MM, 38.1, "spaces are free between the parts"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ParseLength(c.text, c.unit)
			if err != nil {
				t.Fatalf("%q: %v (%s)", c.text, err, c.reason)
			}
			// Both sides are one or two roundings from the exact value.
			if math.Abs(got-c.want) > 4e-16*math.Abs(c.want) {
				t.Errorf("%q = %.17g mm, want %.17g (%s)", c.text, got, c.want, c.reason)
			}
		})
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"comma", "41,5", "41,5 has a decimal comma (write 41.5, not 41,5)"},
		{"comma with unit", "41,5 mm", "41,5 mm has a decimal comma (write 41.5 mm, not 41,5 mm)"},
		{"comma for thousands", "1,250", "1,250 has a decimal comma (write 1.250, not 1,250; if the comma parts " +
			"thousands, leave it out)"},
		{"nan", ".nan", ".nan is not a finite number (write a length)"},
		{"nan of another kind", "NaN", "NaN is not a finite number (write a length)"},
		{"infinite", "-.inf", "-.inf is not a finite number (write a length)"},
		{"overflow", "1e999", "1e999 is too large a number"},
		{"overflow by the inch", "1.7e308 in", "1.7e308 in is too large a number"},
		{"word", "wide", `want a length, got "wide" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"empty", " ", "want a length, got nothing (write a number, with or without a unit)"},
		{"centimetres", "4.15 cm", `the unit "cm" is not taken here (write 41.5 mm)`},
		{"thou", "5 thou", `the unit "thou" is not taken here (write 0.127 mm)`},
		{"feet", "2 ft", `the unit "ft" is not taken here (write 609.6 mm)`},
		{"feet by sign", "2'", `the unit "'" is not taken here (write 609.6 mm)`},
		{"typographic quote", "1/4”", `the unit "”" is a typographic quote (write 1/4 in)`},
		{"full stop", "1/4 in.", `the unit "in." is not known (write 1/4 in)`},
		{"unknown unit", "6 ells", `the unit "ells" is not known (write mm or in, or leave it out)`},
		{"fraction without unit", "1/4", "the fraction 1/4 has no unit (write 1/4 in)"},
		{"division by zero", "1/0 in", "1/0 in divides by zero"},
		{"improper beside a whole", "1 3/2 in", "1 3/2 in has a whole number beside a fraction of one or more " +
			"(write 5/2)"},
		{"fraction sign", "½ in", `"½ in" has a character that is not a digit, point, slash or minus (write 1/2 in)`},
		{"fraction sign beside a whole", "1½ in",
			`"1½ in" has a character that is not a digit, point, slash or minus (write 1 1/2 in)`},
		{"long minus", "−6", `"−6" has a character that is not a digit, point, slash or minus (write -6)`},
		{"octal", "010", "010 starts with a needless zero (write 10)"},
		{"hexadecimal", "0x1F", `want a length, got "0x1F" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"underscore", "1_000", `want a length, got "1_000" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"two units", "6 mm mm", `want a length, got "6 mm mm" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"a sum", "6+2", `want a length, got "6+2" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"a text", strings.Repeat("9", 65), "want a length, got a text of 65 characters (write a number, with or " +
			"without a unit)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			mm, err := ParseLength(c.text, MM)
			var le *LengthError
			if !errors.As(err, &le) {
				t.Fatalf("%q = %g, %v; want a *LengthError", c.text, mm, err)
			}
			if le.Text != c.text || err.Error() != c.want {
				t.Errorf("%q:\n got %s\nwant %s", c.text, err, c.want)
			}
		})
	}
}

// TestFractionsAgainstRationals holds fractions of an inch against exact
// rational arithmetic.
func TestFractionsAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(0, 100).Draw(t, "whole")
		den := rapid.IntRange(1, 256).Draw(t, "den")
		num := rapid.IntRange(0, den-1).Draw(t, "num")
		text := fmt.Sprintf("%d %d/%d in", whole, num, den)
		got, err := ParseLength(text, MM)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		exact := big.NewRat(int64(whole*den+num), int64(den))
		exact.Mul(exact, big.NewRat(254, 10))
		want, _ := exact.Float64()
		// A division, a sum and a product: three roundings of 2^-53 each, and
		// that of 25.4 itself.
		if math.Abs(got-want) > 4.5e-16*want {
			t.Fatalf("%q = %.17g mm, want %.17g", text, got, want)
		}
	})
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"6", "6 mm", "1/4 in", "1 1/2 in", "41,5", ".nan", "1e999", "½", "0x1F", "-0", "1/0"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, inch bool) {
		unit := MM
		if inch {
			unit = Inch
		}
		mm, err := ParseLength(text, unit)
		if math.IsNaN(mm) || math.IsInf(mm, 0) {
			t.Fatalf("%q = %g", text, mm)
		}
		if err != nil {
			var le *LengthError
			if !errors.As(err, &le) || le.Says == "" || mm != 0 {
				t.Fatalf("%q = %g, %#v", text, mm, err)
			}
			return
		}
		// What was read, written back as millimetres, is read as the same.
		again, err := ParseLength(fmt.Sprintf("%v mm", mm), unit)
		if err != nil || again != mm {
			t.Fatalf("%q = %v mm, read back as %v, %v", text, mm, again, err)
		}
	})
}
