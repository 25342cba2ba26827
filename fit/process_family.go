package fit

import (
	"slices"
	"strings"

	"reseat/jig/sourced"
)

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
	if IsBoard(material) {
		return Wood
	}
	m := strings.ToLower(material)
	words := strings.FieldsFunc(m, func(r rune) bool { return (r < 'a' || r > 'z') && r < 0x80 })
	for _, w := range familyWords {
		if slices.Contains(words, w.word) || len(w.word) > shortWord && strings.Contains(m, w.word) {
			return w.family
		}
	}
	return Wood
}

// A board is a sheet of fibres, chips or veneers. A hole drilled in it closes by a
// share of its diameter: the largest gauge that goes in freely is so much under a
// drill of 12 mm, into the side of the board (standard: Effect of Wood-based Material
// Type on Drilled Hole Diameter, Drewno/Wood; process_tolerance.csv).
type board struct {
	word                string
	closes, least, most float64
	mark                sourced.Mark
	source              string
}

const plugGaugeTests = "Effect of Wood-based Material Type on Drilled Hole Diameter, Drewno/Wood: 12 mm into " +
	"the side of the " +
	"board"

var boards = []board{
	{"mdf", 0.004, 0.004, 0.004, sourced.Standard, plugGaugeTests},
	{"ply", 0.012, 0.012, 0.012, sourced.Standard, plugGaugeTests},
	{"particle", 0.006, 0.004, 0.008, sourced.Standard, plugGaugeTests},
	{"chipboard", 0.006, 0.004, 0.008, sourced.Standard, plugGaugeTests},
	{"hdf", 0.004, 0.004, 0.012, sourced.Practice, "as MDF"},
	{"hardboard", 0.004, 0.004, 0.012, sourced.Practice, "as MDF"},
}

func boardOf(material string) (board, bool) {
	m := strings.ToLower(material)
	for _, b := range boards {
		if strings.Contains(m, b.word) {
			return b, !strings.Contains(m, "acrylic") && !strings.Contains(m, "pmma") // "acrylic, from supply"
		}
	}
	return board{}, false
}

// IsBoard tells boards of fibres, chips or veneers from timber.
func IsBoard(material string) bool {
	_, ok := boardOf(material)
	return ok
}
