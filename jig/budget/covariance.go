package budget

import "math"

// covariance is that of the six coefficients of a sum of independent normal fields.
// However many causes there are, their sum is normal again, and only this matrix
// matters: at most six normal numbers a trial draw it.
//
// Reference: any text on the multivariate normal distribution.
type covariance [6][6]float64

// add adds one standard normal number times the coefficients c.
func (m *covariance) add(c [6]float64) {
	for i := range c {
		for j := range c {
			m[i][j] += c[i] * c[j]
		}
	}
}

// factor returns six vectors whose outer products add up to m: the columns of its
// Cholesky factor. Where a coefficient adds nothing to the ones before, its column is
// zero and is drawn all the same: which ones are is rounding's decision, and must not
// shift the random numbers of the others.
//
//	m = sum over k of l_k l_k'
func (m *covariance) factor() [6][6]float64 {
	var out [6][6]float64
	rest := *m
	for k := range 6 {
		// What is left of a coefficient that the earlier columns explain is rounding.
		if !(rest[k][k] > leastPivot*m[k][k]) {
			continue
		}
		var l [6]float64
		root := math.Sqrt(rest[k][k])
		for i := k; i < 6; i++ {
			l[i] = rest[i][k] / root
		}
		for i := range l {
			for j := range l {
				rest[i][j] -= l[i] * l[j]
			}
		}
		out[k] = l
	}
	return out
}

// leastPivot is the share of a variance below which the rest of it counts as nil: a
// few dozen sums round to some 1e-15 of it, and a share of 1e-12 moves no figure by
// a millionth.
const leastPivot = 1e-12
