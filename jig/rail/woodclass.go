package rail

import "strings"

// conifers and broadleaves are words in trade names that settle the class. By
// botany: softwood is the wood of conifers. Glue makers mean it so when they give
// a pressure for each class, though it is the density that counts.
var (
	conifers = words("spruce pine fir larch cedar redcedar redwood cypress hemlock yew juniper tamarack sequoia " +
		"kauri")
	broadleaves = words("alder apple ash basswood beech birch boxwood bubinga butternut cherry cocobolo ebony elm " +
		"hickory " +
		"hornbeam imbuia iroko jatoba khaya limba lime locust mahogany maple meranti oak okoume olive ovangkol padauk " +
		"pear persimmon plane plum poplar primavera purpleheart robinia rosewood sapele sipo sweetgum sycamore teak " +
		"tulipwood walnut wenge willow ziricote zebrano")
	// falseConifers are names that hold a conifer's word but are broadleaves:
	// Cedrela, a close kin of mahogany.
	falseConifers = words("spanish cigar")
)

func words(s string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// HardnessOf returns the class of a joint between woods of the given trade names
// ("sitka spruce", "Maple, hard"): that of all of them when they agree, and
// HardnessUnknown when they do not, when one is not known, or without names.
func HardnessOf(names ...string) Hardness {
	class := HardnessUnknown
	for i, n := range names {
		c := classOf(n)
		if i > 0 && c != class {
			return HardnessUnknown
		}
		class = c
	}
	return class
}

func classOf(name string) Hardness {
	letters := func(r rune) bool { return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') }
	class := HardnessUnknown
	for _, w := range strings.FieldsFunc(strings.ToLower(name), letters) {
		switch {
		case broadleaves[w] || falseConifers[w]:
			return Hardwood
		case conifers[w]:
			class = Softwood
		}
	}
	return class
}
