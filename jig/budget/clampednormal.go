package budget

import "math"

// clampedNormal returns E[y] and E[y^2] of y = min(1, max(0, x)), x normal with
// the given mean and standard deviation, both 0 to 1. With a = -mean/sd,
// b = (1 - mean)/sd, and phi, Phi the standard normal density and distribution:
//
//	E[y]   = mean P + sd (phi(a) - phi(b)) + Q
//	E[y^2] = (mean^2 + sd^2) P + 2 mean sd (phi(a) - phi(b)) + sd^2 (a phi(a) - b phi(b)) + Q
//	P = Phi(b) - Phi(a),  Q = 1 - Phi(b)
func clampedNormal(mean, sd float64) (first, second float64) {
	if sd < leastShareSD {
		return mean, mean * mean
	}
	a, b := -mean/sd, (1-mean)/sd
	fa, fb := density(a), density(b)
	p, q := above(a)-above(b), above(b)
	first = mean*p + sd*(fa-fb) + q
	second = (mean*mean+sd*sd)*p + 2*mean*sd*(fa-fb) + sd*sd*(a*fa-b*fb) + q
	return first, second
}

// leastShareSD is the spread of a share below which it counts as none: it would
// enter the second moment as its square, 1e-16, below rounding.
const leastShareSD = 1e-8

func density(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }

// above is the probability that a standard normal variable exceeds x.
func above(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }
