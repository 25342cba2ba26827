package fit

import "strings"

// Family is a material as far as holes are concerned.
type Family string

// The families.
const (
	CastAcrylic     Family = "cast acrylic"
	ExtrudedAcrylic Family = "extruded acrylic"
	Plastic         Family = "plastic" // printed or milled: pla, petg, abs, pom ...
	MDF             Family = "mdf"     // and other boards of fibre or particles
	Plywood         Family = "plywood"
	Wood            Family = "wood"
	LightMetal      Family = "light metal" // aluminium, brass
	Steel           Family = "steel"
)

// families are the words that tell a material, first hit first.
var families = []struct {
	word   string
	family Family
}{
	{"extruded acrylic", ExtrudedAcrylic},
	{"extruded", ExtrudedAcrylic},
	{"acrylic", CastAcrylic},
	{"pmma", CastAcrylic},
	{"perspex", CastAcrylic},
	{"plexiglas", CastAcrylic},
	{"mdf", MDF},
	{"hdf", MDF},
	{"particle", MDF},
	{"chipboard", MDF},
	{"fibreboard", MDF},
	{"fiberboard", MDF},
	{"hardboard", MDF},
	{"plywood", Plywood},
	{"ply", Plywood},
	{"alumin", LightMetal},
	{"brass", LightMetal},
	{"steel", Steel},
	{"iron", Steel},
	{"pla", Plastic},
	{"petg", Plastic},
	{"abs", Plastic},
	{"asa", Plastic},
	{"nylon", Plastic},
	{"pom", Plastic},
	{"acetal", Plastic},
	{"polycarbonate", Plastic},
	{"pvc", Plastic},
	{"hdpe", Plastic},
	{"plastic", Plastic},
	{"resin", Plastic},
	{"phenolic", Plastic},
}

// FamilyOf returns the family of a material by the words in its name: "3 mm cast
// acrylic" is CastAcrylic. Whatever is not known otherwise is taken as Wood, since
// its names are without number.
func FamilyOf(material string) Family {
	for _, w := range strings.FieldsFunc(strings.ToLower(material), notLetter) {
		for _, f := range families {
			if f.family == Plastic && w == f.word { // short words: "pla" is no "plane"
				return f.family
			}
		}
	}
	m := strings.ToLower(material)
	for _, f := range families {
		if f.family != Plastic && strings.Contains(m, f.word) {
			return f.family
		}
	}
	return Wood
}

func notLetter(r rune) bool { return !(r >= 'a' && r <= 'z') }

// Woody reports whether a family is wood or a board of it: it closes on a pin, moves
// with the air's moisture and is seldom reamed.
func (f Family) Woody() bool { return f == MDF || f == Plywood || f == Wood }

// Acrylic reports whether the family is a sheet of PMMA.
func (f Family) Acrylic() bool { return f == CastAcrylic || f == ExtrudedAcrylic }

// Metal reports whether the family is a metal.
func (f Family) Metal() bool { return f == LightMetal || f == Steel }
