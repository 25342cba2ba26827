package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// LengthError is a text that is no length. Its message has no package prefix,
// since it is always told behind a file and a key.
type LengthError struct {
	Text   string // as read
	Says   string // what is wrong with it
	Remedy string // what would do
}

// Error returns what is wrong and what would do.
func (e *LengthError) Error() string {
	if e.Remedy == "" {
		return e.Says
	}
	return e.Says + " (" + e.Remedy + ")"
}

// maxLengthText is the longest text that can be a length, in bytes; a longer one
// is a mistake such as an unclosed quote.
const maxLengthText = 64

var (
	decimalText = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^([+-]?)(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?$`)
	})
	fractionText = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^([+-]?)(?:(\d{1,9}) +)?(\d{1,9}) ?/ ?(\d{1,9})$`)
	})
	commaText = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^[+-]?\d*,(\d+)$`)
	})
	endUnitText = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^(.*?[\d.]) ?(\p{L}+\.?|["″”'′’])$`)
	})
)

// ParseLength reads a length and returns it in millimetres. A bare number is in
// unit; "6 mm", "0.25in", "1/4 in", "1 1/2 in" and `1/4"` carry their own. A
// fraction needs a unit unless the file is in inches. The sign is kept; whether
// a length may be negative or zero is for the caller to say. The result is
// finite. The error is a *LengthError.
func ParseLength(text string, unit Unit) (mm float64, err error) {
	fail := func(says, remedy string) (float64, error) {
		return 0, &LengthError{Text: text, Says: says, Remedy: remedy}
	}
	t := strings.Join(strings.Fields(text), " ")
	switch {
	case len(text) > maxLengthText:
		return fail(fmt.Sprintf("want a length, got a text of %d characters", utf8.RuneCountInString(text)),
			"write a number, with or without a unit")
	case t == "":
		return fail("want a length, got nothing", "write a number, with or without a unit")
	}
	number, unitText := t, ""
	if m := endUnitText().FindStringSubmatch(t); m != nil {
		number, unitText = m[1], m[2]
	}
	known := true
	switch strings.ToLower(unitText) {
	case "":
	case "mm":
		unit = MM
	case "in", "inch", "inches", `"`, "″":
		unit = Inch
	default:
		known = false
	}
	v, ok := ParseNumber(number)
	if f := fractionText().FindStringSubmatch(number); f != nil {
		if v, ok, err = readFraction(text, f); err != nil {
			return 0, err
		}
		if unitText == "" && unit != Inch {
			return fail(fmt.Sprintf("the fraction %s has no unit", t), "write "+number+" in")
		}
	}
	switch {
	case ok && !known:
		return fail(otherUnit(v, number, unitText))
	case !ok:
		return fail(noNumber(t, number, unitText, unit))
	}
	mm = v
	if unit == Inch {
		mm = v * 127 / 5 // 25.4, but 127 and 5 are exact: 1 1/2 in is 38.1
	}
	if math.IsInf(mm, 0) {
		return fail(fmt.Sprintf("%s is too large a number", t), "")
	}
	return mm, nil
}

// ParseNumber reads a plain decimal number; false for anything else, such as
// hexadecimal, underscores, a leading zero (octal to some readers) or nan.
func ParseNumber(s string) (float64, bool) {
	m := decimalText().FindStringSubmatch(s)
	if m == nil || leadingZero(m[2]) {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// HasComma reports whether s is a number with a decimal comma.
func HasComma(s string) bool { return commaText().MatchString(s) }

func leadingZero(digits string) bool {
	return len(digits) > 1 && digits[0] == '0' && digits[1] != '.'
}

// readFraction evaluates the parts of fractionText: sign, whole, numerator,
// denominator.
func readFraction(text string, f []string) (float64, bool, error) {
	num, _ := strconv.Atoi(f[3]) // at most nine digits: cannot fail
	den, _ := strconv.Atoi(f[4])
	whole := 0
	if f[2] != "" {
		whole, _ = strconv.Atoi(f[2])
	}
	switch {
	case den == 0:
		return 0, false, &LengthError{text, fmt.Sprintf("%s divides by zero", text), ""}
	case f[2] != "" && num >= den:
		return 0, false, &LengthError{
			text, fmt.Sprintf("%s has a whole number beside a fraction of one or more", text),
			fmt.Sprintf("write %d/%d", whole*den+num, den),
		}
	}
	v := float64(whole) + float64(num)/float64(den)
	if f[1] == "-" {
		v = -v
	}
	return v, true, nil
}

// otherUnits are units of length that a job does not take, in millimetres.
var otherUnits = map[string]float64{
	"cm": 10, "m": 1000, "µm": 1e-3, "μm": 1e-3, "um": 1e-3, "micron": 1e-3, "microns": 1e-3,
	"thou": MMPerInch / 1000, "mil": MMPerInch / 1000, "mils": MMPerInch / 1000, "th": MMPerInch / 1000,
	"ft": 12 * MMPerInch, "feet": 12 * MMPerInch, "'": 12 * MMPerInch, "′": 12 * MMPerInch,
}

// otherUnit says that the unit is not taken, and what the number is in mm.
func otherUnit(v float64, number, unit string) (says, remedy string) {
	bare := strings.TrimSuffix(unit, ".")
	switch strings.ToLower(bare) {
	case "mm", "in", "inch", "inches":
		return fmt.Sprintf("the unit %q is not known", unit), "write " + number + " " + strings.ToLower(bare)
	case "”", "’":
		return fmt.Sprintf("the unit %q is a typographic quote", unit), "write " + number + " in"
	}
	if k, ok := otherUnits[bare]; ok && !math.IsInf(v*k, 0) {
		return fmt.Sprintf("the unit %q is not taken here", unit), "write " + Short(v*k) + " mm"
	}
	return fmt.Sprintf("the unit %q is not known", unit), "write mm or in, or leave it out"
}

// vulgar are the fractions that have a character of their own.
var vulgar = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8",
	"⅝", " 5/8", "⅞", " 7/8", "⁄", "/", "−", "-", "–", "-")

// noNumber says why t is no length.
func noNumber(t, number, unitText string, unit Unit) (says, remedy string) {
	low := strings.ToLower(strings.TrimLeft(t, "+-."))
	tail := ""
	if unitText != "" {
		tail = " " + unitText
	}
	if m := commaText().FindStringSubmatch(number); m != nil {
		remedy = fmt.Sprintf("write %s, not %s", strings.Replace(number, ",", ".", 1)+tail, t)
		if len(m[1]) == 3 {
			remedy += "; if the comma parts thousands, leave it out"
		}
		return fmt.Sprintf("%s has a decimal comma", t), remedy
	}
	switch {
	case low == "nan", low == "inf", low == "infinity":
		return fmt.Sprintf("%s is not a finite number", t), "write a length"
	case vulgar.Replace(t) != t:
		return fmt.Sprintf("%s has a character that is not a digit, point, slash or minus", strconv.Quote(t)),
			"write " + strings.Join(strings.Fields(vulgar.Replace(t)), " ")
	}
	if m := decimalText().FindStringSubmatch(number); m != nil && leadingZero(m[2]) {
		plain := strings.TrimLeft(m[2], "0")
		if plain == "" || plain[0] == '.' {
			plain = "0" + plain
		}
		return fmt.Sprintf("%s starts with a needless zero", t), "write " + m[1] + plain + m[3] + tail
	}
	return fmt.Sprintf("want a length, got %s", strconv.Quote(t)),
		fmt.Sprintf("write a number of %s, or one with its unit: 6 mm, 1/4 in", unit)
}
