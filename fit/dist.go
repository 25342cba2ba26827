package fit

import "math"

// Shape is the shape of a distribution of diameters.
type Shape int

const (
	// Normal: what a process makes, with half the range that holds 95 % of it.
	Normal Shape = iota
	// Uniform: anywhere between two limits; what is assumed of a bought part that
	// is known by its limits alone. It is the more cautious of the two.
	Uniform
)

// Dist is a distribution of diameters in mm.
type Dist struct {
	Shape  Shape
	Mean   float64 // mm
	Spread float64 // mm, at least 0: Normal: half width that holds 95 %; Uniform: half the range
}

// z95 is the standard normal quantile that holds 95 % between its signs (any table
// of the normal distribution: 1.959964).
const z95 = 1.959963984540054

// SD returns the standard deviation in mm.
func (d Dist) SD() float64 {
	if d.Shape == Uniform {
		return d.Spread / math.Sqrt(3)
	}
	return d.Spread / z95
}

// CDF returns the share that is at most x, 0 to 1. A distribution without spread
// steps at its mean.
func (d Dist) CDF(x float64) float64 {
	switch {
	case d.Spread <= 0:
		if x < d.Mean {
			return 0
		}
		return 1
	case d.Shape == Uniform:
		return math.Min(1, math.Max(0, (x-d.Mean+d.Spread)/(2*d.Spread)))
	}
	return 0.5 * math.Erfc(-(x-d.Mean)/(d.SD()*math.Sqrt2))
}

// Quantile returns the diameter that the share q (0 to 1) stays at or under, inverse
// of CDF.
func (d Dist) Quantile(q float64) float64 {
	if d.Shape == Uniform {
		return d.Mean + d.Spread*(2*q-1)
	}
	return d.Mean + d.SD()*math.Sqrt2*math.Erfinv(2*q-1)
}

// EntryOdds returns the odds, 0 to 1, that a pin goes into a hole when both are
// taken at random: the hole is at least as large as the pin.
//
//	P = integral over q from 0 to 1 of 1 - F_hole(Q_pin(q)) dq
//
// which is the convolution of the two written over the pin's quantiles. For two
// normal distributions it is exact: Phi((mean_h - mean_p) / hypot(sd_h, sd_p)).
// Otherwise the integral is taken by the midpoint rule, true to about 1e-5.
func EntryOdds(hole, pin Dist) float64 {
	if hole.Shape == Normal && pin.Shape == Normal || hole.Spread <= 0 && pin.Spread <= 0 {
		s := math.Hypot(hole.SD(), pin.SD())
		if s == 0 {
			if hole.Mean >= pin.Mean {
				return 1
			}
			return 0
		}
		return 0.5 * math.Erfc(-(hole.Mean-pin.Mean)/(s*math.Sqrt2))
	}
	if pin.Spread <= 0 {
		return 1 - hole.CDF(pin.Mean)
	}
	if hole.Spread <= 0 {
		return pin.CDF(hole.Mean)
	}
	sum := 0.0
	for i := range oddsSteps {
		sum += 1 - hole.CDF(pin.Quantile((float64(i)+0.5)/oddsSteps))
	}
	return sum / oddsSteps
}

// oddsSteps is how many slices the odds are summed over: the error of the midpoint
// rule on a bounded monotone integrand is below 1/(2 n) at a jump, far less elsewhere.
const oddsSteps = 4096
