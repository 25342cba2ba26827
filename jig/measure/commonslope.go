package measure

import (
	"math"
	"slices"
)

// term is a shape that the runs of a datum check share, beside the offset that
// each has of its own.
type term int

const (
	slopeTerm term = iota // x: the datum line's slope
	taperTerm             // x on the left edge, -x on the right: half of what the taper differs by
	bowTerm               // 4 x (L - x)/L^2: sagitta over the board's length L
	terms     = 3
)

// samples are the points of a datum check in the order of the readings: x along
// the line that the point was taken on, y to its left, both in millimetres.
type samples struct {
	x, y   []float64
	run    []int     // the point's run
	side   []float64 // per run: +1 left edge, -1 right edge, 0 datum line
	length float64   // of the board, mm
}

func (s *samples) column(t term, i int) float64 {
	switch x := s.x[i]; t {
	case taperTerm:
		return s.side[s.run[i]] * x
	case bowTerm:
		return 4 * x / s.length * (1 - x/s.length)
	default:
		return x
	}
}

// without returns the samples less the i-th one.
func (s *samples) without(i int) *samples {
	cut := *s
	cut.x = slices.Delete(slices.Clone(s.x), i, i+1)
	cut.y = slices.Delete(slices.Clone(s.y), i, i+1)
	cut.run = slices.Delete(slices.Clone(s.run), i, i+1)
	return &cut
}

// sharedFit is a least-squares fit of shared terms to several runs.
type sharedFit struct {
	terms    []term
	coef     [terms]float64 // by term; zero when not fitted
	offsets  []float64      // by run
	n        []float64      // points, by run
	mean     [][terms]float64
	r        [terms][terms]float64 // triangular factor, by position in terms
	residual []float64             // by sample
	leverage []float64             // by sample: share of the point's own error that the fit follows, 0..1
	sse      float64
	df       int
}

// leastOwnPart is the part of a term's column that must be left once the columns
// before it are taken out; with less the readings cannot tell them apart. Rounding
// leaves 1e-13; two stations that differ by a micrometre in a metre leave 1e-6.
const leastOwnPart = 1e-9

// fit lays the terms through the samples, each run with its own offset.
//
//	y = offset(run) + sum over terms of coef column(x)
//
// The offsets are taken out by centring each run (Frisch, Waugh and Lovell); the
// centred columns are made orthogonal one after the other (Gram and Schmidt, each
// twice), so that no normal equations are formed. With the slope alone it is the
// analysis of covariance with a common slope. ok is false when the samples cannot
// tell the terms apart or are fewer than the parameters.
func (s *samples) fit(want ...term) (f sharedFit, ok bool) {
	runs, n := len(s.side), len(s.x)
	f = sharedFit{terms: want, n: make([]float64, runs), mean: make([][terms]float64, runs), offsets: make([]float64, runs)}
	meanY := make([]float64, runs)
	used := 0
	for _, k := range s.run {
		if f.n[k]++; f.n[k] == 1 {
			used++
		}
	}
	if f.df = n - used - len(want); f.df < 0 {
		return f, false
	}
	cols := make([][]float64, len(want))
	for j := range cols {
		cols[j] = make([]float64, n)
	}
	for i, k := range s.run {
		meanY[k] += s.y[i] / f.n[k]
		for j, t := range want {
			cols[j][i] = s.column(t, i)
			f.mean[k][t] += cols[j][i] / f.n[k]
		}
	}
	rest := make([]float64, n)
	for i, k := range s.run {
		rest[i] = s.y[i] - meanY[k]
		for j, t := range want {
			cols[j][i] -= f.mean[k][t]
		}
	}
	var qy [terms]float64
	for j := range want {
		whole := norm(cols[j])
		for range 2 {
			for m := range j {
				d := dot(cols[m], cols[j])
				f.r[m][j] += d
				add(cols[j], cols[m], -d)
			}
		}
		if f.r[j][j] = norm(cols[j]); f.r[j][j] <= leastOwnPart*whole {
			return f, false
		}
		for i := range cols[j] {
			cols[j][i] /= f.r[j][j]
		}
		qy[j] = dot(cols[j], rest)
		add(rest, cols[j], -qy[j])
	}
	for j := len(want) - 1; j >= 0; j-- {
		v := qy[j]
		for m := j + 1; m < len(want); m++ {
			v -= f.r[j][m] * f.coef[want[m]]
		}
		f.coef[want[j]] = v / f.r[j][j]
	}
	for k := range f.offsets {
		f.offsets[k] = meanY[k]
		for _, t := range want {
			f.offsets[k] -= f.coef[t] * f.mean[k][t]
		}
	}
	f.residual, f.leverage = rest, make([]float64, n)
	for i, k := range s.run {
		f.sse += rest[i] * rest[i]
		f.leverage[i] = 1 / f.n[k]
		for j := range want {
			f.leverage[i] += cols[j][i] * cols[j][i]
		}
	}
	return f, true
}

// figure is a sum of offsets and coefficients.
type figure struct {
	offsets map[int]float64 // weight by run
	coef    [terms]float64  // weight by term
}

// value returns the figure and its standard error in parts of the standard
// deviation of one reading.
//
//	var = sum w^2/n + |z|^2,  R' z = weights less the runs' means
func (f *sharedFit) value(g figure) (v, se float64) {
	w := g.coef
	for k := range f.offsets { // in order: sums must not depend on the map's
		c := g.offsets[k]
		if c == 0 {
			continue
		}
		v += c * f.offsets[k]
		se += c * c / f.n[k]
		for t := range w {
			w[t] -= c * f.mean[k][t]
		}
	}
	var z [terms]float64
	for j, t := range f.terms {
		v += g.coef[t] * f.coef[t]
		z[j] = w[t]
		for m := range j {
			z[j] -= f.r[m][j] * z[m]
		}
		z[j] /= f.r[j][j]
		se += z[j] * z[j]
	}
	return v, math.Sqrt(se)
}

func dot(a, b []float64) (s float64) {
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }

func add(a, b []float64, k float64) {
	for i := range a {
		a[i] += k * b[i]
	}
}
