package gluing

import (
	"math"

	"reseat/jig/beam"
	"reseat/jig/rail"
)

// Sideways returns the side load of a closing force, N: until the glue grips the film holds
// nothing, and all of it goes to one rail.
//
//	F sin(2 degrees)
func Sideways(closingN float64) float64 { return closingN * math.Sin(rail.OutOfSquareRad) }

// Bears is what a rail bears and how far it gives.
type Bears struct {
	DeflectionMM float64 `json:"gives_mm"`
	EdgeMPa      float64 `json:"edge_mpa"` // on the board's edge and the rail
	FootMPa      float64 `json:"foot_mpa"` // at what holds it: the pins' bearing, or the shear of what it is stuck with
	RailMPa      float64 `json:"rail_mpa"` // bending in it
	SpanMM       float64 `json:"span_mm"`  // between what holds it
	Used         float64 `json:"used"`     // the largest of them in parts of what its material bears
}

// Rail is a rail along one side of the board; what it faces the board with, at least, is ContactMM
// high and LengthMM long.
type Rail struct {
	Material            beam.Material
	LengthMM, ContactMM float64
	Edge                beam.Material // the board's wood
	Board               beam.Bar      // the board bent in its plane: its thickness wide, its width high
}

// judged finishes what a rail bears under a side load, by its limits.
func (r Rail) judged(b Bears, footLimit float64) Bears {
	limit := r.Material.Strength.Least
	b.Used = max(b.EdgeMPa/min(limit, r.Edge.Strength.Least), b.FootMPa/footLimit, b.RailMPa/limit)
	return b
}

// Wall is a printed rail that stands up from its plate, heightMM above it and widthMM wide.
//
//	a cantilever, loaded along its top; sigma = 6 F h / (L w^2) at its foot
func (r Rail) Wall(sideN, heightMM, widthMM float64) Bears {
	b := beam.Bar{WidthMM: r.LengthMM, HeightMM: widthMM, ModulusMPa: r.Material.Modulus.Least}
	out := Bears{
		DeflectionMM: b.Cantilever(heightMM, sideN), RailMPa: b.Stress(sideN * heightMM),
		EdgeMPa: sideN / (r.LengthMM * r.ContactMM),
	}
	return r.judged(out, r.Material.Strength.Least)
}

// OnPins is a plate of sheet around the board, held by pins at most spanMM apart along it; its bar
// beside the board is barMM wide.
//
//	between pins bar and board on two supports, q = F/L:  d = 1/(1/d_bar + 1/d_board),
//	each as if it bore all of q:  5 q s^4/(384 E I) + q s^2/(8 k G A)
//	a pin takes q s on its diameter and the sheet's thickness
//
// The load is on the board, which is far stiffer in its plane than the bar: it lies on it where the
// pins hold it, and the two bend together between. There the edge bears over the pin's width spread
// at 45 degrees through the bar. That both go on beyond the pins, and that the pins give, is left
// out; pins of hardened steel, no longer out of the blank than the plate is thick, give some tenths
// of a micrometre.
func (r Rail) OnPins(sideN, spanMM, barMM, thickMM, pinMM float64) Bears {
	q := sideN / r.LengthMM
	b := beam.Bar{WidthMM: thickMM, HeightMM: barMM, ModulusMPa: r.Material.Modulus.Least, ShearMPa: r.Material.Shear}
	alone, share := b.Span(spanMM, q), 1.0 // what of the load the bar bends under
	if r.Board.HeightMM > 0 {
		share = r.Board.Span(spanMM, q) / (r.Board.Span(spanMM, q) + alone)
	}
	return r.judged(Bears{
		SpanMM: spanMM, DeflectionMM: alone * share, FootMPa: q * spanMM / (pinMM * thickMM),
		RailMPa: b.Stress(share * q * spanMM * spanMM / 8),
		EdgeMPa: q * spanMM / (min(spanMM, pinMM+2*barMM) * r.ContactMM),
	}, r.Material.Strength.Least)
}

// tapeMPa is what double-sided tape bears for a short time: one maker's rule, 6.25 cm2 hold a kilogram
// (web: innovasolutions.co.uk).
const tapeMPa = 9.80665 / 625

// Stuck is a plate that is taped down beside the board, widthMM of it.
//
//	shear F/(L w);  it gives as a block that is held below
func (r Rail) Stuck(sideN, heightMM, widthMM float64) Bears {
	b := beam.Bar{WidthMM: r.LengthMM, HeightMM: widthMM, ModulusMPa: r.Material.Modulus.Least,
		ShearMPa: r.Material.Shear}
	return r.judged(Bears{
		DeflectionMM: b.Cantilever(heightMM, sideN), FootMPa: sideN / (r.LengthMM * widthMM),
		RailMPa: b.Stress(sideN * heightMM),
		EdgeMPa: sideN / (r.LengthMM * r.ContactMM),
	}, tapeMPa)
}
