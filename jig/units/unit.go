// Package units reads and writes lengths: millimetres inside, inches where people
// write them.
package units

// Unit is a unit of length that people write.
type Unit int

// The units that are taken.
const (
	MM Unit = iota
	Inch
)

// MMPerInch is exact by definition (international inch, 1959).
const MMPerInch = 25.4

// String returns the unit as it is written: "mm" or "in".
func (u Unit) String() string {
	if u == Inch {
		return "in"
	}
	return "mm"
}

// MM returns how many millimetres one unit is.
func (u Unit) MM() float64 {
	if u == Inch {
		return MMPerInch
	}
	return 1
}
