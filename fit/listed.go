package fit

// span is a run of grades, both ends in it.
type span struct{ from, to Grade }

// listedHole and listedShaft give, per letter, the grades that ISO 286-2:2010 tabulates up to
// 500 mm. Other grades follow from the rules of part 1 but are seldom made. Recalled; every
// row of testdata/reference/iso286-2-limits-sample.csv lies inside.
var (
	listedHole = [letterCount]span{
		letA: {IT9, IT13}, letB: {IT8, IT13}, letC: {IT8, IT13}, letCD: {IT6, IT10}, letD: {IT6, IT13},
		letE: {IT5, IT10}, letEF: {IT3, IT10}, letF: {IT3, IT10}, letFG: {IT3, IT10}, letG: {IT3, IT10},
		letH: {IT1, IT18}, letJS: {IT1, IT18}, letJ: {IT6, IT8}, letK: {IT3, IT10}, letM: {IT3, IT10},
		letN: {IT3, IT11}, letP: {IT3, IT10}, letR: {IT3, IT10}, letS: {IT3, IT10}, letT: {IT5, IT8},
		letU: {IT5, IT10}, letV: {IT5, IT8}, letX: {IT5, IT10}, letY: {IT6, IT10}, letZ: {IT6, IT11},
		letZA: {IT6, IT11}, letZB: {IT7, IT11}, letZC: {IT7, IT11},
	}
	listedShaft = [letterCount]span{
		letA: {IT9, IT13}, letB: {IT8, IT13}, letC: {IT8, IT12}, letCD: {IT5, IT10}, letD: {IT5, IT13},
		letE: {IT5, IT10}, letEF: {IT3, IT10}, letF: {IT3, IT10}, letFG: {IT3, IT10}, letG: {IT3, IT10},
		letH: {IT1, IT18}, letJS: {IT1, IT18}, letJ: {IT5, IT8}, letK: {IT3, IT13}, letM: {IT3, IT9},
		letN: {IT3, IT9}, letP: {IT3, IT10}, letR: {IT3, IT10}, letS: {IT3, IT10}, letT: {IT5, IT8},
		letU: {IT5, IT9}, letV: {IT5, IT8}, letX: {IT5, IT10}, letY: {IT6, IT10}, letZ: {IT6, IT11},
		letZA: {IT6, IT11}, letZB: {IT7, IT11}, letZC: {IT7, IT11},
	}
)

// IsListed reports whether ISO 286-2 tabulates this class at any size: a shop finds gauges and
// reamers for these first. A class that is not listed can still have limits by the rules of
// ISO 286-1.
func (c Class) IsListed() bool {
	s := c.listed()
	return letterOf(c.Letters) != noLetter && c.Grade >= s.from && c.Grade <= s.to
}

// listed gives the grades that are tabulated with c's letters.
func (c Class) listed() span {
	l := letterOf(c.Letters)
	switch {
	case l == noLetter:
		return span{}
	case c.IsHole():
		return listedHole[l]
	}
	return listedShaft[l]
}
