package climate

import (
	"errors"
	"slices"
	"strings"
)

// Move is a relative change of size in the three directions of a piece; positive
// grows. Of a board: along the grain, across it in the width, and through its
// thickness.
type Move struct{ Along, Across, Through float64 }

// Change is what happens to a piece between two climates, all of it relative to
// the size it had in the first.
type Change struct {
	Taken                  string // the material as it is named here
	Along, Across, Through float64
	ByTemperature          Move // the two parts that Along, Across and Through are the sums of
	ByMoisture             Move
	SlowMoisture           float64 // not in the sums: what a plastic takes up over weeks, the same in all directions
	ThroughUnknown         bool    // no figure for the thickness: Through is then the part by temperature alone

	MoistureFrom, MoistureTo float64 // wood: percent; otherwise 0
	Extrapolated             bool    // wood: a moisture is outside 6 to 14 %, where the coefficients are good

	Source     string
	FromMemory bool   // a figure in it is recalled, not seen
	Note       string // what a reader should know; may be empty
}

const (
	// Thermal expansion of wood per kelvin: testdata/reference/materials.csv, FOUND.
	woodAlongPerK  = 3e-6
	woodAcrossPerK = 30e-6

	// alongPerMoisture is the most that wood moves along the grain per 1 % of
	// moisture: 0.2 % from green to oven-dry (Wood Handbook page 4-5, FOUND) over a
	// fibre saturation of 30 % (DERIVED). Half of it is as usual; young wood and wood
	// grown under load move ten times as much.
	alongPerMoisture = 0.002 / fibreSaturation

	// The moistures, percent, that the coefficients are good between (Wood Handbook
	// table 13-5).
	leastMoisture, mostMoisture = 6, 14
)

// Strain tells how a piece of a material changes between two climates. The
// material is named as people do in a job: a wood ("pear", "hard maple"), a sheet
// ("mdf", "birch plywood", "cast acrylic"), a metal or a plastic ("petg"). The
// grain matters to wood alone; "" is flat.
//
// A name that is not known is an *[UnknownError], a climate out of range an
// *[AirError], a strange grain a *[GrainError].
func Strain(material string, grain Grain, from, to Air) (Change, error) {
	if r, ok := sheet(material); ok {
		return r.strain(from, to)
	}
	w, err := LookupWood(material)
	var u *UnknownError
	if errors.As(err, &u) {
		return Change{}, unknown("material", material, slices.Concat(sheetNames, woodNames))
	}
	if err != nil {
		return Change{}, err
	}
	return w.Strain(grain, from, to)
}

// sheet finds a material that is no solid wood. Plywood may have a wood's name
// before it ("birch plywood").
func sheet(material string) (sheetRow, bool) {
	k := key(material)
	if i, ok := sheetIndex[k]; ok {
		return sheetRows[i], true
	}
	for _, word := range []string{"plywood", "ply"} {
		rest, found := without(strings.Fields(k), word)
		if !found {
			continue
		}
		if _, ok := woodIndex[key(rest)]; ok {
			return sheetRows[sheetIndex["plywood"]], true
		}
		if i, ok := sheetIndex[key(rest)]; ok && sheetRows[i].names[0] == "plywood" { // "Baltic birch plywood"
			return sheetRows[i], true
		}
	}
	return sheetRow{}, false
}

// without takes a word out of a list.
func without(words []string, word string) (string, bool) {
	var rest []string
	for _, w := range words {
		if w != word {
			rest = append(rest, w)
		}
	}
	return strings.Join(rest, " "), len(rest) < len(words)
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
	g, err := grain.check()
	if err != nil {
		return Change{}, err
	}
	mf, err := EMC(from)
	if err != nil {
		return Change{}, err
	}
	mt, err := EMC(to)
	if err != nil {
		return Change{}, err
	}
	dm, dt := mt-mf, to.TempC-from.TempC
	width, depth := w.CT, w.CR
	if g == Quarter {
		width, depth = w.CR, w.CT
	}
	c := Change{
		Taken: w.Name, MoistureFrom: mf, MoistureTo: mt,
		ByTemperature: Move{woodAlongPerK * dt, woodAcrossPerK * dt, woodAcrossPerK * dt},
		ByMoisture:    Move{alongPerMoisture * dm, width * dm, depth * dm},
		Extrapolated:  min(mf, mt) < leastMoisture || max(mf, mt) > mostMoisture,
		Source:        w.Source, FromMemory: w.Status == Memory, Note: w.Note,
	}
	c.sum()
	return c, nil
}

// strain is the change of a sheet, a metal or a plastic.
func (r sheetRow) strain(from, to Air) (Change, error) {
	for _, a := range []Air{from, to} {
		if err := workshopSpan.check(a); err != nil {
			return Change{}, err
		}
	}
	heat, damp := r.perK*(to.TempC-from.TempC), to.RHPct-from.RHPct
	across := r.perRHx
	if across == 0 {
		across = r.perRH
	}
	c := Change{
		Taken: r.names[0], ByTemperature: Move{heat, heat, heat},
		ByMoisture:   Move{Along: r.perRH * damp, Across: across * damp},
		SlowMoisture: r.slow.at(to.RHPct) - r.slow.at(from.RHPct), ThroughUnknown: r.noDepth,
		Source: r.source, FromMemory: r.status == Memory, Note: r.note,
	}
	c.sum()
	return c, nil
}

func (c *Change) sum() {
	c.Along = c.ByTemperature.Along + c.ByMoisture.Along
	c.Across = c.ByTemperature.Across + c.ByMoisture.Across
	c.Through = c.ByTemperature.Through + c.ByMoisture.Through
}
