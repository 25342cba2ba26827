package fit

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"reseat/jig/units"
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
	f, err := newFit(s.SizeMM, *s.Hole, *s.Shaft)
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
	return units.Short(s.SizeMM) + " " + strings.Join(classes, "/")
}

// longestSpec is the length, in bytes, above which a text is no size and class.
const longestSpec = 64

// specText parts a size with its unit from the classes behind it; a diameter sign may stand
// before the size.
var specText = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^\s*[\x{f8}\x{d8}\x{2300}]?\s*([^\pL"\x{2033}]*(?:mm|inch|in|"|\x{2033})?)\s*(.*?)\s*$`)
})

const specRemedy = "write a size and a class or a pair, such as 6 H7 or 6 H7/m6"

// ParseSpec reads a nominal size and a class or a pair: "6 H7/m6", "6H7", "6 mm m6",
// "1/4 in H7/h6", "1 1/2 in H7", "0.25in H7". The size is read as a length in mm is; spaces
// anywhere between the parts are let through; in a pair either class may stand first.
//
// The classes are checked at the size, so a Spec without error has limits. Errors of both
// classes are joined.
func ParseSpec(text string) (Spec, error) {
	if len(text) > longestSpec {
		return Spec{}, fmt.Errorf("%q...: the text is too long; %s", text[:12], specRemedy)
	}
	m := specText().FindStringSubmatch(text)
	if m == nil || strings.TrimSpace(m[1]) == "" {
		return Spec{}, fmt.Errorf("%q: the size must stand first; %s", text, specRemedy)
	}
	size, err := ParseSize(m[1])
	if err != nil {
		return Spec{}, err
	}
	names := strings.Split(m[2], "/")
	if m[2] == "" || len(names) > 2 {
		return Spec{}, fmt.Errorf("%q: want a size, then one class, or two with a / between; %s", text, specRemedy)
	}
	s := Spec{SizeMM: size}
	var faults []error
	var classes []Class
	for _, name := range names {
		c, err := ParseClass(name)
		if err == nil {
			_, err = ClassLimits(size, c)
		}
		faults, classes = append(faults, err), append(classes, c)
	}
	if err := errors.Join(faults...); err != nil {
		return Spec{}, err
	}
	if len(classes) == 2 && classes[0].IsHole() == classes[1].IsHole() {
		return Spec{}, pairError(classes[0], classes[1])
	}
	for i := range classes {
		if c := &classes[i]; c.IsHole() {
			s.Hole = c
		} else {
			s.Shaft = c
		}
	}
	return s, nil
}

// ParseSize reads a nominal size alone, in mm: "6", "6 mm", "1/4 in", "0.25in". Errors are
// those of [units.ParseLength] and a size beyond the tables.
func ParseSize(text string) (float64, error) {
	size, err := units.ParseLength(strings.TrimLeft(text, "\u00f8\u00d8\u2300 "), units.MM)
	if err != nil {
		return 0, err
	}
	if _, err := stepOf(size); err != nil {
		return 0, err
	}
	return size, nil
}
