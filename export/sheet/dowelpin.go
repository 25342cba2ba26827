package sheet

import "reseat/jig"

// pinDiameter returns a pin's nominal diameter, mm.
func pinDiameter(p jig.Pin) float64 { return p.Dowel.NominalMM }

// pinLength returns a pin's length, mm.
func pinLength(p jig.Pin) float64 { return p.Dowel.LengthMM }

// pinName names a pin as on a parts list.
func pinName(p jig.Pin) string { return mm(pinDiameter(p)) + " x " + mm(pinLength(p)) }
