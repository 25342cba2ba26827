package climate

import (
	"fmt"
	"slices"

	"reseat/jig/sourced"
)

// Grain is how a board is sawn: which way its width moves.
type Grain string

// The ways. An empty Grain is taken as Flat, the one that moves more.
const (
	Quarter Grain = "quarter" // the width moves radially, the thickness tangentially
	Flat    Grain = "flat"    // the width moves tangentially, the thickness radially
)

// Wood is a kind of wood and how it moves across the grain.
type Wood struct {
	Name string // as it is named here: "sugar maple"
	// CR and CT are the radial and tangential change per 1 % of moisture, relative
	// to the size at 10 %, good from 6 to 14 %.
	CR, CT  float64
	Conifer bool   // a softwood
	Source  string // its mark first
	Mark    sourced.Mark
	Note    string // what a reader should know; may be empty

	genus []string // wider names that are taken as this wood
}

// fibreSaturation is the moisture, percent, below which wood shrinks: 30 gives
// every domestic hardwood of the Wood Handbook's table 13-5 from its shrinkage to
// the last digit, but sweet birch (testdata/reference/wood_shrinkage.csv).
const fibreSaturation = 30.0

// shrinkageCoefficient turns a shrinkage from green to oven-dry (percent of the
// green size) into a change per 1 % of moisture, relative to the size at 10 %:
//
//	C = S/(100 F - (F - 10) S)
//
// with F the fibre saturation, percent: the size falls in a straight line from 1
// at F to 1 - S/100 at 0, so it is 1 - (F - 10) S/(100 F) at 10 % and changes by
// S/(100 F) per 1 %; C is their quotient.
//
// Reference: Wood Handbook FPL-GTR-190, tables 4-3 and 13-5, which agree by it.
func shrinkageCoefficient(shrinkagePct, saturationPct float64) float64 {
	return shrinkagePct / (float64(100*saturationPct) - float64((saturationPct-10)*shrinkagePct))
}

// mostMovementPct is more than any wood moves: live oak and hornbeam stay under
// half a percent of their size per 1 % of moisture.
const mostMovementPct = 2.0

// GivenWood is a wood whose movement the user knows: percent of the width per 1 %
// of moisture, over 0 and up to 2, the same whichever way it is sawn.
func GivenWood(name string, movementPct float64) (Wood, error) {
	if !(movementPct > 0 && movementPct <= mostMovementPct) {
		return Wood{}, fmt.Errorf("movement of %g %% per 1 %% of moisture; want one over 0, up to %g", movementPct,
			mostMovementPct)
	}
	return Wood{Name: name, CR: movementPct / 100, CT: movementPct / 100, Source: "given by the user",
		Mark: sourced.Given}, nil
}

// LookupWood finds a wood by the name that people write: any case, any order of
// the words, hyphens or not, with or without "wood" and words of figure ("curly
// maple"). A bare genus takes the member that the Note names. The error for a wood
// that is not known names the nearest.
func LookupWood(name string) (Wood, error) {
	w, ok := woods().find(name)
	if !ok {
		return Wood{}, unknown("wood", name, woods().names, woods().keys)
	}
	for _, g := range w.genus {
		if key(g) == key(name) {
			w.Note = join(fmt.Sprintf("%s taken as %s", g, w.Name), w.Note)
		}
	}
	return w, nil
}

// woodOf makes a wood of a line of the table.
func woodOf(c cells) Wood {
	w := Wood{
		Name: c["name"], CR: c.number("c_r"), CT: c.number("c_t"), Conifer: c["conifer"] == "yes",
		Source: c.source(), Mark: c.mark(), Note: c["note"], genus: c.list("genus"),
	}
	if w.CR == 0 {
		w.CR = shrinkageCoefficient(c.number("s_r"), fibreSaturation)
	}
	if w.CT == 0 {
		w.CT = shrinkageCoefficient(c.number("s_t"), fibreSaturation)
	}
	if w.CR == 0 {
		w.CR = w.CT
		w.Note = join(w.Note, "no radial figure found: the tangential one is taken both ways, which is on the safe side")
	}
	return w
}

// join puts two remarks into one.
func join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// Strain is the change of a board of this wood:
//
//	dD/D = C (M_to - M_from) + a (T_to - T_from)
//
// where M is [EMC] and C is CR or CT across the grain as the board is sawn.
// Strictly C refers to the size at 10 % of moisture and not to that at M_from; the
// difference is below 2 % of the change while M_from is between 6 and 14.
//
// Reference: Wood Handbook FPL-GTR-190, equation 13-2.
func (w Wood) Strain(grain Grain, from, to Air) (Change, error) {
	if !slices.Contains([]Grain{Quarter, Flat, ""}, grain) {
		return Change{}, fmt.Errorf("grain %q; want %s or %s", grain, Quarter, Flat)
	}
	mf, err := EMC(from)
	if err != nil {
		return Change{}, err
	}
	mt, err := EMC(to)
	if err != nil {
		return Change{}, err
	}
	width := w.CT
	if grain == Quarter {
		width = w.CR
	}
	dm, dt := mt-mf, to.TempC-from.TempC
	return Change{
		Taken: w.Name, Along: float64(woodAlongPerK*dt) + float64(AlongPerMoisture*dm), Across: float64(woodAcrossPerK*dt) +
			float64(width*dm),
		MoistureFrom: mf, MoistureTo: mt,
		Extrapolated: min(mf, mt) < leastMoisture || max(mf, mt) > mostMoisture,
		Source:       w.Source, FromMemory: w.Mark == sourced.Recalled, Note: w.Note,
	}, nil
}

const (
	// Thermal expansion of wood per kelvin: a common engineering table (web),
	// testdata/reference/materials.csv.
	woodAlongPerK  = 3e-6
	woodAcrossPerK = 30e-6

	// AlongPerMoisture is the most that wood moves along the grain per 1 % of
	// moisture: 0.2 % from green to oven-dry (standard: Wood Handbook page 4-5) over a
	// fibre saturation of 30 % (derived). Half of it is as usual; young wood and wood
	// grown under load move ten times as much.
	AlongPerMoisture = 0.002 / fibreSaturation

	// The moistures, percent, that the coefficients are good between (standard: Wood
	// Handbook table 13-5).
	leastMoisture, mostMoisture = 6, 14
)
