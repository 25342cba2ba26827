package rail

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

// What spread and volume are reckoned from; rows of testdata/reference/glue.csv.
const (
	// epoxyKgPerL is 1.106: 9.23 lb per US gallon, polymercompositesinc.com, found.
	epoxyKgPerL = 9.23 * poundKg * 1000 / usGallonML
	// pvaKgPerL is common practice, no source; the reference reckons with it too.
	pvaKgPerL = 1.1
	// bestGapLow and High, mm: woodworkingnetwork.com best-practices guide, found.
	bestGapLow, bestGapHigh = 0.05, 0.15
	// Square feet from a US gallon of PVA: woodrio.com (weak source), found.
	pvaFt2Low, pvaFt2High = 200.0, 300.0

	pvaLowGM2  = pvaKgPerL * usGallonML / (pvaFt2High * squareFootM2) // 149
	pvaHighGM2 = pvaKgPerL * usGallonML / (pvaFt2Low * squareFootM2)  // 224
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
	density        float64 // g/ml
	densityBasis   Basis
	spread         Figure // g/m2, wet, on one face
	soft, hard     Figure // closing pressure, MPa
	open, assembly Figure // min at 20 C
	moisture       Figure // of the wood, %
}

const (
	tradeTables = "GTZ Formulae and Tables, Wood, ch. 11 (cd3wdproject.org, B399_13), at 20 C"
	makerQuoted = "a glue maker quoted second hand (samirajoliev2dec.web.app, clamping pressure for wood glue)"
	weakPage    = "craftedwoodcreations.com/?p=805 (weak source)"
	noFigure    = "no figure found; ask the glue's maker"
)

// Glues lists the glues that are known, by the names that a job file has.
func Glues() []string { return []string{"pva", "epoxy", "hide", "casein"} }

// kindOf returns what is known of a glue. Rows and their status follow
// testdata/reference/glue.csv; what is not in it says where it is from.
func kindOf(glue string) (kind, bool) {
	unknown := Figure{Basis: Unknown, Source: noFigure}
	psi := func(least, most float64, source string) Figure {
		return Figure{least * psiMPa, most * psiMPa, "MPa", Found, source}
	}
	minutes := func(least, most float64, source string) Figure {
		return Figure{least, most, "min", Found, source}
	}
	sameFilm := Figure{pvaLowGM2, pvaHighGM2, "g/m2", Practice, "no figure found for this glue; spread as thick as PVA"}
	animalMC := Figure{4, 10, "%", Found, tradeTables}
	switch glue {
	case "pva":
		return kind{
			density: pvaKgPerL, densityBasis: Practice,
			spread: Figure{
				pvaLowGM2, pvaHighGM2, "g/m2", Derived,
				"200 to 300 ft2 per US gallon (woodrio.com, how much wood glue to buy, weak) at 1.1 kg/L; trade custom of 150 to 250 g/m2 is recalled, not seen",
			},
			soft: psi(100, 150, "100 to 150 psi: "+makerQuoted),
			hard: psi(175, 250, "175 to 250 psi: "+makerQuoted+
				"; a magazine's test of 2007 found the best at 1.0 MPa for pine and 8.3 MPa for flat-sawn maple (quoted at sawmillcreek.org, t-166480), so no one figure is right"),
			open:     minutes(5, 30, tradeTables),
			assembly: minutes(5, 20, "cucamongawoodworking.com, how long does wood glue take to dry"),
			moisture: Figure{8, 12, "%", Found, tradeTables},
		}, true
	case "epoxy":
		p := psi(25, 50, "25 to 50 psi: "+weakPage+"; contact is enough, more starves the joint")
		return kind{
			density: epoxyKgPerL, densityBasis: Found,
			spread: Figure{
				bestGapLow * epoxyKgPerL * 1e3, bestGapHigh * epoxyKgPerL * 1e3, "g/m2", Derived,
				"fills a gap of 0.05 to 0.15 mm (woodworkingnetwork.com, best-practices guide) at 9.23 lb per US gallon (polymercompositesinc.com, coverage and yield)",
			},
			soft: p, hard: p,
			open:     minutes(10, 60, "by hardener: woodmagazine.com, epoxy still gluing strong (seen in a stored page); the tin's own figure wins"),
			assembly: unknown, moisture: unknown,
		}, true
	case "hide":
		p := psi(75, 150, "liquid 75 to 125 psi: "+weakPage+"; hot 100 to 150 psi: handbook of adhesive technology, woodworking (kraska.biz, seen in a stored page)")
		return kind{
			density: pvaKgPerL, densityBasis: Practice,
			spread: sameFilm,
			soft:   p, hard: p,
			open:     minutes(1, 10, "working time, hot or liquid: diydata.com, natural glues (seen in a stored page)"),
			assembly: unknown, moisture: animalMC,
		}, true
	case "casein":
		p := Figure{0.7, 1.7, "MPa", Recalled, "Wood Handbook ch. 10, low to high density woods, any wood glue"}
		return kind{
			density: pvaKgPerL, densityBasis: Practice,
			spread: sameFilm,
			soft:   p, hard: p,
			open:     minutes(5, 10, tradeTables),
			assembly: unknown, moisture: animalMC,
		}, true
	}
	return kind{}, false
}

// pressure returns the closing pressure for a class of wood; for an unknown one
// the whole range, so that neither is taken for granted.
func (k kind) pressure(h Hardness) Figure {
	switch {
	case h == Softwood || k.soft == k.hard:
		return k.soft
	case h == Hardwood:
		return k.hard
	}
	return Figure{k.soft.Least, k.hard.Most, "MPa", k.soft.Basis, "softwood " + k.soft.Source + "; hardwood " + k.hard.Source}
}
