package measure

import "math"

// Outlier is the reading that does not belong.
type Outlier struct {
	Line        int // of the readings file
	On          Edge
	StationMM   float64
	OffMM       float64 // from the line of the others, to the left positive
	Studentised float64 // externally studentised residual
	Limit       float64 // that no reading of a good set passes, with 95 % probability
	Without     Judgement
}

// outlierRisk is the probability that a set of good readings has one of them
// named. It is shared out over the readings (Bonferroni), which is slightly on the
// safe side.
const outlierRisk = 0.05

// outlying is the sample with the largest studentised residual, when it passes
// the limit.
type outlying struct {
	sample     int
	off        float64 // from the fit through the others
	t, limit   float64
	rest       float64   // sum of squares of the others
	studentise []float64 // by sample
}

// leastOwnShare is the share of a point's error that must show in its residual
// for the point to be judged: a point that the fit follows altogether, such as
// the only one on its line, is never wrong. Rounding leaves 1e-15.
const leastOwnShare = 1e-9

// studentised returns the externally studentised residuals of a fit and the limit
// for the largest of them; ok is false when there are too few readings.
//
//	t_i = e_i/(s_(i) sqrt(1 - h_i)),  s_(i)^2 = (SSE - e_i^2/(1 - h_i))/(df - 1)
//	limit: Student's t with df - 1, at 1 - risk/(2 n)
//
// s_(i) is not taken below what rounding to the last digit makes: readings that
// agree to the digit would otherwise condemn the first one that differs by one.
// (Cook and Weisberg, Residuals and Influence in Regression, 1982, section 2.2;
// recalled, not seen.)
func (p Precision) studentised(f *sharedFit) (t []float64, limit float64, ok bool) {
	if f.df < 2 { // one figure left over does not say which reading it belongs to
		return nil, 0, false
	}
	n := 0
	for _, h := range f.leverage {
		if 1-h > leastOwnShare {
			n++
		}
	}
	if n == 0 {
		return nil, 0, false
	}
	at, ok := p.spread(f.sse, f.df-1)
	if !ok {
		return nil, 0, false
	}
	t = make([]float64, len(f.residual))
	for i, e := range f.residual {
		own := 1 - f.leverage[i]
		if own <= leastOwnShare {
			continue
		}
		rest, _ := p.spread(math.Max(0, f.sse-e*e/own), f.df-1)
		t[i] = e / math.Sqrt(own) / rest.sd
	}
	return t, at.limit(1 - outlierRisk/float64(n)), true
}

// worst finds the sample that does not belong.
func (p Precision) worst(f *sharedFit) (o outlying, ok bool) {
	o.studentise, o.limit, ok = p.studentised(f)
	if !ok {
		return o, false
	}
	for i, t := range o.studentise {
		if math.Abs(t) > math.Abs(o.t) {
			o.sample, o.t = i, t
		}
	}
	e, own := f.residual[o.sample], 1-f.leverage[o.sample]
	if own <= leastOwnShare {
		return o, false
	}
	o.off, o.rest = e/own, f.sse-e*e/own
	return o, math.Abs(o.t) > o.limit
}
