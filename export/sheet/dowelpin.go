package sheet

import (
	"strings"

	"reseat/jig"
)

// pinDiameter returns a pin's nominal diameter, mm.
func pinDiameter(p jig.Pin) float64 { return p.Dowel.NominalMM }

// pinLength returns a pin's length, mm; 0 when the job names none.
func pinLength(p jig.Pin) float64 { return p.Dowel.LengthMM }

// pinName names a pin as on a parts list: standard, size, class. What the job
// leaves out is left out.
func pinName(p jig.Pin) string {
	size := mm(pinDiameter(p))
	if l := pinLength(p); l > 0 {
		size += " x " + mm(l)
	}
	return strings.Join(strings.Fields(p.Dowel.Standard+" "+size+" "+p.Dowel.Class), " ")
}
