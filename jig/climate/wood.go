package climate

import (
	"fmt"
	"math"
)

// Status tells how a coefficient is known.
type Status string

// The statuses, best first.
const (
	Found   Status = "found"   // seen in the published source that is named
	Derived Status = "derived" // worked out from figures that were seen
	Given   Status = "given"   // by the user
	Memory  Status = "memory"  // recalled, not seen
)

// Wood is a kind of wood and how it moves across the grain.
type Wood struct {
	Name   string  // as it is named here: "sugar maple"
	CR, CT float64 // radial and tangential change per 1 % of moisture, relative to the size at 10 %, good from 6 to 14 %
	// RadialAssumed: no radial figure is known; CR is CT, which is more than the
	// wood moves radially.
	RadialAssumed bool
	Source        string
	Status        Status // the worse of the two figures'
	Note          string // what a reader should know: what a bare name was taken as, a figure that disagrees; may be empty
}

// fibreSaturation is the moisture, percent, below which wood shrinks: 30 gives
// every domestic hardwood row of table 13-5 from its shrinkage to the last digit
// but sweet birch's (testdata/reference/wood_shrinkage.csv).
const fibreSaturation = 30.0

// ShrinkageCoefficient turns a published shrinkage from green to oven-dry
// (percent of the green size) into a change per 1 % of moisture, relative to the
// size at 10 %:
//
//	C = S/(100 F - (F - 10) S)
//
// with F the fibre saturation, percent: the size falls in a straight line from 1
// at F to 1 - S/100 at 0, so it is 1 - (F - 10) S/(100 F) at 10 % and changes by
// S/(100 F) per 1 %; C is their quotient. F = 30 suits most woods, F = 22 western
// redcedar, teak and mahogany. S outside 0 to 40 or F outside 15 to 40 gives NaN.
//
// Reference: Wood Handbook FPL-GTR-190, tables 4-3 and 13-5, which agree by it.
func ShrinkageCoefficient(shrinkagePct, fibreSaturationPct float64) float64 {
	s, f := shrinkagePct, fibreSaturationPct
	if !(s >= 0 && s <= 40 && f >= 15 && f <= 40) {
		return math.NaN()
	}
	return s / (100*f - (f-10)*s)
}

// mostMovementPct is more than any wood moves: live oak and hornbeam stay under
// half a percent of their size per 1 % of moisture.
const mostMovementPct = 2.0

// GivenWood is a wood whose movement the user knows: percent of the width per 1 %
// of moisture, over 0 and up to 2, the same whichever way it is sawn.
func GivenWood(name string, movementPct float64) (Wood, error) {
	if !(movementPct > 0 && movementPct <= mostMovementPct) {
		return Wood{}, &MovementError{movementPct, mostMovementPct}
	}
	return Wood{Name: name, CR: movementPct / 100, CT: movementPct / 100, Source: "given by the user", Status: Given}, nil
}

// A MovementError is a movement that no wood has.
type MovementError struct{ GotPct, MostPct float64 }

func (e *MovementError) Error() string {
	return fmt.Sprintf("climate: movement of %g %% per 1 %% of moisture; want one over 0, up to %g", e.GotPct, e.MostPct)
}

// LookupWood finds a wood by the name that people write: any case, any order of
// the words, hyphens or not, with or without "wood" and words of figure ("curly
// maple"). A bare genus takes the member that the Note names. What is not known is
// an *[UnknownError] with the nearest names.
func LookupWood(name string) (Wood, error) {
	if i, ok := woodIndex[key(name)]; ok {
		return woodRows[i].wood(name), nil
	}
	return Wood{}, unknown("wood", name, woodNames)
}

// Woods lists all woods in the order of the table: those of the Wood Handbook
// first.
func Woods() []Wood {
	all := make([]Wood, len(woodRows))
	for i, r := range woodRows {
		all[i] = r.wood(r.name)
	}
	return all
}

// wood makes the Wood of a row that was found by a name.
func (r woodRow) wood(asked string) Wood {
	w := Wood{Name: r.name, CR: r.cr, CT: r.ct, Source: r.source, Status: r.status, Note: r.note}
	if r.sr > 0 && w.CR == 0 {
		w.CR = ShrinkageCoefficient(r.sr, fibreSaturation)
	}
	if r.st > 0 && w.CT == 0 {
		w.CT = ShrinkageCoefficient(r.st, fibreSaturation)
	}
	if w.CR == 0 {
		w.CR, w.RadialAssumed = w.CT, true
		w.Note = join(w.Note, "no radial figure found: the tangential one is taken both ways, which is on the safe side")
	}
	for _, g := range r.genus {
		if key(g) == key(asked) {
			w.Note = join(fmt.Sprintf("%s taken as %s", g, r.name), w.Note)
		}
	}
	return w
}

// join puts two remarks into one.
func join(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + "; " + b
}
