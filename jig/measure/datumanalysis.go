package measure

import "slices"

// analysis is what the answer rests on.
type analysis struct {
	plain  datumFit           // of all readings, each by itself
	out    *outlier           // nil when every reading belongs
	off    float64            // the outlier's distance from the fit through the others
	main   blend              // what the figures are taken from
	bow    *Bow               // board frame; nil when the stations do not show it
	taper  bool               // the taper was fitted
	serial *SerialCorrelation // nil when the scatter shows none
}

// dropped is the sample that the figures leave out, or -1.
func (a *analysis) dropped() int {
	if a.out == nil || !a.out.certain {
		return -1
	}
	return a.out.index
}

// taperPrice is the largest factor on the slope's standard error that is paid for
// fitting the taper: an edge that was read over a short piece only says too little
// about it. It depends on the stations alone, not on what was read there.
const taperPrice = 1.5

// analyse chooses the terms of the fit, and tells bow, outlier and slope apart.
func (g *gathered) analyse() (a analysis, ok bool) {
	if a.plain, ok = g.fit(-1, slopeTerm); !ok {
		return a, false
	}
	if full, ok := g.fit(-1, slopeTerm, taperTerm); ok && full.df >= leastDF {
		_, with := full.contrast(full.of(slopeTerm, 1)...)
		_, less := a.plain.contrast(a.plain.of(slopeTerm, 1)...)
		if with <= taperPrice*less {
			a.plain, a.taper = full, true
		}
	}
	straight := a.plain.terms
	bent := append(slices.Clone(straight), bowTerm)
	_, a.out = g.spec.studentised(&a.plain.fit, nil)
	// One wild point bends the line, and a bow makes a point look wild: what leaves less of
	// the scatter is believed.
	if curved, ok := g.fit(-1, bent...); ok && a.out != nil && a.out.rest >= curved.sse {
		a.plain = curved
		_, a.out = g.spec.studentised(&a.plain.fit, nil)
	}
	without := -1
	if a.out != nil {
		without = a.out.index
		if _, ok := g.fit(without, a.plain.terms...); !ok {
			a.out, without = nil, -1
		} else {
			drop, _ := a.plain.drop(without, 1) // e^2/(1 - h)
			a.off = drop / a.plain.residual[without]
		}
	}
	about := laying{dropped: without, terms: straight}
	if curved, ok := g.fit(without, bent...); ok {
		// A bow is no serial correlation.
		v, se := curved.contrast(curved.of(bowTerm, 1)...)
		if excludesZero(v, g.spec.uncertainty(curved.sse, curved.df).half(se)) {
			about.terms = bent
		}
	}
	a.serial = g.serialCorrelation(g.weigh(about))
	a.main = g.blend(laying{dropped: a.dropped(), terms: straight}, true)
	if free := g.blend(laying{dropped: without, terms: bent}, false); free != nil {
		v, half := g.estimate(free, free[0].of(bowTerm, 1))
		a.bow = &Bow{SagittaMM: v, Half: half, Significant: excludesZero(v, half)}
		if a.bow.Significant {
			if a.dropped() != without {
				free = g.blend(laying{dropped: a.dropped(), terms: bent}, false)
			}
			a.main = free
		}
	}
	return a, true
}

// excludesZero is the one rule for what is called significant.
func excludesZero(value float64, half *float64) bool {
	return half != nil && (value > *half || -value > *half)
}
