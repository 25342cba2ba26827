package fit

import (
	"fmt"
	"math"
	"strings"
)

// Sources of the figures below, as they are named to people.
const (
	sourceProcess  = "testdata/reference/process_tolerance.csv"
	sourceShop     = "a laser shop's published limits"
	sourceShrink   = "published hole shrinkage of printed parts"
	sourceNone     = "common practice, no source"
	sourceOversize = "drill oversize 0.05: testdata/reference/reaming_stock.csv"
)

// DefaultProcess gives the figures of a process in a material of a thickness in
// mm, each with its source in Source. They are a start: a measured coupon is
// better than any of them. An unknown kind gives a *ProcessError with what there
// is; a thickness that is no thickness one that says so.
//
// Materials are known by a word in their name (see FamilyOf).
func DefaultProcess(kind ProcessKind, material string, thicknessMM float64) (Process, error) {
	if math.IsNaN(thicknessMM) || thicknessMM <= 0 || thicknessMM > thickestMM {
		return Process{}, &ProcessError{Got: string(kind), Says: fmt.Sprintf(
			"thickness is %g mm; want one over 0, up to %g", thicknessMM, float64(thickestMM))}
	}
	f := FamilyOf(material)
	switch ProcessKind(strings.ToLower(strings.TrimSpace(string(kind)))) {
	case Drill:
		return drilled(f), nil
	case Ream:
		return reamed(f), nil
	case Router:
		return routed(f), nil
	case Laser:
		return lasered(f, thicknessMM), nil
	case Print:
		return printed(), nil
	}
	return Process{}, &ProcessError{Got: string(kind), Known: ProcessKinds(), DidYouMean: nearKind(string(kind))}
}

// thickestMM is thicker than any plate, blank or bed that is drilled for pins.
const thickestMM = 150

// drilled: a twist drill cuts 0.05 mm over its size (reaming_stock.csv, the
// note on drill oversize) and holds IT10 to IT13 (process_tolerance.csv): IT12 at
// 6 mm is 0.12 mm wide. In wood and its boards the drill follows the grain and
// the wall springs back, so the spread is taken wider there.
func drilled(f Family) Process {
	p := Process{
		Kind: Drill, Bias: 0.05, BiasLow: 0, BiasHigh: 0.10, Spread: 0.06, SpreadLow: 0.024, SpreadHigh: 0.09,
		PositionSpread: 0.15, SmallestHole: 1, Stock: 0.3, BestGrade: IT10,
		Source: "bias: " + sourceOversize + "; spread: drilling IT10-IT13, " + sourceProcess + "; position by punch and press: " + sourceNone,
	}
	if f == Wood {
		p.Bias, p.BiasLow, p.Spread, p.SpreadHigh, p.BestGrade = 0, -0.1, 0.08, 0.2, IT12
		p.Source = "bias 0 and spread 0.08 in wood: " + sourceNone + "; position by punch and press: " + sourceNone
	}
	return p
}

// reamed: IT7 to IT8 (process_tolerance.csv, article row). A reamer's own limits
// set the mean, so bias is nil. No figure was found for plastics and wood; they
// are taken one and two grades coarser.
func reamed(f Family) Process {
	p := Process{
		Kind: Ream, BiasLow: -0.005, BiasHigh: 0.01, Spread: 0.005, SpreadLow: 0.004, SpreadHigh: 0.02,
		PositionSpread: 0.15, SmallestHole: 1, Stock: 0.3, BestGrade: IT7,
		Source: "grade: reaming IT7-IT8, " + sourceProcess + "; spread: half of IT7; position by punch and press: " + sourceNone,
	}
	switch f {
	case CastAcrylic, ExtrudedAcrylic, Plastic:
		p.BestGrade, p.Spread = IT8, 0.007
		p.Source = "grade: reaming IT7-IT8, " + sourceProcess + ", the coarser one in plastics; position by punch and press: " + sourceNone
	case Wood:
		p.BestGrade, p.Spread, p.BiasLow = IT9, 0.012, -0.05
		p.Source = "grade IT9 in wood: " + sourceNone + "; position by punch and press: " + sourceNone
	}
	return p
}

