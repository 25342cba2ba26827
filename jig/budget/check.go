package budget

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/geom"
)

// largest bounds every length (mm), coefficient and half width that the package
// accepts. No board is near a hundred metres, and products of three such figures
// stay far from overflow when squared.
const largest = 1e5

func sane(x float64) bool { return math.Abs(x) <= largest } // false for NaN

// check returns every fault of s, joined: *InputError, *NameError, *LawError,
// *NoFeatureError.
func (s Spec) check() error {
	var faults []error
	number := func(x float64, least float64, want, what string, args ...any) {
		if !sane(x) || x < least {
			faults = append(faults, &InputError{fmt.Sprintf(what, args...), x, want})
		}
	}
	if s.Trials != 0 && (s.Trials < leastTrials || s.Trials > mostTrials) {
		faults = append(faults, &InputError{"number of trials", float64(s.Trials), fmt.Sprintf("%d to %d, or 0 for %d", leastTrials, mostTrials, defaultTrials)})
	}
	if len(s.Features) == 0 {
		faults = append(faults, &NoFeatureError{})
	}
	for i, f := range s.Features {
		if f.Name == "" {
			faults = append(faults, &NameError{What: "feature", Index: i})
		}
		for _, x := range [2]float64{f.At.X, f.At.Y} {
			number(x, -largest, "finite coordinates below 100 m", "place of feature %d %q (mm)", i, f.Name)
		}
	}
	seen := map[string]bool{}
	for i, src := range s.Sources {
		if src.Name == "" || seen[src.Name] {
			faults = append(faults, &NameError{"source", i, src.Name})
		}
		seen[src.Name] = true
		for j, v := range src.Vars {
			least, want := 0.0, "zero or more"
			if v.Law == Known {
				least, want = -largest, "a finite number"
			}
			number(v.Half, least, want, "source %q, half width of cause %d", src.Name, j)
			if v.Law < Normal || v.Law > Known {
				faults = append(faults, &LawError{src.Name, j, v.Law})
			}
			for _, x := range v.Field.coefficients() {
				number(x, -largest, "finite coefficients", "source %q, field of cause %d", src.Name, j)
			}
		}
		number(src.OwnHalf, 0, "zero or more", "source %q, own error of a feature (mm)", src.Name)
		for _, x := range [2]float64{src.PlayScale.Mean, src.PlayScale.SD} {
			if !(x >= 0 && x <= 1) {
				faults = append(faults, &InputError{fmt.Sprintf("source %q, share of the play", src.Name), x, "0 to 1"})
			}
		}
	}
	return errors.Join(faults...)
}

// coefficients returns the six figures of f, in the order of the simulation.
func (f Field) coefficients() [6]float64 {
	return [6]float64{f.Shift.X, f.Shift.Y, f.UU, f.UV, f.VU, f.VV}
}

// axes are the directions along and across the board.
var axes = [2]geom.Vec{{X: 1}, {Y: 1}}
