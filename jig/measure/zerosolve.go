package measure

import "math"

// leastPivotShare is how much of a column must be left once those before it are
// taken out, as a share of its sum of squares. The normal equations square the
// condition, so that less than this is rounding.
const leastPivotShare = 1e-12

// normalInverse returns (J'J)^-1 of a few columns by Gauss-Jordan elimination of the
// symmetric matrix, whose pivots are positive. ok is false when the columns depend
// on each other.
func normalInverse(rows [][]float64) (inv [][]float64, ok bool) {
	if len(rows) == 0 {
		return nil, false
	}
	n := len(rows[0])
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, 2*n)
		a[i][n+i] = 1
		for _, r := range rows {
			for j := range n {
				a[i][j] += r[i] * r[j]
			}
		}
	}
	for i := range n {
		full := 0.0
		for _, r := range rows {
			full += r[i] * r[i]
		}
		if !(a[i][i] > leastPivotShare*full) {
			return nil, false
		}
		p := a[i][i]
		for j := range a[i] {
			a[i][j] /= p
		}
		for k := range n {
			if k == i {
				continue
			}
			m := a[k][i]
			for j := range a[k] {
				a[k][j] -= m * a[i][j]
			}
		}
	}
	for i := range a {
		inv = append(inv, a[i][n:])
	}
	return inv, true
}

// solveNormal returns (J'J)^-1 J' b.
func solveNormal(inv, rows [][]float64, b []float64) []float64 {
	n := len(inv)
	jb, x := make([]float64, n), make([]float64, n)
	for i, r := range rows {
		for k := range n {
			jb[k] += r[k] * b[i]
		}
	}
	for i := range n {
		for k := range n {
			x[i] += inv[i][k] * jb[k]
		}
	}
	return x
}

// quadratic returns g' inv g, never under zero.
func quadratic(inv [][]float64, g []float64) float64 {
	sum := 0.0
	for i := range g {
		for k := range g {
			sum += g[i] * inv[i][k] * g[k]
		}
	}
	return math.Max(0, sum)
}
