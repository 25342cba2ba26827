package measure

import "slices"

// ZeroMethod is a way of finding X and Y zero, and how well it does it.
type ZeroMethod struct {
	Name   string  `json:"name"`    // as the job file has it: machine.zero
	HalfMM float64 `json:"half_mm"` // per axis, plus or minus, 95 %
	How    string  `json:"how"`
	Basis  string  `json:"basis"`
}

// zeroBasis: none of the figures has a source; a maker's own are better.
const zeroBasis = "common practice, no source"

var zeroMethods = []ZeroMethod{
	{"kept", 0, "the pins were bored in this sitting and zero kept since", zeroBasis},
	{"pin", 0.02, "dial or edge finder round a pin in a reamed hole", zeroBasis},
	{"edge finder", 0.03, "an edge finder at the board's or plate's edge", zeroBasis},
	{"paper", 0.05, "a strip of paper between cutter and edge", zeroBasis},
	{"eye", 0.15, "a fine cutter over a drawn cross, by eye", zeroBasis},
}

// ZeroMethods lists the ways of finding zero, the best first. What a method adds to
// every feature is the budget's source "zero setting".
func ZeroMethods() []ZeroMethod { return slices.Clone(zeroMethods) }

// ZeroHalfMM is how well a way of finding X and Y zero does it, per axis, plus or minus,
// 95 %; 0 for a word that names none.
func ZeroHalfMM(way string) float64 {
	for _, m := range ZeroMethods() {
		if m.Name == way {
			return m.HalfMM
		}
	}
	return 0
}
