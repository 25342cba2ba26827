package job

// Unit is the unit of bare numbers in a job file.
type Unit int

// The units that a job file can be in.
const (
	MM Unit = iota
	Inch
)

// mmPerInch is exact by definition (international inch, 1959).
const mmPerInch = 25.4

// String returns the unit as it is written in a job file: "mm" or "in".
func (u Unit) String() string {
	if u == Inch {
		return "in"
	}
	return "mm"
}

// MM returns how many millimetres one unit is.
func (u Unit) MM() float64 {
	if u == Inch {
		return mmPerInch
	}
	return 1
}
