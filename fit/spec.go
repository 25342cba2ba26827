package fit

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Spec is a nominal size with one class or a pair. Hole or Shaft is nil when it is not given;
// at least one is set.
type Spec struct {
	SizeMM float64
	Hole   *Class
	Shaft  *Class
}

// Fit gives the pair of a Spec that has both classes, and false when one is missing.
func (s Spec) Fit() (Fit, bool, error) {
	if s.Hole == nil || s.Shaft == nil {
		return Fit{}, false, nil
	}
	f, err := NewFit(s.SizeMM, *s.Hole, *s.Shaft)
	return f, true, err
}

// String writes the Spec so that ParseSpec reads it back: "6 H7/m6".
func (s Spec) String() string {
	var classes []string
	for _, c := range []*Class{s.Hole, s.Shaft} {
		if c != nil {
			classes = append(classes, c.String())
		}
	}
	return mm(s.SizeMM) + " " + strings.Join(classes, "/")
}

// mmPerInch is exact (international inch, 1959).
const mmPerInch = 25.4

// longestSpec is the length, in bytes, above which a text is no size and class.
const longestSpec = 64

// ParseSpec reads a nominal size and a class or a pair: "6 H7/m6", "6H7", "6 mm m6",
// "1/4 in H7/h6", "1 1/2 in H7", "0.25in H7". Without a unit the size is in millimetres; a
// fraction needs "in". A diameter sign before the size and spaces anywhere between the parts
// are let through; in a pair either class may stand first.
//
// The classes are checked at the size, so a Spec without error has limits. Errors: [SpecError]
// for the text, [ClassError], [PairError], [SizeError] and [UndefinedError], those of both
// classes joined.
func ParseSpec(text string) (Spec, error) {
	if len(text) > longestSpec {
		return Spec{}, &SpecError{Text: text[:12] + "...", Why: "the text is too long", Remedy: specRemedy}
	}
	size, rest, err := cutSize(text, trimSign(text))
	if err != nil {
		return Spec{}, err
	}
	s, err := parsePair(text, rest)
	if err != nil {
		return Spec{}, err
	}
	s.SizeMM = size
	var faults []error
	for _, c := range []*Class{s.Hole, s.Shaft} {
		if c == nil {
			continue
		}
		if _, err := ClassLimits(size, *c); err != nil {
			faults = append(faults, err)
		}
	}
	if len(faults) > 0 {
		return Spec{}, errors.Join(faults...)
	}
	return s, nil
}

// trimSign takes spaces and a diameter sign off the front.
func trimSign(text string) string {
	rest := strings.TrimSpace(text)
	for _, sign := range []string{"\u00f8", "\u00d8", "\u2300"} {
		rest = strings.TrimSpace(strings.TrimPrefix(rest, sign))
	}
	return rest
}

// ParseSize reads a nominal size alone, in mm: "6", "6 mm", "1/4 in", "0.25in". Errors:
// [SpecError] and [SizeError].
func ParseSize(text string) (float64, error) {
	if len(text) > longestSpec {
		return 0, &SpecError{Text: text[:12] + "...", Why: "the text is too long", Remedy: sizeRemedy}
	}
	size, rest, err := cutSize(text, trimSign(text))
	var se *SpecError
	if errors.As(err, &se) && se.Remedy == specRemedy {
		se.Remedy = sizeRemedy // no class is wanted here
	}
	if err != nil {
		return 0, err
	}
	if rest != "" {
		return 0, &SpecError{Text: text, Why: fmt.Sprintf("%q is no unit", rest), Remedy: sizeRemedy}
	}
	return size, nil
}

const sizeRemedy = "write a size such as 6, 6 mm or 1/4 in"

const specRemedy = "write a size and a class or a pair, such as 6 H7 or 6 H7/m6"

// cutSize takes the size with its unit off the front of rest; the size comes in millimetres.
func cutSize(text, rest string) (float64, string, error) {
	fault := func(why, remedy string) (float64, string, error) {
		return 0, "", &SpecError{Text: text, Why: why, Remedy: remedy}
	}
	n := 0
	for n < len(rest) && strings.IndexByte("0123456789.,+-", rest[n]) >= 0 {
		n++
	}
	num := rest[:n]
	after := rest[n:]
	switch {
	case rest == "":
		return fault("nothing is given", specRemedy)
	case num == "":
		return fault("the size must stand first", specRemedy)
	case strings.Contains(num, ","):
		return fault("the size has a comma", "write it with a point: "+strings.ReplaceAll(num, ",", "."))
	case strings.HasPrefix(num, "-"):
		return fault("the size is negative", "give the diameter itself, greater than 0")
	case !plainNumber(num):
		return fault("the size is not a number", specRemedy)
	}
	value, err := strconv.ParseFloat(num, 64)
	if err != nil {
		return fault("the size is not a number", specRemedy)
	}
	value, after, fraction, ok := cutFraction(num, value, after)
	if !ok {
		return fault("the fraction is not a number", "write it as 1/4 in or 1 1/4 in")
	}
	after = strings.TrimLeft(after, " ")
	inch, after, unit := cutUnit(after)
	switch {
	case fraction && !unit:
		return fault("a fraction is an inch size", "add the unit: 1/4 in H7")
	case fraction && !inch:
		return fault("a fraction is an inch size", "write in, or the size in mm as a decimal")
	case inch:
		value *= mmPerInch
	}
	if math.IsNaN(value) || !(value > 0) || value > LargestMM {
		return 0, "", newSizeError(value)
	}
	return value, strings.TrimLeft(after, " "), nil
}

