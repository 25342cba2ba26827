package plate

import (
	"math"

	"reseat/fit"
)

// LeastWebMM returns the least material to leave between a pin hole and the
// nearest edge or other cut of a plate, in millimetres.
//
//   - acrylic: the plate's thickness, since laser cuts nearer than that burn or
//     crack (web: the advice of two cutting shops; others differ);
//   - printed plates: three walls of two lines either side, 8 nozzle widths;
//     practice;
//   - plywood, MDF and wood: 1.5 d to an edge, the usual edge distance of a
//     dowel; practice;
//   - metal: 1 d; practice.
//
// Never below 1 mm.
func LeastWebMM(material, by string, thickness, nozzle, d float64) float64 {
	switch f := fit.FamilyOf(material); {
	case by == "print":
		return math.Max(1, 8*nozzle)
	case f == fit.CastAcrylic || f == fit.ExtrudedAcrylic:
		return math.Max(1, thickness)
	case f == fit.Metal:
		return math.Max(1, d)
	}
	return math.Max(1, 1.5*d)
}
