package measure

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// What all readings share shows in no scatter: the board's bow, of which readings over a part of
// the length tell little, and the error of the width that one edge is taken from.

const (
	// boundSteps refine the sd of a reading that the bow's bound is weighed against.
	boundSteps = 3
	// leastBoundDF is the number of degrees of freedom below which the sd is that about the straight
	// line.
	leastBoundDF = 3
	// bowShare is what the bow's bound counts for in an interval, as a standard deviation in parts
	// of the bound. Where w of the bow is told by the readings, 1 - w of it stays in the figures. A
	// bow that always reaches the bound asks for more than 1/1.96, bows that are spread normally and
	// reach it in one board of twenty for no more than that; with 1.15 both are covered at 93 to 97 %
	// as long as what stays is no larger than the scatter (derived). Where it is, as with two stations,
	// the wider of the two is held.
	bowShare = 1.15
)

// bound is lay with the bow bound: it is taken as 0, give or take the bound, together with
// what the readings tell of it. Without a bound, or anything to weigh it against, the terms
// are laid alone. The uncertainty is nil as for Precision.uncertainty.
func (g *gathered) bound(l laying, withBow bool) (f datumFit, b *Uncertainty, ok bool) {
	if f, ok = g.lay(l); !ok {
		return f, nil, false
	}
	b = g.spec.uncertainty(f.sse, f.df)
	if !withBow || b == nil || g.spec.BowMM == 0 {
		return f, b, true
	}
	l.terms = append(l.terms[:len(l.terms):len(l.terms)], bowTerm)
	for range boundSteps {
		l.bowWeight = b.ReadingSDMM / g.spec.BowMM
		next, ok := g.lay(l)
		if !ok {
			break
		}
		if f = next; f.df < leastBoundDF {
			break // a bow would pass for all of the scatter
		}
		b = g.spec.uncertainty(f.sse, f.df)
	}
	return f, b, true
}

// wider is what the unknowns are off by for a width 1 mm more than the job's, at the start
// and at the far end; nil where that does not show, the taper being fitted or the datum line alone
// read.
func (g *gathered) wider(f *datumFit) (out [2][]float64) {
	left, right := g.sides()
	if g.spec.WidthErrorMM == 0 || !left && !right || f.index(taperTerm) >= 0 {
		return out
	}
	for end := range out {
		shows := func(i int) float64 {
			part := g.x[i] * g.runs[g.run[i]].cos / g.spec.LengthMM
			if end == 0 {
				part = 1 - part
			}
			return g.runs[g.run[i]].out / 2 * part
		}
		y := make([]float64, 0, len(f.residual))
		for _, s := range g.whitened(f.laying) {
			y = append(y, s.scale*shows(s.at)-s.phi*s.scale*shows(s.before))
		}
		out[end] = f.solve(y)
	}
	return out
}

// solve returns the unknowns of the fit for other observations; rows beyond them are 0.
func (f *fit) solve(y []float64) []float64 {
	y = append(y, make([]float64, len(f.residual)-len(y))...)
	x := mat.NewVecDense(len(f.x), nil)
	x.MulVec(f.q.T(), mat.NewVecDense(len(y), y))
	v := x.RawVector()
	blas64.Trsv(blas.NoTrans, f.r, v)
	return v.Data
}

// logDet is the logarithm of the determinant of the rows' matrix with itself.
func (f *fit) logDet() (v float64) {
	for j := range f.x {
		v += 2 * math.Log(math.Abs(f.r.Data[j*f.r.Stride+j]))
	}
	return v
}

// spread returns a weighted sum of the unknowns and the half width of its interval: that of the
// scatter and those of what is shared, as the root of their squares. Where the scatter is known by
// few readings that keeps its long tails, which an effective number of degrees of freedom
// (Welch-Satterthwaite) does not: three readings of an edge were covered at 69 %.
func (g *gathered) spread(f *weighed, w []float64) (v, half float64) {
	z := append([]float64(nil), w...)
	blas64.Trsv(blas.Trans, f.r, blas64.Vector{N: len(z), Data: z, Inc: 1})
	v = floats.Dot(w, f.x)
	scatter, shared := floats.Dot(z, z), 0.0
	s := f.uncertainty.ReadingSDMM
	if f.bowWeight > 0 {
		own := floats.Dot(f.q.RawRowView(len(f.residual)-1), z)
		scatter -= own * own
		shared = math.Pow(bowShare*own*s, 2)
	}
	for _, d := range f.wider {
		if d != nil {
			shared += math.Pow(floats.Dot(w, d)*g.spec.WidthErrorMM/normalFactor(usualConfidence), 2)
		}
	}
	c := f.uncertainty.Confidence
	return v, math.Hypot(f.uncertainty.reach(c)*math.Sqrt(math.Max(0, scatter)), normalFactor(c)*math.Sqrt(shared))
}

// estimate returns a weighted sum of the unknowns and the half width of its interval; nil when
// nothing is left to judge it by.
func (g *gathered) estimate(b blend, w []float64) (value float64, half *float64) {
	if b[0].uncertainty == nil {
		return floats.Dot(w, b[0].x), nil
	}
	confidence := b[0].uncertainty.Confidence
	type part struct{ v, half float64 }
	var parts []part
	low, high, apart := math.Inf(1), 0.0, 0.0
	for i := range b {
		v, h := g.spread(&b[i], w)
		value += b[i].weight * v
		parts = append(parts, part{v, h})
		low, high = math.Min(low, h), math.Max(high, h)
	}
	if len(parts) == 1 {
		return value, &low
	}
	for _, p := range parts {
		apart = math.Max(apart, math.Abs(p.v-value))
	}
	high += apart
	// What lies outside falls as the interval widens.
	t := distuv.StudentsT{Sigma: 1, Nu: float64(b[0].uncertainty.DF)}
	factor := t.Quantile((1 + confidence) / 2)
	outside := func(h float64) (sum float64) {
		for i, p := range parts {
			sd := p.half / factor
			sum += b[i].weight * (t.CDF((value-h-p.v)/sd) + t.CDF((p.v-value-h)/sd))
		}
		return sum
	}
	const steps = 12 // to a four-thousandth of the bracket
	for range steps {
		if mid := (low + high) / 2; outside(mid) > 1-confidence {
			low = mid
		} else {
			high = mid
		}
	}
	return value, &high
}
