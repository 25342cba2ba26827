package measure

import "slices"

// ZeroMethod is a way of finding X and Y zero, and how well it does it.
type ZeroMethod struct {
	Name   string  `json:"name"`    // as the job file has it: machine.zero
	HalfMM float64 `json:"half_mm"` // per axis, plus or minus, 95 %
	How    string  `json:"how"`
	Source string  `json:"basis"`
}

// noSource: none of the figures has a source; a maker's own are better.
const noSource = "common practice, no source"

var zeroMethods = []ZeroMethod{
	{"kept", 0, "the pins were bored in this sitting and zero kept since", noSource},
	{"pin", 0.02, "dial or edge finder round a pin in a reamed hole", noSource},
	{"edge finder", 0.03, "an edge finder at the board's or plate's edge", noSource},
	{"paper", 0.05, "a strip of paper between cutter and edge", noSource},
	{"eye", 0.15, "a fine cutter over a drawn cross, by eye", noSource},
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
