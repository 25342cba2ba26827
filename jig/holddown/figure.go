package holddown

import "fmt"

// Basis says how well a figure is founded.
type Basis string

// What a figure can rest on, best first.
const (
	Given    Basis = "given"
	Found    Basis = "found"
	Derived  Basis = "derived"
	Practice Basis = "common practice, no source"
)

// rank orders the bases from firm to weak.
var rank = map[Basis]int{Given: 0, Found: 1, Derived: 2, Practice: 3}

// Figure is a value with where it comes from.
type Figure struct {
	Value  float64
	Unit   string // "" for a plain ratio
	Basis  Basis  // of the weakest part that went into it
	Source string // a sentence for people: the source, or how it is computed
}

func (f Figure) String() string {
	if f.Unit == "" {
		return fmt.Sprintf("%.3g", f.Value)
	}
	if f.Value >= 1000 {
		return fmt.Sprintf("%.0f %s", f.Value, f.Unit)
	}
	return fmt.Sprintf("%.3g %s", f.Value, f.Unit)
}

// computed is a figure that follows from parts; its basis is the weakest of
// theirs, and Derived when all are firm.
func computed(v float64, unit, source string, parts ...Figure) Figure {
	f := Figure{v, unit, Derived, source}
	for _, p := range parts {
		if rank[p.Basis] > rank[f.Basis] {
			f.Basis = p.Basis
		}
	}
	return f
}

// or returns the user's figure when there is one, otherwise the default.
func or(given float64, unit, as string, def Figure) Figure {
	if given != 0 {
		return Figure{given, unit, Given, as}
	}
	return def
}
