package estimate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"

	"reseat/jig/coupon"
)

// dense works out the readings' part of a belief by a general library, from the covariance of
// the readings themselves: no precision, no envelope, no order of unknowns.
func dense(y *system, at spreads) (log float64, mean *mat.VecDense, cov *mat.SymDense) {
	n, k := len(y.seen), len(y.first)
	a, forms := mat.NewDense(n, k, nil), mat.NewDense(len(y.forms), k, nil)
	variance, center := make([]float64, k), mat.NewVecDense(k, nil)
	for i := range k {
		if i < len(y.kinds) {
			variance[i] = math.Pow(y.own(y.kinds[i], at), 2)
		} else {
			p := y.prior[i-len(y.kinds)]
			variance[i] = p.sd * p.sd
			center.SetVec(i, p.mean)
		}
	}
	seen := mat.NewVecDense(n, nil)
	for i, terms := range y.over {
		seen.SetVec(i, y.seen[i].y)
		for _, t := range terms {
			a.Set(i, t.at, a.At(i, t.at)+t.by)
		}
	}
	base := mat.NewVecDense(len(y.forms), nil)
	for i, f := range y.forms {
		for _, t := range f {
			forms.Set(i, t.at, forms.At(i, t.at)+t.by)
		}
		if i < len(y.steps) {
			base.SetVec(i, y.steps[i].at)
		}
	}
	var expected, ap, v mat.Dense
	expected.Mul(a, center)
	ap.Mul(a, mat.NewDiagDense(k, variance))
	v.Mul(&ap, a.T())
	sigma := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sigma.SetSym(i, j, v.At(i, j))
		}
		sigma.SetSym(i, i, v.At(i, i)+math.Exp(2*at[2]))
	}
	law, ok := distmv.NewNormal(mat.Col(nil, 0, &expected), sigma, nil)
	if !ok {
		panic("covariance of readings")
	}
	log = law.LogProb(seen.RawVector().Data) + float64(n)/2*math.Log(2*math.Pi)
	var chol mat.Cholesky
	chol.Factorize(sigma)
	var left, pull, apf, solved, fmean, fcov, part mat.Dense
	left.Sub(seen, &expected)
	apf.Mul(&ap, forms.T()) // readings by forms
	if chol.SolveTo(&pull, &left) != nil || chol.SolveTo(&solved, &apf) != nil {
		panic("solve")
	}
	fmean.Mul(apf.T(), &pull)
	part.Mul(forms, center)
	fmean.Add(&fmean, &part)
	fmean.Add(&fmean, base)
	var fp, before, known mat.Dense
	fp.Mul(forms, mat.NewDiagDense(k, variance))
	before.Mul(&fp, forms.T())
	known.Mul(apf.T(), &solved)
	fcov.Sub(&before, &known)
	cov = mat.NewSymDense(len(y.forms), nil)
	for i := range len(y.forms) {
		for j := i; j < len(y.forms); j++ {
			cov.SetSym(i, j, fcov.At(i, j))
		}
	}
	return log, mat.NewVecDense(len(y.forms), mat.Col(nil, 0, &fmean)), cov
}

var oracleSpreads = []spreads{
	{math.Log(0.03), math.Log(0.03), math.Log(0.014)}, {math.Log(0.01), math.Log(0.1), math.Log(0.02)},
}

// The readings of a whole form: generalised least squares of a general library.
func TestReadingsAgainstDense(t *testing.T) {
	rows, o := filled(t, draw(3, "laser", manner{}), 24)
	m := newModel(rows, o)
	m.answers = nil
	for _, at := range oracleSpreads {
		y := m.assemble(setting{sign: 1, caught: true, sized: true, oval: true, about: 0.1}, nil)
		log, mean, cov := dense(y, at)
		odds, _, _ := y.steps[0].step(mean.AtVec(0), cov.At(0, 0)) // the taper's sign
		odds -= roundOdds                                          // that holes are oval
		for i, p := range spreadPriors {
			odds -= 0.5 * math.Pow((at[i]-p.mean)/p.sd, 2)
		}
		if b := y.believe(at); math.Abs(b.log-log-odds) > 1e-6 {
			t.Errorf("evidence %v, want %v", b.log, log+odds)
		}
		gotMean, gotCov := y.project(y.believe(at), y.forms, y.base)
		for i := range gotMean {
			if math.Abs(gotMean[i]-mean.AtVec(i)) > 1e-8 {
				t.Errorf("mean of form %d is %v, want %v", i, gotMean[i], mean.AtVec(i))
			}
			for j := range gotMean {
				if math.Abs(gotCov[i][j]-cov.At(i, j)) > 1e-9 {
					t.Errorf("covariance of forms %d and %d is %v, want %v", i, j, gotCov[i][j], cov.At(i, j))
				}
			}
		}
	}
}