// plainNumber reports digits with at most one point, at least one digit: "6", "0.25", ".5".
func plainNumber(s string) bool {
	digits, points := 0, 0
	for i := range len(s) {
		switch {
		case s[i] == '.':
			points++
		case s[i] >= '0' && s[i] <= '9':
			digits++
		default:
			return false
		}
	}
	return digits > 0 && points <= 1
}

// cutFraction extends a number that is the numerator of a fraction ("1/4") or the whole part
// of a mixed number ("1 1/4"); ok is false for a fraction that is no number.
func cutFraction(num string, value float64, after string) (v float64, rest string, fraction, ok bool) {
	whole, top := 0.0, num
	if t := strings.TrimLeft(after, " "); t != after && t != "" && t[0] >= '0' && t[0] <= '9' {
		n := leadingDigits(t)
		if !strings.HasPrefix(t[n:], "/") {
			return value, after, false, true // no fraction: left for the class to complain of
		}
		whole, top, after = value, t[:n], t[n:]
	}
	if !strings.HasPrefix(after, "/") {
		return value, after, false, true
	}
	n := leadingDigits(after[1:])
	bottom := after[1 : 1+n]
	if strings.Contains(num, ".") || n == 0 || len(top) > 4 || len(bottom) > 4 {
		return 0, "", true, false
	}
	a, _ := strconv.Atoi(top)
	b, _ := strconv.Atoi(bottom)
	if b == 0 {
		return 0, "", true, false
	}
	return whole + float64(a)/float64(b), after[1+n:], true, true
}

func leadingDigits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// cutUnit takes "mm", "in", "inch" or an inch mark off the front.
func cutUnit(s string) (inch bool, rest string, unit bool) {
	if r, ok := strings.CutPrefix(s, "mm"); ok {
		return false, r, true
	}
	for _, u := range []string{"inch", "in", "\"", "\u2033"} {
		if r, ok := strings.CutPrefix(s, u); ok {
			return true, r, true
		}
	}
	return false, s, false
}

// parsePair reads "H7", "H7/m6" or "m6/H7".
func parsePair(text, s string) (Spec, error) {
	if strings.TrimSpace(s) == "" {
		return Spec{}, &SpecError{Text: text, Why: "the class is missing", Remedy: specRemedy}
	}
	parts := strings.Split(s, "/")
	if len(parts) > 2 {
		return Spec{}, &SpecError{Text: text, Why: "there are more than two classes", Remedy: specRemedy}
	}
	for i, p := range parts {
		parts[i] = strings.TrimSpace(p)
		switch {
		case parts[i] == "":
			return Spec{}, &SpecError{Text: text, Why: "a class is missing beside the /", Remedy: specRemedy}
		case strings.ContainsAny(parts[i], " \t"):
			return Spec{}, &SpecError{Text: text, Why: fmt.Sprintf("%q is not one class", parts[i]), Remedy: specRemedy}
		}
	}
	first, err := ParseClass(parts[0])
	if len(parts) == 1 && err != nil {
		return Spec{}, err
	}
	if len(parts) == 1 {
		if first.IsHole() {
			return Spec{Hole: &first}, nil
		}
		return Spec{Shaft: &first}, nil
	}
	second, err2 := ParseClass(parts[1])
	if err := errors.Join(err, err2); err != nil {
		return Spec{}, err
	}
	switch {
	case first.IsHole() == second.IsHole():
		return Spec{}, newPairError(first, second)
	case first.IsHole():
		return Spec{Hole: &first, Shaft: &second}, nil
	}
	return Spec{Hole: &second, Shaft: &first}, nil
}

// A SpecError reports a text that is no size with a class or a pair.
type SpecError struct {
	Text   string
	Why    string
	Remedy string
}

func (e *SpecError) Error() string {
	return fmt.Sprintf("fit: %q: %s; %s", e.Text, e.Why, e.Remedy)
}
