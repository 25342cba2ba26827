// Package closing says how a board is pressed onto what it is glued to: the caul that spreads
// the force, and what clamps, spring bars and weights reach of the pressure that glue makers ask
// for, with what is lost below it.
//
// Lengths are millimetres, forces newtons, pressures megapascals.
package closing

import (
	"math"

	"reseat/jig/beam"
)

// Caul is the bar between clamps and board, as wide as the board.
type Caul struct {
	LengthMM, HeightMM float64
	Material           beam.Material
	Under              []Layer // what gives below it: pad, board, neck
}

// Layer is one of the layers under a caul.
type Layer struct {
	Name        string
	ThicknessMM float64
	ModulusMPa  float64 // through the thickness; the most there is: what gives little needs a stiffer caul
}

// CorkMPa is the modulus of a cork pad through its thickness. Common practice, no source.
const CorkMPa = 15.0

// LeastShare is what the pressure may fall to, in parts of the mean, at the worst place of the
// joint. Common practice: a woodworking paper's adviser is content with a joint of which a third
// is as strong as glue can be (web: woodworkingnetwork.com, what is the effect of pressure when
// gluing wood); that a third of the mean pressure is meant is this tool's own choice.
const LeastShare = 1.0 / 3

// endShare is the end clamps' distance from the caul's ends, in parts of the spacing. At half a
// spacing, as between clamps, a free end would lift off where the middle still holds a third;
// at a third of it both are about alike (0.36 would let the caul be lowest; derived).
const endShare = 1.0 / 3

// bedded is a strip of the caul 1 mm wide on what lies under it: both its stiffness and the bed's
// grow with the width, which falls out.
//
//	k = 1 / sum (t / E),   E I = E h^3 / 12 for each mm of width
//
// A bed that gives is the model, and not a beam on clamps with an even load: that one says how
// far the caul bends, but not what pressure is left where it has bent away; and an even load is
// what is not known. The film of glue gives no spring: it is taken as thin, as it is in the end.
// Layers are taken without shear, so that they spread nothing themselves: on the safe side.
func (c Caul) bedded() beam.Bedded {
	compliance := 0.0
	for _, l := range c.Under {
		compliance += l.ThicknessMM / l.ModulusMPa
	}
	h := c.HeightMM
	return beam.Bedded{LengthMM: c.LengthMM, Stiffness: c.Material.Modulus.Least * h * h * h / 12, Bed: 1 / compliance}
}

// Places returns where n clamps stand along the caul: evenly, the end ones a third of the spacing
// from its ends; and the spacing, 0 of a single one, which stands in the middle.
//
//	s = L / (n - 1 + 2/3)
func (c Caul) Places(n int) (at []float64, spacingMM float64) {
	if n < 2 {
		return []float64{c.LengthMM / 2}, 0
	}
	s := c.LengthMM / (float64(n-1) + 2*endShare)
	for i := range n {
		at = append(at, s*(endShare+float64(i)))
	}
	return at, s
}

// steps is at how many places between neighbours the pressure is looked at.
const steps = 8

// Pressure returns the least and the largest pressure under n clamps alike, in parts of the mean.
// Below zero the caul would lift off there.
func (c Caul) Pressure(n int) (least, most float64) {
	at, _ := c.Places(n)
	var loads []beam.Load
	places := []float64{0}
	for _, x := range append(at, c.LengthMM) {
		from := places[len(places)-1]
		for i := range steps {
			places = append(places, from+(x-from)*float64(i+1)/steps)
		}
	}
	for _, x := range at {
		loads = append(loads, beam.Load{AtMM: x, ForceN: c.LengthMM / float64(n)})
	}
	least, most = math.Inf(1), math.Inf(-1)
	for _, p := range c.bedded().Under(loads, places) {
		least, most = min(least, p), max(most, p)
	}
	return least, most
}

const (
	mostClamps   = 100   // no bench has as many
	mostHeightMM = 200.0 // nor a caul as high
	heightStepMM = 0.1
)

// Clamps returns the least number of clamps alike under which the pressure stays over LeastShare
// of the mean everywhere; 0 when a hundred are not enough.
func (c Caul) Clamps() int {
	for n := 1; n <= mostClamps; n++ {
		if least, _ := c.Pressure(n); least >= LeastShare {
			return n
		}
	}
	return 0
}

// LeastHeight returns how high the caul must be for n clamps, in mm, up to a tenth; 0 when
// 200 mm are not enough.
func (c Caul) LeastHeight(n int) float64 {
	even := func(h float64) bool {
		c.HeightMM = h
		least, _ := c.Pressure(n)
		return least >= LeastShare
	}
	low, high := 0, int(mostHeightMM/heightStepMM)
	if !even(mostHeightMM) {
		return 0
	}
	for high-low > 1 {
		if mid := (low + high) / 2; even(float64(mid) * heightStepMM) {
			high = mid
		} else {
			low = mid
		}
	}
	return float64(high) * heightStepMM
}

// Stress returns the largest bending stress in the caul under n clamps that press with forceN
// each on a joint as wide as the caul, MPa.
func (c Caul) Stress(n int, forceN, widthMM float64) float64 {
	at, _ := c.Places(n)
	var loads []beam.Load
	for _, x := range at {
		loads = append(loads, beam.Load{AtMM: x, ForceN: forceN / widthMM})
	}
	strip := beam.Bar{WidthMM: 1, HeightMM: c.HeightMM}
	return strip.Stress(c.bedded().Bending(loads))
}

// Cone returns how wide a clamp's force has spread, in mm, at a depth under its pad: at 45
// degrees to every side. Common practice, no source; clamps whose cones meet at the glue press
// everywhere.
func Cone(padMM, depthMM float64) float64 { return padMM + 2*depthMM }

// Hollow returns the radius that the underside of a caul must have so that a pad of even
// thickness bears on all of a crowned face, 0 for a flat one; and by how much a flat caul that
// lies on the crown's middle stands off at its edges.
//
//	R + pad,   R - sqrt(R^2 - (w/2)^2)
func Hollow(crownRadiusMM, padMM, widthMM float64) (radiusMM, offMM float64) {
	r, half := crownRadiusMM, widthMM/2
	if r == 0 {
		return 0, 0
	}
	return r + padMM, r - math.Sqrt(max(0, r*r-half*half))
}
