package climate

import "slices"

// Change is what happens to a piece between two climates, all of it relative to
// the size it had in the first; positive grows.
type Change struct {
	Taken string // the material as it is named here
	// along the grain and across it in the width; of a sheet, along and across its first direction
	Along, Across float64
	Unsure        float64 // either way, in both: what the range of the material's figures adds
	SlowMoisture  float64 // not in the sums: what a plastic takes up over weeks, the same in all directions

	MoistureFrom, MoistureTo float64 // wood: percent; otherwise 0
	Extrapolated             bool    // wood: a moisture is outside 6 to 14 %, where the coefficients are good

	Source     string // its mark first
	FromMemory bool   // a figure in it is recalled
	Note       string // what a reader should know; may be empty
}

// Strain tells how a piece of a material changes between two climates. The
// material is named as people do in a job: a wood ("pear", "hard maple"), a sheet
// ("mdf", "birch plywood", "cast acrylic"), a metal or a plastic ("petg"). The
// grain matters to wood alone; "" is flat.
//
// A climate out of range is an error; so is a name that is not known, with the
// nearest, and not a movement of 0, which would read as "does not
// move".
func Strain(material string, grain Grain, from, to Air) (Change, error) {
	if s, ok := findSheet(material); ok {
		return s.strain(from, to)
	}
	if _, ok := woods().find(material); !ok {
		return Change{}, unknown("material", material, slices.Concat(sheets().names, woods().names),
			slices.Concat(sheets().keys, woods().keys))
	}
	w, err := LookupWood(material)
	if err != nil {
		return Change{}, err
	}
	return w.Strain(grain, from, to)
}
