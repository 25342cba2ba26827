package pocket

import "math"

// studentCDF returns the probability that Student's t with df >= 1 degrees of
// freedom is at most t, by the finite series for whole df. With theta =
// atan(t/sqrt(df)):
//
//	A = 2/pi (theta + sin theta (cos + 2/3 cos^3 + ... ))         df odd
//	A = sin theta (1 + 1/2 cos^2 + 1*3/(2*4) cos^4 + ...)         df even
//	P = (1 + A)/2
//
// Reference: Abramowitz and Stegun 26.7.3 and 26.7.4 (recalled; a test holds it
// against a general library). Exact up to rounding.
func studentCDF(t float64, df int) float64 {
	theta := math.Atan(t / math.Sqrt(float64(df)))
	sin, cos := math.Sincos(theta)
	var a float64
	if df%2 == 1 {
		sum, term := 0.0, cos
		for k := 1; k <= df-2; k += 2 {
			sum += term
			term *= cos * cos * float64(k+1) / float64(k+2)
		}
		a = 2 / math.Pi * (theta + sin*sum)
	} else {
		sum, term := 0.0, 1.0
		for k := 0; k <= df-2; k += 2 {
			sum += term
			term *= cos * cos * float64(k+1) / float64(k+2)
		}
		a = sin * sum
	}
	return (1 + a) / 2
}

// studentLimit returns the t that Student's stays under with probability p, 0.5 to
// 0.9999, by bisection to the last digits.
func studentLimit(p float64, df int) float64 {
	lo, hi := 0.0, 1.0
	for studentCDF(hi, df) < p {
		hi *= 2
	}
	for range 60 { // halvings: from hi to below a float64's last digit
		mid := (lo + hi) / 2
		if studentCDF(mid, df) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
