package gluing

import (
	"math"

	"reseat/jig/beam"
)

// squareRad is how far out of square a caul and clamps press, 2 degrees. Common practice, no source.
const squareRad = 2 * math.Pi / 180

// Sideways returns the side load of a closing force, N: until the glue grips the film holds
// nothing, and all of it goes to one rail.
//
//	F sin(2 degrees)
func Sideways(closingN float64) float64 { return closingN * math.Sin(squareRad) }

// Bears is what a rail bears and how far it gives.
type Bears struct {
	GivesMM  float64 `json:"gives_mm"`
	EdgeMPa  float64 `json:"edge_mpa"`  // on the board's edge and the rail
	FootMPa  float64 `json:"foot_mpa"`  // at what holds it: the pins' bearing, or the shear of what it is stuck with
	RailMPa  float64 `json:"rail_mpa"`  // bending in it
	Holds    bool    `json:"holds"`     // all are below what is allowed
	LimitMPa float64 `json:"limit_mpa"` // of the rail's material
}

// Rail is a rail along one side of the board; what it faces the board with, at least, is ContactMM
// high and LengthMM long.
type Rail struct {
	Material            beam.Material
	LengthMM, ContactMM float64
	Edge                beam.Material // the board's wood
}

// judged finishes what a rail bears under a side load.
func (r Rail) judged(b Bears, sideN, footLimit float64) Bears {
	b.EdgeMPa = sideN / (r.LengthMM * r.ContactMM)
	b.LimitMPa = r.Material.Strength.Least
	b.Holds = b.EdgeMPa <= min(b.LimitMPa, r.Edge.Strength.Least) && b.FootMPa <= footLimit && b.RailMPa <= b.LimitMPa
	return b
}

// Wall is a printed rail that stands up from its plate, heightMM above it and widthMM wide.
//
//	a cantilever, loaded along its top; sigma = 6 F h / (L w^2) at its foot
func (r Rail) Wall(sideN, heightMM, widthMM float64) Bears {
	b := beam.Bar{WidthMM: r.LengthMM, HeightMM: widthMM, ModulusMPa: r.Material.Modulus.Least}
	out := Bears{GivesMM: b.Cantilever(heightMM, sideN), RailMPa: b.Stress(sideN * heightMM)}
	return r.judged(out, sideN, r.Material.Strength.Least)
}

// OnPins is a plate of sheet around the board, held by pins at most spanMM apart along it; its bar
// beside the board is barMM wide.
//
//	between pins a bar on two supports, q = F/L:  5 q s^4/(384 E I) + q s^2/(8 k G A)
//	a pin takes q s on its diameter and the sheet's thickness
//
// That the bar goes on beyond the pins, and that the pins give, is left out; the pins of hardened
// steel, no longer out of the blank than the plate is thick, give some tenths of a micrometre.
func (r Rail) OnPins(sideN, spanMM, barMM, thickMM, pinMM float64) Bears {
	q := sideN / r.LengthMM
	b := beam.Bar{WidthMM: thickMM, HeightMM: barMM, ModulusMPa: r.Material.Modulus.Least, ShearMPa: r.Material.Shear}
	out := Bears{
		GivesMM: b.Span(spanMM, q), FootMPa: q * spanMM / (pinMM * thickMM), RailMPa: b.Stress(q * spanMM * spanMM / 8),
	}
	return r.judged(out, sideN, r.Material.Strength.Least)
}

const (
	// tapeMPa is what double-sided tape bears for a short time: one maker's rule, 6.25 cm2 hold a
	// kilogram (web: innovasolutions.co.uk).
	tapeMPa = 9.80665 / 625
	// gluedMPa is what a glued strip bears in shear with ease: a tenth of a good joint's 10 MPa.
	// Common practice, no source.
	gluedMPa = 1.0
)

// Stuck is a strip heightMM high and widthMM wide that is glued or taped down.
//
//	shear F/(L w);  it gives as a block that is held below
func (r Rail) Stuck(sideN, heightMM, widthMM float64, taped bool) Bears {
	b := beam.Bar{WidthMM: r.LengthMM, HeightMM: widthMM, ModulusMPa: r.Material.Modulus.Least,
		ShearMPa: r.Material.Shear}
	out := Bears{
		GivesMM: b.Cantilever(heightMM, sideN), FootMPa: sideN / (r.LengthMM * widthMM), RailMPa: b.Stress(sideN * heightMM),
	}
	limit := gluedMPa
	if taped {
		limit = tapeMPa
	}
	return r.judged(out, sideN, limit)
}
