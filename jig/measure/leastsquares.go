package measure

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// fit is a linear least-squares fit.
type fit struct {
	x          []float64 // the unknowns
	residual   []float64 // by row: observed less fitted
	fittedNorm float64   // root sum of squares of what was fitted
	sse        float64
	df         int
	q          *mat.Dense        // orthonormal columns that span the rows' matrix
	r          blas64.Triangular // rows' matrix = q r
}

// leastOwnPart is the part of a column that must be left once the columns before it are
// taken out; with less the rows cannot tell them apart. Rounding leaves 1e-13; two
// stations that differ by a micrometre in a metre leave 1e-6.
const leastOwnPart = 1e-9

// leastSquares finds the x with the least sum of squares of b - a x by QR factors, and
// takes a over. ok is false when the rows are fewer than the unknowns or cannot tell them
// apart.
func leastSquares(a *mat.Dense, b []float64) (f fit, ok bool) {
	rows, n := a.Dims()
	if f.df = rows - n; f.df < 0 {
		return f, false
	}
	var qr mat.QR
	qr.Factorize(a)
	var r mat.Dense
	qr.RTo(&r)
	tri := mat.NewTriDense(n, mat.Upper, nil)
	tri.Copy(r.Slice(0, n, 0, n))
	f.r = tri.RawTriangular()
	for j := range n {
		if !(math.Abs(r.At(j, j)) > leastOwnPart*mat.Norm(a.ColView(j), 2)) {
			return f, false
		}
	}
	x, fitted := mat.NewVecDense(n, nil), mat.NewVecDense(rows, nil)
	if qr.SolveVecTo(x, false, mat.NewVecDense(rows, b)) != nil {
		return f, false
	}
	fitted.MulVec(a, x)
	f.x, f.residual, f.fittedNorm = x.RawVector().Data, make([]float64, rows), mat.Norm(fitted, 2)
	floats.SubTo(f.residual, b, fitted.RawVector().Data)
	f.sse = floats.Dot(f.residual, f.residual)
	blas64.Trsm(blas.Right, blas.NoTrans, 1, f.r, a.RawMatrix())
	f.q = a
	return f, true
}

// contrast returns a weighted sum of the unknowns and its standard error for readings of
// 1 mm standard deviation.
//
//	value = w.x,  se = |z|,  r' z = w
func (f *fit) contrast(w ...float64) (value, se float64) {
	z := append([]float64(nil), w...)
	blas64.Trsv(blas.Trans, f.r, blas64.Vector{N: len(z), Data: z, Inc: 1})
	return floats.Dot(w, f.x), floats.Norm(z, 2)
}

// rms is the root mean square of the residuals of n observations.
func (f *fit) rms(n int) float64 { return math.Sqrt(f.sse / float64(n)) }

const (
	// mostSteps bounds the steps of a fit, which converges quadratically: from ten
	// degrees off it takes five.
	mostSteps = 30
	// stepEnd ends them, in parts of the coordinates' size: well above the rounding of
	// the sums, and what is left after such a step is smaller still.
	stepEnd = 1e-12
	// leastPart is the part of a step below which it is not halved further: where
	// a thousandth of it does not help, the sum is flat but for rounding.
	leastPart = 1e-3
)

// gaussNewton improves x until the sum of squared residuals no longer falls. linear
// returns the rows by which a step takes the residuals off, and the residuals, at x;
// size is the largest of the coordinates. Steps are halved while they make the sum larger.
// The fit is the last linear one: its x is next to nothing. ok is false when the rows
// cannot tell the unknowns apart.
func gaussNewton(x []float64, size float64, linear func(x []float64) (*mat.Dense, []float64)) (f fit, ok bool) {
	a, e := linear(x)
	for range mostSteps {
		was := floats.Norm(e, 2)
		if f, ok = leastSquares(a, e); !ok {
			return f, false
		}
		if f.fittedNorm <= stepEnd*size*math.Sqrt(float64(len(e))) {
			floats.Add(x, f.x)
			return f, true
		}
		next := make([]float64, len(x))
		for part := 1.0; part > leastPart; part /= 2 {
			floats.AddScaledTo(next, x, part, f.x)
			if a, e = linear(next); floats.Norm(e, 2) <= was {
				break
			}
		}
		copy(x, next)
	}
	return f, true
}