// routed: the lower end of the range published for a good router and for wood
// joinery, +/-0.05 to 0.2 mm, since a hole is small and is cut in one go; a hobby
// machine is published at +/-0.2 to 0.5 mm over a whole part.
func routed(f Family) Process {
	p := Process{
		Kind: Router, BiasLow: -0.1, BiasHigh: 0.1, Spread: 0.05, SpreadLow: 0.05, SpreadHigh: 0.2,
		PositionSpread: 0.05, SmallestHole: 2.4, Stock: 0.3, BestGrade: IT10,
		Source: "spread and position: router +/-0.05-0.2 (lower end), milling IT10-IT13, " + sourceProcess +
			"; bias 0 until measured and smallest hole (1.2 x a 2 mm cutter): " + sourceNone,
	}
	if f == Wood {
		p.BestGrade = IT11
	}
	return p
}

// lasered: process_tolerance.csv has +/-0.05 to 0.2 mm; the thicker the sheet the
// wider (a shop's ISO 9013 table goes to +/-0.3 for a 6 mm hole in 3 to 6 mm
// sheet). A shop states 0.13 mm for position and about 0.25 mm of edge taper;
// a hole under half the sheet's thickness does not come out.
func lasered(f Family, t float64) Process {
	p := Process{
		Kind: Laser, BiasLow: -0.25, BiasHigh: 0.25, Spread: 0.10, SpreadLow: 0.05, SpreadHigh: 0.3,
		PositionSpread: 0.13, TaperMM: math.Min(t*taperPerMM, mostTaperMM),
		SmallestHole: math.Max(0.5, t/2), Stock: 0.3, BestGrade: IT13,
		Source: "spread: laser +/-0.05-0.2, " + sourceProcess + "; position 0.13 and taper 0.25 (taken for 6 mm and over, less below): " +
			sourceShop + "; smallest hole half the thickness: a cutting shop's rule; bias 0 beside the kerf: " + sourceNone,
	}
	switch {
	case t > 6:
		p.Spread = 0.20
	case t > 3:
		p.Spread = 0.15
	}
	return p
}

// The taper of a laser cut grows with the sheet until mostTaperMM, which is what
// a shop publishes (without a thickness); that 6 mm has all of it is common
// practice, no source.
const (
	mostTaperMM = 0.25
	taperPerMM  = mostTaperMM / 6
)

// printed: +/-0.3 mm below 100 mm. Published shrinkage of holes runs from 0.1 to
// 0.6 mm, so none is assumed: a coupon tells.
func printed() Process {
	return Process{
		Kind: Print, BiasLow: -0.6, BiasHigh: 0, Spread: 0.3, SpreadLow: 0.05, SpreadHigh: 0.3,
		PositionSpread: 0.15, SmallestHole: 2, Stock: 0.3, BestGrade: IT14,
		Source: "bias: none assumed, print a coupon (" + sourceShrink + " is 0.1 to 0.6 mm); spread +/-0.3: " + sourceProcess +
			"; position beside shrinkage and smallest hole: " + sourceNone,
	}
}

// nearKind is the kind that a misspelt or related word means, "" when none is near.
func nearKind(s string) ProcessKind {
	s = strings.ToLower(strings.TrimSpace(s))
	for _, w := range []struct {
		stem string
		kind ProcessKind
	}{
		{"reamer", Ream},
		{"bor", Drill},
		{"mill", Router},
		{"cnc", Router},
		{"rout", Router},
		{"fdm", Print},
		{"3d", Print},
		{"las", Laser},
		{"prin", Print},
		{"dril", Drill},
		{"ream", Ream},
	} {
		if strings.Contains(s, w.stem) {
			return w.kind
		}
	}
	best, at := ProcessKind(""), 3 // three slips make it another word
	for _, k := range ProcessKinds() {
		if d := slips(s, string(k)); d < at {
			best, at = k, d
		}
	}
	return best
}

// slips counts the letters to add, drop or change to turn a into b (Levenshtein).
func slips(a, b string) int {
	if len(a) > longestWord {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// longestWord is longer than any process name with slips.
const longestWord = 32
