package fit

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// mmPerInch is exact (international inch, 1959).
const mmPerInch = 25.4

// Spec is a size with a class or with a pair of classes, as a drawing writes it.
type Spec struct {
	SizeMM float64
	Hole   Class // the zero Class when there is none
	Shaft  Class
	Unit   string // "mm" or "in": what the size was given in
}

// IsFit reports whether the specification has a hole and a shaft.
func (s Spec) IsFit() bool { return s.Hole.Letters != "" && s.Shaft.Letters != "" }

// Fit returns the fit of a specification with both classes.
func (s Spec) Fit() (Fit, error) { return NewFit(s.SizeMM, s.Hole, s.Shaft) }

// Class returns the one class of a specification that has only one, the hole of one
// that has two.
func (s Spec) Class() Class {
	if s.Hole.Letters != "" {
		return s.Hole
	}
	return s.Shaft
}

// SpecError is a text that is no size with classes.
type SpecError struct {
	Text, Says, Remedy string
}

func (e *SpecError) Error() string {
	if e.Remedy == "" {
		return fmt.Sprintf("fit: %q %s", e.Text, e.Says)
	}
	return fmt.Sprintf("fit: %q %s (%s)", e.Text, e.Says, e.Remedy)
}

// specText parts a specification into sign and size, unit, and classes.
var specText = regexp.MustCompile(`^\s*([+-]?[0-9][0-9.,/ ]*?|[+-]?[.,][0-9]+)\s*(mm|in|inch|inches|"|″)?\s*([A-Za-z][A-Za-z0-9/ ]*)?\s*$`)

// maxSpecText is the longest text that is read, in bytes; anything longer is no
// size and class.
const maxSpecText = 64

// ParseSpec reads "6 H7", "6H7", "6 H7/m6", "6 mm H7", "1/4 in H7/h6" or
// `0.25" m6`. A size without a unit is mm, but a fraction needs one. The classes are
// checked against the size, so that a Spec that comes back has limits. The errors are
// *SpecError, *ClassError, *PairError, *SizeError and *UndefinedError; each names the
// remedy.
func ParseSpec(text string) (Spec, error) {
	fail := func(says, remedy string) (Spec, error) { return Spec{}, &SpecError{Text: text, Says: says, Remedy: remedy} }
	if len(text) > maxSpecText {
		return Spec{}, &SpecError{Text: text[:maxSpecText] + "...", Says: "is too long for a size and a class", Remedy: "write 6 H7 or 6 H7/m6"}
	}
	m := specText.FindStringSubmatch(text)
	if m == nil {
		return fail("is no size with a tolerance class", "write the size first, then the class: 6 H7, 6 H7/m6, 1/4 in H7")
	}
	size, err := ParseSize(strings.TrimSpace(m[1] + " " + m[2]))
	if err != nil {
		return Spec{}, err
	}
	out := Spec{SizeMM: size, Unit: "mm"}
	if m[2] != "" && m[2] != "mm" {
		out.Unit = "in"
	}
	if m[3] == "" {
		return fail("has no tolerance class", "write one behind the size: 6 H7 for a hole, 6 m6 for a shaft, 6 H7/m6 for both")
	}
	c, err := parseClasses(m[3])
	if err != nil {
		return Spec{}, err
	}
	out.Hole, out.Shaft = c.hole, c.shaft
	for _, class := range []Class{out.Hole, out.Shaft} {
		if class.Letters == "" {
			continue
		}
		if _, err := ClassLimits(size, class); err != nil {
			return Spec{}, err
		}
	}
	return out, nil
}

type classes struct {
	hole, shaft       Class
	hasHole, hasShaft bool
}

// parseClasses reads one class or two with a slash between.
func parseClasses(text string) (classes, error) {
	parts := strings.Split(text, "/")
	var out classes
	switch len(parts) {
	case 1:
		c, err := ParseClass(parts[0])
		if err != nil {
			return out, err
		}
		if c.IsHole() {
			return classes{hole: c, hasHole: true}, nil
		}
		return classes{shaft: c, hasShaft: true}, nil
	case 2:
		a, err := ParseClass(parts[0])
		if err != nil {
			return out, err
		}
		b, err := ParseClass(parts[1])
		if err != nil {
			return out, err
		}
		if err := checkPair(a, b); err != nil {
			return out, err
		}
		return classes{a, b, true, true}, nil
	}
	return out, &ClassError{Text: text, Says: "has more than two classes", Remedy: "write one hole and one shaft: H7/m6"}
}

var fractionSize = regexp.MustCompile(`^(?:(\d{1,4}) +)?(\d{1,4}) ?/ ?(\d{1,4})$`)

// ParseSize reads a nominal size and returns mm: "6", "6 mm", "0.25 in", "1/4 in",
// "1 1/2 in". The errors are *SpecError, and *SizeError outside over 0 to 500 mm.
func ParseSize(text string) (float64, error) {
	fail := func(says, remedy string) (float64, error) { return 0, &SpecError{Text: text, Says: says, Remedy: remedy} }
	t := strings.TrimSpace(text)
	number, per, unit := t, 1.0, ""
	for _, u := range []struct {
		word string
		per  float64
	}{{"mm", 1}, {"inches", mmPerInch}, {"inch", mmPerInch}, {"in", mmPerInch}, {`"`, mmPerInch}, {"″", mmPerInch}} {
		if strings.HasSuffix(t, u.word) {
			number, per, unit = strings.TrimSpace(strings.TrimSuffix(t, u.word)), u.per, u.word
			break
		}
	}
	if strings.Contains(number, ",") {
		return fail("has a decimal comma", "write "+strings.TrimSpace(strings.ReplaceAll(number, ",", ".")+" "+unit))
	}
	bare := strings.TrimLeft(number, "+-")
	var v float64
	if f := fractionSize.FindStringSubmatch(bare); f != nil {
		if unit == "" {
			return fail("is a fraction without a unit", "write "+number+" in")
		}
		whole, _ := strconv.Atoi(f[1]) // at most four digits, or empty for 0
		num, _ := strconv.Atoi(f[2])
		den, _ := strconv.Atoi(f[3])
		if den == 0 {
			return fail("divides by zero", "")
		}
		v = float64(whole) + float64(num)/float64(den)
	} else {
		var err error
		if v, err = strconv.ParseFloat(bare, 64); err != nil || strings.ContainsAny(bare, "xXpP_") {
			return fail("is no size", "write a number of mm, or one with its unit: 6 mm, 1/4 in")
		}
	}
	v *= per
	if strings.HasPrefix(number, "-") {
		v = -v
	}
	if !(v > 0) || v > mostMM || math.IsInf(v, 0) {
		return 0, &SizeError{SizeMM: v}
	}
	return v, nil
}
