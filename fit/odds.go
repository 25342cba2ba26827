package fit

import "math"

// Normal95 is the half width of the middle 95 % of a normal distribution in
// standard deviations (exact to the digits given; any table of the normal
// distribution).
const Normal95 = 1.959963984540054

// EntryOdds is the probability that a pin enters a hole, 0 to 1, both diameters
// being normal and independent (mm, or any one unit):
//
//	P(hole - pin > 0) = Phi((holeMean - pinMean) / sqrt(holeSD^2 + pinSD^2))
//
// since the convolution of two normal distributions is normal. With no spread at
// all it is 1 when the hole is larger than the pin or equal to it, else 0. A negative or
// non-finite argument of spread gives NaN.
func EntryOdds(holeMean, holeSD, pinMean, pinSD float64) float64 {
	d, s := holeMean-pinMean, math.Hypot(holeSD, pinSD)
	switch {
	case math.IsNaN(d) || math.IsNaN(s) || math.IsInf(s, 0) || holeSD < 0 || pinSD < 0:
		return math.NaN()
	case s == 0 && d >= 0:
		return 1
	case s == 0:
		return 0
	}
	return math.Erfc(-d/(s*math.Sqrt2)) / 2
}
