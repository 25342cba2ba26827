package beam

import (
	"strings"

	"reseat/jig/sourced"
)

// Material is how stiff and strong a material is, in MPa.
type Material struct {
	Name     string
	Modulus  sourced.Value // along the grain or in the sheet
	Across   sourced.Value // of a wood, across the grain; otherwise as Modulus
	Shear    float64       // shear modulus; 0: that of an even material
	Strength sourced.Value // what it bears; a plastic for hours without crazing
}

const (
	beechTable  = "beech: Journal of Wood Science 2019, s10086-019-1794-4, table 1"
	spruceTable = "Sitka spruce: Acta Acustica 2025, aacus240113, table 5"
	ofAcrylic   = "copeplastics.com, continuous design stress; that the grades are cast and extruded is recalled"
)

func gpa(least, most float64, mark sourced.Mark, source string) sourced.Value {
	return sourced.Value{Least: 1000 * least, Most: 1000 * most, Unit: "MPa", Mark: mark, Source: source}
}

func mpa(least, most float64, mark sourced.Mark, source string) sourced.Value {
	return sourced.Value{Least: least, Most: most, Unit: "MPa", Mark: mark, Source: source}
}

// The figures of testdata/reference/materials.csv.
var (
	// Hardwood is beech, stiffer across than most and so on the safe side under a caul.
	Hardwood = Material{
		Name: "hardwood", Modulus: gpa(12.205, 12.205, sourced.Standard, beechTable),
		Across: gpa(0.774, 1.858, sourced.Standard, beechTable+", tangential and radial"), Shear: 595,
		Strength: mpa(4.49, 9.83, sourced.Standard, beechTable+", yield across the grain"),
	}
	Softwood = Material{
		Name: "softwood", Modulus: gpa(9.05, 9.05, sourced.Standard, spruceTable),
		Across: gpa(0.403, 0.817, sourced.Standard, spruceTable+", tangential and radial"), Shear: 620,
		Strength: mpa(2, 4, sourced.Practice, "half of hardwood's"),
	}
	plywood = Material{
		Name:     "plywood",
		Modulus:  gpa(6.86, 8.98, sourced.Standard, "Journal of the Korean Wood Science and Technology 53(4) 429, table 3"),
		Strength: mpa(10, 20, sourced.Practice, "a quarter of its bending strength of 38 to 66 MPa"), Shear: 500,
	}
	mdf = Material{
		Name:     "mdf",
		Modulus:  gpa(2.2, 2.7, sourced.Recalled, "EN 622-5, 6 to 19 mm, not seen"),
		Strength: mpa(8, 12, sourced.Practice, "a third to a half of its bending strength"),
	}
	castAcrylic = Material{
		Name: "cast acrylic", Modulus: gpa(2.8, 3.2, sourced.Web, "sheet makers' data, ISO 527 and ASTM D638"),
		Strength: mpa(10.3, 10.3, sourced.Web, ofAcrylic),
	}
	extrudedAcrylic = Material{
		Name: "extruded acrylic", Modulus: gpa(2.8, 2.8, sourced.Web, "usplastic.com, tensile"),
		Strength: mpa(5.2, 5.2, sourced.Web, ofAcrylic),
	}
	pla = Material{
		Name: "pla", Modulus: gpa(3.0, 4.0, sourced.Web, "additive.tools/materials/pla, along the layers"),
		Strength: mpa(15, 25, sourced.Practice, "for hours: a third to a half of what it breaks at"),
	}
	petg = Material{
		Name: "petg", Modulus: gpa(1.8, 2.2, sourced.Practice, "makers' data for filaments differ"),
		Strength: mpa(12, 20, sourced.Practice, "for hours: a third to a half of what it breaks at"),
	}
	// GlassRod is a drawn rod of glass fibre, as spring bars are made of; its strength is that of
	// the bend that its maker allows.
	GlassRod = Material{
		Name: "glass fibre rod", Modulus: gpa(20.6, 41.4, sourced.Web, "tencom.com, pultruded rod, flexural modulus"),
		Strength: mpa(414, 827, sourced.Web, "tencom.com, flexural strength"),
	}
)

// Wood is a wood of whose kind no more is known than whether it is a conifer.
func Wood(conifer bool) Material {
	if conifer {
		return Softwood
	}
	return Hardwood
}

// Lookup finds a sheet or a plastic by the name that people write; ok is false for what is not
// known. Acrylic of no kind is taken as extruded, the weaker.
func Lookup(name string) (m Material, ok bool) {
	name = strings.ToLower(name)
	for _, c := range []struct {
		word string
		is   Material
	}{
		{"ply", plywood}, {"mdf", mdf}, {"hdf", mdf}, {"cast", castAcrylic}, {"acryl", extrudedAcrylic},
		{"pmma", extrudedAcrylic}, {"petg", petg}, {"pla", pla},
	} {
		if strings.Contains(name, c.word) {
			if c.is.Across == (sourced.Value{}) {
				c.is.Across = c.is.Modulus
			}
			return c.is, true
		}
	}
	return Material{}, false
}