// The answers: their odds and what they say of the pin's size, by weighing draws.
func TestAnswersAgainstDraws(t *testing.T) {
	rows, o := filled(t, draw(3, "laser", manner{}), 24)
	tried := 0
	for i := range rows {
		if rows[i].Kind == coupon.Hole && rows[i].Face == "" && tried < 8 { // known by their answers alone
			rows[i].Measured = nil
			tried++
		}
	}
	m := newModel(rows, o)
	for _, at := range oracleSpreads[:1] {
		y := m.assemble(setting{sign: 1, sized: true, about: 0.1}, nil)
		before, mean, cov := dense(y, at)
		law, ok := distmv.NewNormal(mean.RawVector().Data, ridge(cov), rand.NewPCG(5, 6))
		if !ok {
			t.Fatal("covariance of forms")
		}
		const draws = 200_000
		var sum, first, second float64
		x := make([]float64, len(y.forms))
		pin := len(y.steps) + ofPin
		for range draws {
			law.Rand(x)
			w := 1.0
			for i, s := range y.steps {
				w *= 0.5 * math.Erfc(-s.toward*x[i]/s.width/math.Sqrt2)
			}
			sum, first, second = sum+w, first+w*x[pin], second+w*x[pin]*x[pin]
		}
		b := y.believe(at)
		for i, p := range spreadPriors {
			before -= 0.5 * math.Pow((at[i]-p.mean)/p.sd, 2)
		}
		wantMean := first / sum
		wantSD := math.Sqrt(second/sum - wantMean*wantMean)
		if got, want := b.log-before, math.Log(sum/draws); math.Abs(got-want) > 0.05 {
			t.Errorf("odds of the answers: exp(%.3f), by draws exp(%.3f)", got, want)
		}
		if got := b.mean[pin]; math.Abs(got-wantMean) > 0.1*wantSD {
			t.Errorf("pin size %.5f, by draws %.5f", got, wantMean)
		}
		if got := math.Sqrt(b.cov[pin][pin]); math.Abs(got/wantSD-1) > 0.05 {
			t.Errorf("its standard deviation %.5f, by draws %.5f", got, wantSD)
		}
	}
}

// ridge makes a covariance that is singular but for rounding definite.
func ridge(c *mat.SymDense) *mat.SymDense {
	for i := range c.SymmetricDim() {
		c.SetSym(i, i, c.At(i, i)+1e-12)
	}
	return c
}

// Silicon resistivity, five instruments with five readings each: SiRstv of the NIST
// Statistical Reference Datasets (recalled, and so held against its certified sums of
// squares). The restricted likelihood of a balanced one-way layout has a closed form (Searle,
// Casella, McCulloch, Variance Components, 1992, chapter 3):
//
//	-1/2 ((a-1) ln L + SSA/L + a (n-1) ln S + SSE/S), L = S + n A
//
// for variances S within and A between; features are the instruments here.
func TestVarianceComponents(t *testing.T) {
	data := [][]float64{
		{196.3052, 196.1240, 196.1890, 196.2569, 196.3403}, {196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
		{196.1303, 196.2005, 196.2889, 196.0343, 196.1811}, {196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
		{196.2119, 196.1051, 196.1850, 196.0052, 196.2090},
	}
	const between, within = 5.11462616000000e-02, 2.16636560000000e-01
	var rows []coupon.Row
	var total, ssa, sse float64
	for i, d := range data {
		for _, v := range d {
			total += v / 25
			rows = append(rows, coupon.Row{ID: string(rune('A' + i)), Kind: coupon.Slot, Axis: "x", DrawnMM: 196, Measured: &v})
		}
	}
	for _, d := range data {
		mean := 0.0
		for _, v := range d {
			mean += v / 5
		}
		ssa += 5 * (mean - total) * (mean - total)
		for _, v := range d {
			sse += (v - mean) * (v - mean)
		}
	}
	if math.Abs(ssa-between) > 1e-12 || math.Abs(sse-within) > 1e-12 {
		t.Fatalf("not the data: between %v, within %v", ssa, sse)
	}
	m := newModel(rows, Options{})
	for i := range m.prior { // nothing is known of the mean, and nothing else differs
		m.prior[i].sd = 1e-9
	}
	m.prior[straight].sd = 1e3
	y := m.assemble(setting{sign: 1}, nil)
	closed := func(at spreads) float64 {
		s := math.Exp(2 * at[2])
		l := s + 5*math.Exp(2*at[0])
		return -0.5 * (4*math.Log(l) + ssa/l + 20*math.Log(s) + sse/s)
	}
	believed := func(at spreads) float64 {
		log := y.believe(at).log
		for i, p := range spreadPriors {
			log += 0.5 * math.Pow((at[i]-p.mean)/p.sd, 2)
		}
		return log
	}
	from := spreads{math.Log(0.02), 0, math.Log(0.1)}
	for _, at := range []spreads{
		{math.Log(0.001), 0, math.Log(0.1)}, {math.Log(0.2), 0, math.Log(0.05)}, {math.Log(0.05), 0, math.Log(0.3)},
	} {
		got, want := believed(at)-believed(from), closed(at)-closed(from)
		if math.Abs(got-want) > 1e-4 {
			t.Errorf("%v: likelihood higher by %v, closed form by %v", at, got, want)
		}
	}
}
