package measure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// outlierRisk is the probability that a set of good readings has one of them named. It is
// shared out over the readings (Bonferroni), which is slightly on the safe side.
const outlierRisk = 0.05

// certainRisk is the same for leaving it out: without the one that lies farthest off, the scatter of a
// good set looks too small.
const certainRisk = 0.005

// leastOwnShare is the share of an observation's error that must show in its residual
// for it to be judged: a point that the fit follows altogether, such as the only one on
// its line, is never wrong. Rounding leaves 1e-15.
const leastOwnShare = 1e-9

// outlier is the observation that passes the limit by most.
type outlier struct {
	index    int
	t, limit float64 // studentised, and the limit that no good set passes, with 95 % probability
	rest     float64 // sum of squares without it
	certain  bool    // a good set has such a one with certainRisk only
}

// studentised returns the externally studentised residuals of a fit by observation, each
// of one or two successive rows as rows says (nil: one each), and the outlier, nil when
// there is none. t is zero where there are too few readings to judge by.
//
//	drop = e'(I - H)^-1 e            by which the sum of squares falls without the observation
//	t^2 = drop/m / s_(i)^2,  s_(i)^2 = (SSE - drop)/(df - m)
//	limit^2: F with m and df - m, at 1 - risk/n;  chi-square/m for a stated error
//
// with m rows, and the observation's block H of the hat matrix. With one row it is
// Student's t and has the residual's sign. s_(i) is not taken below what rounding to the
// last digit makes: readings that agree to the digit would otherwise condemn the first
// one that differs by one.
//
// Reference: Cook and Weisberg, Residuals and Influence in Regression, 1982, section 2.2
// (recalled).
func (p Precision) studentised(f *fit, rows []int) (t []float64, worst *outlier) {
	n := len(rows)
	if rows == nil {
		n = len(f.residual)
	}
	t = make([]float64, n)
	var limits [3]float64 // by the number of rows
	row, most := 0, 1.0
	for i := range t {
		m := 1
		if rows != nil {
			m = rows[i]
		}
		drop, ok := f.drop(row, m)
		rest := p.uncertainty(math.Max(0, f.sse-drop), f.df-m)
		if ok && f.df > m && rest != nil {
			t[i] = math.Copysign(math.Sqrt(drop/float64(m))/rest.ReadingSDMM, f.residual[row])
			if limits[m] == 0 {
				limits[m] = outlierLimit(m, rest, outlierRisk/float64(n))
			}
			if r := math.Abs(t[i]) / limits[m]; r > most {
				sure := math.Abs(t[i]) > outlierLimit(m, rest, certainRisk/float64(n))
				most, worst = r, &outlier{i, t[i], limits[m], f.sse - drop, sure}
			}
		}
		row += m
	}
	return t, worst
}

// outlierLimit is passed by a good reading of m rows with the given probability.
func outlierLimit(m int, rest *Uncertainty, risk float64) float64 {
	if rest.Stated {
		return math.Sqrt(distuv.ChiSquared{K: float64(m)}.Quantile(1-risk) / float64(m))
	}
	return math.Sqrt(distuv.F{D1: float64(m), D2: float64(rest.DF)}.Quantile(1 - risk))
}

// drop returns by how much the sum of squares falls without the m rows from row on; ok is
// false when the fit follows them altogether.
func (f *fit) drop(row, m int) (drop float64, ok bool) {
	own := func(i, j int) (v float64) { // of I - H
		if i == j {
			v = 1
		}
		for k := range f.x {
			v -= f.q.At(row+i, k) * f.q.At(row+j, k)
		}
		return v
	}
	e := f.residual[row:]
	if m == 1 {
		return e[0] * e[0] / own(0, 0), own(0, 0) > leastOwnShare
	}
	a, b, c := own(0, 0), own(0, 1), own(1, 1)
	det := a*c - b*b
	return (e[0]*e[0]*c - 2*e[0]*e[1]*b + e[1]*e[1]*a) / det, det > leastOwnShare
}
