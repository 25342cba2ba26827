package rail

import "reseat/jig/sourced"

// Units of the sources, exact: the inch is 25.4 mm, the US gallon 231 cubic
// inches, the pound 0.45359237 kg (1959 yard and pound agreement); standard
// gravity is 9.80665 N/kg (3rd CGPM 1901).
const (
	squareFootM2 = 0.3048 * 0.3048
	usGallonML   = 231 * 16.387064
	poundKg      = 0.45359237
	gravity      = 9.80665
	psiMPa       = poundKg * gravity / (25.4 * 25.4) // 0.006894757
	m2PerMM2     = 1e-6
	mm3PerML     = 1e3
)

// Hardness is the class of a wood that glue makers give pressures for.
type Hardness string

// The classes; HardnessUnknown takes in both.
const (
	HardnessUnknown Hardness = ""
	Softwood        Hardness = "softwood"
	Hardwood        Hardness = "hardwood"
)

// kind is what is known of one glue.
type kind struct {
	density    sourced.Value // g/ml
	spread     sourced.Value // g/m2, wet, on one face
	soft, hard sourced.Value // closing pressure, MPa
	open       sourced.Value // min at 20 C
}

// The figures of testdata/reference/glue.csv; what is not in it says so.
var (
	pvaDensity   = sourced.One(1.1, "g/ml", sourced.Practice, "1.1 kg/L")
	epoxyDensity = sourced.One(9.23*poundKg*1000/usGallonML, "g/ml", sourced.Web,
		"9.23 lb per US gallon, polymercompositesinc.com")

	pvaSpread = sourced.Value{
		Least: 1.1 * usGallonML / (300 * squareFootM2), Most: 1.1 * usGallonML / (200 * squareFootM2), Unit: "g/m2",
		Mark:   sourced.Derived,
		Source: "200 to 300 ft2 per US gallon (web: woodrio.com) at 1.1 kg/L; 150 to 250 g/m2 is common practice",
	}

	kinds = map[string]kind{
		"pva": {
			density: pvaDensity,
			spread:  pvaSpread,
			soft: psi(50, 150, sourced.Web, "50 to 75 psi (craftedwoodcreations.com), 100 to 150 psi (a glue "+
				"maker's guide)"),
			hard: psi(100, 300, sourced.Web, "100 to 150 psi (craftedwoodcreations.com), 175 to 250 and 200 to 300 "+
				"psi (one glue maker); "+
				"a magazine's test of 2007, quoted in a forum, found the best at 1200 psi on flat-sawn maple: no "+
				"one figure is right"),
			open: minutes(5, 30, sourced.Standard, tradeTables),
		},
		"epoxy": {
			density: epoxyDensity,
			spread: sourced.Value{
				Least: 0.05 * epoxyDensity.Least * 1e3, Most: 0.15 * epoxyDensity.Least * 1e3, Unit: "g/m2", Mark: sourced.Derived,
				Source: "fills a gap of 0.05 to 0.15 mm (web: woodworkingnetwork.com, best practices guide) at 9.23 " +
					"lb per US gallon (web)",
			},
			soft: epoxyPressure, hard: epoxyPressure,
			open: minutes(10, 60, sourced.Web, "by hardener: woodmagazine.com, epoxy; the tin's own figure wins"),
		},
		"hide": {
			density: pvaDensity,
			spread:  sameFilm,
			soft:    hidePressure, hard: hidePressure,
			open: minutes(1, 10, sourced.Web, "working time, hot or liquid: diydata.com, natural glues"),
		},
		"casein": {
			density: pvaDensity,
			spread:  sameFilm,
			soft:    caseinPressure, hard: caseinPressure,
			open: minutes(5, 10, sourced.Standard, tradeTables),
		},
	}

	sameFilm = sourced.Value{Least: pvaSpread.Least, Most: pvaSpread.Most, Unit: "g/m2", Mark: sourced.Practice,
		Source: "as thick as PVA, none found for this glue"}
	epoxyPressure = psi(25, 50, sourced.Web, "25 to 50 psi: craftedwoodcreations.com; contact is enough, more "+
		"starves the joint")
	hidePressure   = psi(75, 125, sourced.Web, "liquid, 75 to 125 psi: craftedwoodcreations.com")
	caseinPressure = sourced.Value{Least: 0.7, Most: 1.7, Unit: "MPa", Mark: sourced.Recalled,
		Source: "0.7 to 1.7 MPa for low to high density woods, Wood Handbook ch. 10, not seen"}
)

const tradeTables = "Formulae and Tables - Wood, Institut fuer Berufliche Entwicklung (GTZ), ch. 11, at 20 C"

func psi(least, most float64, mark sourced.Mark, source string) sourced.Value {
	return sourced.Value{Least: least * psiMPa, Most: most * psiMPa, Unit: "MPa", Mark: mark, Source: source}
}

func minutes(least, most float64, mark sourced.Mark, source string) sourced.Value {
	return sourced.Value{Least: least, Most: most, Unit: "min", Mark: mark, Source: source}
}

// pressure returns the closing pressure for a class of wood; for an unknown one
// the whole range, so that neither is taken for granted.
func (k kind) pressure(h Hardness) sourced.Value {
	switch {
	case h == Softwood || k.soft == k.hard:
		return k.soft
	case h == Hardwood:
		return k.hard
	}
	return sourced.Value{Least: k.soft.Least, Most: k.hard.Most, Unit: "MPa", Mark: k.hard.Mark, Source: "softwood " +
		k.soft.Source + "; hardwood " + k.hard.Source}
}
