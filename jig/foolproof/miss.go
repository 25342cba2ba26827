package foolproof

import (
	"reseat/jig/geom"
	"reseat/jig/units"
)

// HoleAt is a hole that a pin may enter: round when Travel is zero, otherwise a
// slot whose end centres lie Travel apart (mm) along Angle (radians from +u). Play is
// how far its pin may stand off the middle before metal meets, mm, not negative.
type HoleAt struct {
	At     geom.Vec
	Travel float64
	Angle  float64
	Play   float64
}

// Misplacement is a wrong way to put a plate on its pins.
type Misplacement int

// The turns, each with the whole set of placements that it stands for. R(phi)
// is the rotation by phi, counter-clockwise; any shift goes with it.
const (
	// HalfTurn: not turned over, R(phi) with phi within 90 degrees of 180. The
	// plate lies end for end.
	HalfTurn Misplacement = iota
	// FlipLong: turned over about the datum line, R(phi) after v -> -v with phi
	// within 90 degrees of 0. The start end stays where it was.
	FlipLong
	// FlipShort: turned over about a line across the board, R(phi) after
	// u -> -u with phi within 90 degrees of 0. The start end comes to the far end.
	FlipShort
)

// MissTolerance is the largest amount in millimetres by which LeastMiss may lie
// off the true least miss, and Misses about the limit: far below the 0.01 mm that a
// hole position is known to.
const MissTolerance = 1e-6

// LeastMiss returns the smallest, over every placement that t stands for and
// every way to pair each pin with a hole of its own, of the largest distance in
// millimetres between a pin and the hole it would enter, less the hole's play; zero when
// the plate goes on. The distance to a slot is that to the line between its end centres.
// The result is in whole millionths, which do not hang on the machine.
//
// It takes 2 to 12 pins and at least as many holes, at most 12; otherwise there is an error.
func LeastMiss(pins []geom.Vec, holes []HoleAt, t Misplacement) (float64, error) {
	s, err := newSearch(pins, holes, t)
	if err != nil {
		return 0, err
	}
	return units.Round(max(0, s.least()), 6), nil
}

// Misses reports whether at least one pin misses its hole by need or more in
// every placement: LeastMiss >= need, but as a rule much faster. Errors as for
// LeastMiss.
func Misses(pins []geom.Vec, holes []HoleAt, t Misplacement, need float64) (bool, error) {
	s, err := newSearch(pins, holes, t)
	if err != nil {
		return false, err
	}
	return s.missesBy(need), nil
}
