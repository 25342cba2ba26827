package measure

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Readings along a line can err alike when they lie near each other: a planed edge is wavy, the
// machine warms up. Such scatter says less than as much that comes anew with each reading. It is
// taken as a first order autoregression by the distance of the stations.
//
//	correlation of two readings on a line = rho^(distance/usual distance)

// rhos are the correlations that are tried, 0 first.
var rhos = []float64{0, 0.2, 0.4, 0.6, 0.7, 0.8, 0.9, 0.96}

const (
	// mostCorrelation keeps readings at one place apart: they differ at least by what touching does.
	mostCorrelation = 0.98
	// leastSerialDF is the least number of degrees of freedom by which a serial correlation is looked for.
	leastSerialDF = 3
	// suspected and correlated bound twice the logarithm of how much likelier the best correlation is
	// than none. Above the first the intervals allow for it: white scatter comes to it in one set
	// of four and keeps 94 to 97 %, correlations of 0.8 are covered at 93 to 97 % with 20 readings on a line,
	// at 80 to 90 % with 8 to 12, which tell them no better: allowing for them always would cover
	// those at 94 % and white scatter at all of 99 (derived by simulation). Above the second
	// the correlation is reported: 95 % one-sided, chi-square with 1 degree of freedom.
	suspected, correlated = 0.3, 2.71
	// negligible is twice the logarithm of a likelihood that nothing comes of.
	negligible = 40
)

// sort puts the points of each run in the order of their stations.
func (g *gathered) sort() {
	g.order = make([]int, len(g.x))
	for i := range g.order {
		g.order[i] = i
	}
	slices.SortStableFunc(g.order, func(a, b int) int {
		return cmp.Or(cmp.Compare(g.run[a], g.run[b]), cmp.Compare(g.x[a], g.x[b]))
	})
	var gaps []float64
	for k, i := range g.order {
		if k > 0 && g.run[g.order[k-1]] == g.run[i] {
			gaps = append(gaps, g.x[i]-g.x[g.order[k-1]])
		}
	}
	if g.apart = 1; len(gaps) > 0 {
		slices.Sort(gaps)
		g.apart = math.Max(g.apart, gaps[len(gaps)/2])
	}
}

// sample is one of the samples made independent of the one before it on its line.
//
//	y* = scale (y - phi y before),  scale = 1/sqrt(1 - phi^2)
type sample struct {
	at, before int
	phi, scale float64
}

// whitened lists the samples: in their own order when they are independent as they are.
func (g *gathered) whitened(l laying) []sample {
	out := make([]sample, 0, len(g.x))
	if l.rho == 0 {
		for i := range g.x {
			if i != l.dropped {
				out = append(out, sample{at: i, scale: 1})
			}
		}
		return out
	}
	for _, i := range g.order {
		if i == l.dropped {
			continue
		}
		s := sample{at: i, scale: 1}
		if n := len(out); n > 0 && g.run[out[n-1].at] == g.run[i] {
			s.before = out[n-1].at
			s.phi = math.Min(math.Pow(l.rho, (g.x[i]-g.x[s.before])/g.apart), mostCorrelation)
			s.scale = 1 / math.Sqrt(1-s.phi*s.phi)
		}
		out = append(out, s)
	}
	return out
}

// blend is the fits by the correlations that the scatter may have, each with its probability.
type blend []weighed

type weighed struct {
	datumFit
	uncertainty *Uncertainty // nil when nothing is left to judge by
	weight      float64
	wider       [2][]float64 // what the unknowns are off by when the width at the start or far end is 1 mm more
}

// heaviest is the likeliest of the fits.
func (b blend) heaviest() *weighed {
	k := 0
	for i := range b {
		if b[i].weight > b[k].weight {
			k = i
		}
	}
	return &b[k]
}

// blend lays the terms by the correlations that the scatter may have; nil when they cannot be
// laid. withBow bounds the bow by what boards have, whether the readings tell it or not.
func (g *gathered) blend(l laying, withBow bool) (out blend) {
	for k, rho := range rhos {
		if g.weights[k] == 0 {
			continue
		}
		l.rho = rho
		f, b, ok := g.bound(l, withBow)
		if !ok {
			return nil
		}
		out = append(out, weighed{datumFit: f, uncertainty: b, weight: g.weights[k], wider: g.wider(&f)})
	}
	return out
}

// weigh finds what correlations the scatter about the terms may have, and returns twice the
// logarithm of how much likelier the best one is than none.
//
// The weights are the restricted likelihood times rho, where the likelihood of no correlation is
// not nearly as high as the best one's; otherwise there is none. One correlation alone, the
// likeliest, covers less: 0.85 at 20 readings with 0.8.
//
//	2 log L = -df log s^2 - log |V| - log |X' V^-1 X|
//
// Reference: Patterson and Thompson, Biometrika 58 (1971), 545 (recalled).
func (g *gathered) weigh(l laying) (likelier float64) {
	g.weights = make([]float64, len(rhos))
	g.weights[0] = 1
	like, best := make([]float64, len(rhos)), 0
	for k := range like {
		like[k] = math.Inf(-1)
	}
	for k, rho := range rhos {
		l.rho = rho
		f, ok := g.lay(l)
		if !ok || f.df < leastSerialDF {
			return 0
		}
		b := g.spec.uncertainty(f.sse, f.df)
		if k == 0 && b.ReadingSDMM <= leastSD {
			return 0 // rounding to the last digit correlates neighbours
		}
		like[k] = -float64(f.df)*2*math.Log(b.ReadingSDMM) - f.logV - f.logDet()
		if like[k] > like[best] {
			best = k
		} else if like[k] < like[best]-negligible {
			break // it falls from here on
		}
	}
	likelier = like[best] - like[0]
	if likelier <= suspected {
		return likelier
	}
	sum := 0.0
	for k, v := range like {
		g.weights[k] = rhos[k] * math.Exp((v-like[best])/2)
		sum += g.weights[k]
	}
	floats.Scale(1/sum, g.weights)
	return likelier
}

// SerialCorrelation is scatter that is alike in neighbouring readings.
type SerialCorrelation struct {
	Correlation float64 `json:"correlation"` // of readings at the usual distance
	Significant bool    `json:"significant"` // at 95 %, one-sided
}

// serialCorrelation returns what the intervals allow for; nil when nothing.
func (g *gathered) serialCorrelation(likelier float64) *SerialCorrelation {
	if g.weights[0] > 0 {
		return nil
	}
	return &SerialCorrelation{floats.Dot(rhos, g.weights), likelier > correlated}
}
