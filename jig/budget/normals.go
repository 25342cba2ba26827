package budget

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// coefficients are the figures of a Field: shifts along u and v, UU, UV, VU, VV and the bow.
type coefficients [numbers]float64

const numbers = 7

func (f Field) coefficients() coefficients {
	return coefficients{f.Shift.X, f.Shift.Y, f.UU, f.UV, f.VU, f.VV, f.Bow}
}

// normals returns fields, each to be carried by a standard normal number, that
// stand for all normal causes. However many there are, their sum is normal again, and
// only the covariance of its coefficients matters:
//
//	covariance = sum over k of l_k l_k',  l_k the columns of its Cholesky factor
//
// Reference: any text on the multivariate normal distribution.
func (s Spec) normals() [numbers]coefficients {
	var sum [numbers][numbers]float64
	add := func(f Field) {
		c := f.coefficients()
		for i := range c {
			for j := range c {
				sum[i][j] += float64(c[i] * c[j])
			}
		}
	}
	for _, src := range s.Sources {
		for _, v := range src.Vars {
			if v.Law == Normal {
				add(v.Field.Scale(v.sd()))
			}
		}
		// Every figure is that of one feature alone, so one draw of an own error
		// serves for all of them, as a shift of the board would.
		add(Shift(geom.Vec{X: src.ownSD()}))
		add(Shift(geom.Vec{Y: src.ownSD()}))
	}
	correlation := mat.NewSymDense(numbers, nil)
	for i := range sum {
		for j := range i {
			if sum[i][i] > leastVariance && sum[j][j] > leastVariance {
				correlation.SetSym(i, j, sum[i][j]/(math.Sqrt(sum[i][i])*math.Sqrt(sum[j][j])))
			}
		}
		correlation.SetSym(i, i, 1+leastPivot)
	}
	var factor mat.Cholesky
	var lower mat.TriDense
	var columns [numbers]coefficients
	if !factor.Factorize(correlation) {
		return columns // an infinite cause, which its term tells
	}
	factor.LTo(&lower)
	for k := range columns {
		for i := k; i < numbers; i++ {
			columns[k][i] = lower.At(i, k) * math.Sqrt(sum[i][i])
		}
	}
	return columns
}

// leastPivot is the share by which each variance is raised, so that coefficients that
// others explain entirely leave something to take the root of: a few dozen sums round
// to some 1e-15, and a share of 1e-12 moves no figure by a millionth.
const leastPivot = 1e-12

// leastVariance is the square below which float64 loses digits, and with them the
// correlation; the causes are then drawn one by one.
const leastVariance = 1e-290
