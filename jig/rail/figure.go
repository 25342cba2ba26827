package rail

import (
	"fmt"
	"math"
	"strings"
)

// Basis says how well a figure is founded.
type Basis string

// What a figure can rest on, best first.
const (
	Given    Basis = "given"
	Found    Basis = "found"
	Derived  Basis = "derived"
	Recalled Basis = "recalled, not seen"
	Practice Basis = "common practice, no source"
	Unknown  Basis = "not known"
)

// Figure is a value, or the range it lies in, with where it comes from. An
// unknown figure is 0 to 0 with the basis Unknown.
type Figure struct {
	Least, Most float64 // equal when it is one value
	Unit        string  // "" for a plain ratio or a count
	Basis       Basis   // of the weakest part that went into it
	Source      string  // a sentence for people: the source, or how it is computed
}

// Known reports whether the figure says anything.
func (f Figure) Known() bool { return f.Basis != Unknown && f.Basis != "" }

func (f Figure) String() string {
	switch {
	case !f.Known():
		return string(Unknown)
	case f.Least == f.Most:
		return strings.TrimSpace(show(f.Least) + " " + f.Unit)
	}
	return strings.TrimSpace(show(f.Least) + " to " + show(f.Most) + " " + f.Unit)
}

// show writes v with three digits that count, and no exponent for large ones.
func show(v float64) string {
	if math.Abs(v) >= 1000 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.3g", v)
}

// one is a figure of a single value.
func one(v float64, unit string, basis Basis, source string) Figure {
	return Figure{v, v, unit, basis, source}
}

// times returns f scaled by k, in another unit, as computed by says.
func (f Figure) times(k float64, unit, says string) Figure {
	return Figure{f.Least * k, f.Most * k, unit, computed(f.Basis), says}
}

// rank orders the bases from firm to weak.
var rank = map[Basis]int{Given: 0, Found: 1, Derived: 2, Recalled: 3, Practice: 4, Unknown: 5}

// computed returns the basis of a figure that was computed from parts: that of
// the weakest, and Derived when all of them are firm.
func computed(parts ...Basis) Basis {
	weakest := Derived
	for _, b := range parts {
		if rank[b] > rank[weakest] {
			weakest = b
		}
	}
	return weakest
}

// Fault is one entry of a spec that cannot be meant.
type Fault struct {
	What string // the entry, in trade words
	Got  string
	Want string // what would do
}

// SpecError reports every entry of a spec that cannot be meant.
type SpecError struct{ Faults []Fault }

func (e *SpecError) Error() string {
	says := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		says[i] = fmt.Sprintf("%s is %s; want %s", f.What, f.Got, f.Want)
	}
	return "rail: " + strings.Join(says, "\nrail: ")
}

// checker gathers the faults of a spec.
type checker struct{ faults []Fault }

// within asks that v lies between least and most; NaN does not.
func (c *checker) within(what string, v float64, unit string, least, most float64) {
	if !(v >= least && v <= most) {
		unit = strings.TrimRight(" "+unit, " ")
		c.faults = append(c.faults, Fault{what, fmt.Sprintf("%g%s", v, unit), fmt.Sprintf("%g to %.6g%s", least, most, unit)})
	}
}

// or is within for an entry whose 0 means a default.
func (c *checker) or(what string, v float64, unit string, least, most float64) {
	if v != 0 {
		c.within(what, v, unit, least, most)
	}
}

func (c *checker) err() error {
	if c.faults == nil {
		return nil
	}
	return &SpecError{c.faults}
}

// orDefault returns v, or the default when v is 0.
func orDefault(v, def float64) float64 {
	if v == 0 {
		return def
	}
	return v
}

// up rounds up to a whole number, letting through what is whole but for rounding.
func up(v float64) float64 {
	const rounding = 1e-9 // a share: a thousand times what a few products lose
	return math.Ceil(v * (1 - rounding))
}
