package assembly

import (
	"math"

	"reseat/fit"
)

// wilson returns the 95 % interval of a share of which k in n were seen.
//
//	(k + z^2/2 -+ z sqrt(k (n - k)/n + z^2/4)) / (n + z^2)
//
// It stays within 0 and 1 and keeps a width when k is 0 or n.
func wilson(k, n int) (low, high float64) {
	const z = fit.Normal95
	a, m := float64(k), float64(n)
	mid, half := a+z*z/2, z*math.Sqrt(a*(m-a)/m+z*z/4)
	low, high = (mid-half)/(m+z*z), (mid+half)/(m+z*z)
	if k == 0 {
		low = 0 // what rounding leaves of it
	}
	if k == n {
		high = 1
	}
	return low, high
}
