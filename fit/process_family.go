package fit

import "strings"

// A Family is a group of materials that take a hole alike.
type Family string

// The families.
const (
	CastAcrylic     Family = "cast acrylic"
	ExtrudedAcrylic Family = "extruded acrylic" // also acrylic of a kind not said: it is the weaker one
	Plastic         Family = "plastic"
	Metal           Family = "metal"
	Wood            Family = "wood" // timber, plywood, MDF and other boards
)

// familyWords are looked for in this order. What has none of them is a timber:
// there are too many woods to list.
var familyWords = []struct {
	word   string
	family Family
}{
	{"cast acrylic", CastAcrylic},
	{"acrylic, cast", CastAcrylic},
	{"cast pmma", CastAcrylic},
	{"pmma, cast", CastAcrylic},
	{"acrylic", ExtrudedAcrylic},
	{"pmma", ExtrudedAcrylic},
	{"mdf", Wood},
	{"hdf", Wood},
	{"ply", Wood},
	{"particle", Wood},
	{"chipboard", Wood},
	{"hardboard", Wood},
	{"polycarb", Plastic},
	{"pla", Plastic},
	{"petg", Plastic},
	{"abs", Plastic},
	{"asa", Plastic},
	{"nylon", Plastic},
	{"acetal", Plastic},
	{"pom", Plastic},
	{"hdpe", Plastic},
	{"polyeth", Plastic},
	{"polyprop", Plastic},
	{"pvc", Plastic},
	{"phenolic", Plastic},
	{"alumin", Metal},
	{"brass", Metal},
	{"steel", Metal},
	{"bronze", Metal},
	{"copper", Metal},
	{"iron", Metal},
}

// shortWord is the length up to which a word must stand alone: "pla" is not in
// "plane wood", nor "iron" in "ironwood".
const shortWord = 4

// FamilyOf tells the family of a material by the words of its name, in any case:
// "cast acrylic", "birch plywood", "MDF", "sapele". A name without a known word
// is taken as a wood.
func FamilyOf(material string) Family {
	m := strings.ToLower(material)
	words := strings.FieldsFunc(m, func(r rune) bool { return (r < 'a' || r > 'z') && r < 0x80 })
	for _, w := range familyWords {
		if w.family == Wood || len(w.word) > shortWord {
			if strings.Contains(m, w.word) {
				return w.family
			}
			continue
		}
		for _, x := range words {
			if x == w.word {
				return w.family
			}
		}
	}
	return Wood
}
