// Package sourced holds values that say where they come from.
package sourced

import (
	"strings"

	"reseat/jig/units"
)

// Mark says how well a value is founded.
type Mark string

// The five marks of sources, firm ones first, beside Given, which is the user's, and Unknown, a value that
// nobody has.
const (
	Given    Mark = "given"    // by the user
	Standard Mark = "standard" // seen in a published standard, handbook or paper
	Web      Mark = "web"      // seen on a page of unknown standing
	Derived  Mark = "derived"  // arithmetic, from what the source names
	Recalled Mark = "recalled" // from memory, not seen
	Practice Mark = "practice" // common practice, no source
	Unknown  Mark = "unknown"
)

// rank orders the marks from firm to weak.
var rank = map[Mark]int{Given: 0, Standard: 1, Web: 2, Derived: 3, Recalled: 4, Practice: 5, Unknown: 6}

// Value is a number, or the range that it lies in, with where it comes from. One
// that is not known is 0 to 0 with the mark Unknown.
type Value struct {
	Least  float64 `json:"least"`
	Most   float64 `json:"most"`   // as Least when it is one number
	Unit   string  `json:"unit"`   // "" for a plain ratio or a count
	Mark   Mark    `json:"mark"`   // of the weakest part that went into it
	Source string  `json:"source"` // for people: work, edition and table, or how it is computed
}

// One is a value of a single number.
func One(v float64, unit string, mark Mark, source string) Value {
	return Value{v, v, unit, mark, source}
}

// Computed is a value that follows from parts: its mark is the weakest of theirs,
// and Derived when all of them are firm.
func Computed(least, most float64, unit, how string, parts ...Value) Value {
	v := Value{least, most, unit, Derived, how}
	for _, p := range parts {
		if rank[p.Mark] > rank[v.Mark] {
			v.Mark = p.Mark
		}
	}
	return v
}

// Times returns v scaled by k, in another unit.
func (v Value) Times(k float64, unit, how string, parts ...Value) Value {
	return Computed(v.Least*k, v.Most*k, unit, how, append(parts, v)...)
}

// IsKnown reports whether the value says anything.
func (v Value) IsKnown() bool { return v.Mark != Unknown && v.Mark != "" }

// String writes the number or the range to three significant digits with its unit.
func (v Value) String() string {
	if !v.IsKnown() {
		return string(Unknown)
	}
	s := units.Significant(v.Least, 3)
	if v.Most != v.Least {
		s += " to " + units.Significant(v.Most, 3)
	}
	return strings.TrimSpace(s + " " + v.Unit)
}
