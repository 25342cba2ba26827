package jig

import (
	"strings"

	"reseat/fit"
)

// growthPerMM is how far a plate may grow or shrink per millimetre of its length
// between cutting and use, each way, so that the slot is long and the clear
// holes are wide enough. The error budget computes the real climate; here a
// workshop's swing is assumed: 10 K and 10 % relative humidity (common practice,
// no source).
//
//   - acrylic: 72e-6 /K (usplastic.com, FOUND) times 10 K;
//   - MDF and particle board: 0.3 % for 30 to 90 % RH (one brand, FOUND), a sixth of it;
//   - plywood: 0.02 % per 10 % RH (panel trade, FOUND);
//   - prints: 0.5 % above 100 mm (layerx3d.in, FOUND) is a printer's scale error
//     left alone; a maker measures one printed length and scales the print, which
//     leaves 0.05 % (common practice, no source);
//   - metal: 23.6e-6 /K (aluminium, Callister, FOUND) times 10 K;
//   - solid wood along the grain: 0.000067 per 1 % moisture (Wood Handbook,
//     DERIVED) times 2 % moisture.
func growthPerMM(material, by string) float64 {
	m := strings.ToLower(material)
	switch f := fit.FamilyOf(material); {
	case by == "print":
		return 5e-4
	case f == fit.CastAcrylic || f == fit.ExtrudedAcrylic:
		return 72e-6 * 10
	case f == fit.Metal:
		return 23.6e-6 * 10
	case strings.Contains(m, "mdf") || strings.Contains(m, "particle") || strings.Contains(m, "hdf"):
		return 3e-3 / 6
	case strings.Contains(m, "ply"):
		return 2e-4
	}
	return 0.000067 * 2
}
