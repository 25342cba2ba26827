package budget

// TieMM is the difference in mm below which two errors are alike: far below anything
// that is measured, and above what rounding does, so that every machine names the
// same feature.
const TieMM = 1e-6

// Worst returns the position of the feature with the largest 95 % error, the
// first of several alike; -1 without features.
func (b Budget) Worst() int {
	worst := -1
	for i, f := range b.Features {
		if worst < 0 || f.P95MM > b.Features[worst].P95MM+TieMM {
			worst = i
		}
	}
	return worst
}

// Shares returns what part of the mean square error each term makes up, in the
// order of Terms; all zero when there is no error. The parts add up to 1:
//
//	E r^2 = sum of sd^2 + |B|^2,  B = sum of bias
//	part  = (sd^2 + bias . B) / E r^2
//
// Independent spreads add as squares, biases as vectors. Hence a bias counts by
// what it adds to the whole: one that takes off from the others, such as a board
// that shrinks while its template swells, has a negative part, and removing it
// would make things worse.
func (f FeatureBudget) Shares() []float64 {
	var u, v, whole float64
	for _, t := range f.Terms {
		u += t.AlongBiasMM
		v += t.AcrossBiasMM
	}
	shares := make([]float64, len(f.Terms))
	for i, t := range f.Terms {
		whole += square(t.SDMM)
		shares[i] = square(t.SDMM) + t.AlongBiasMM*u + t.AcrossBiasMM*v
	}
	whole += u*u + v*v
	for i := range shares {
		if whole > 0 {
			shares[i] /= whole
		} else {
			shares[i] = 0
		}
	}
	return shares
}

// tieShare is the like of TieMM for shares.
const tieShare = 1e-9

// Largest returns the term with the largest share and that share; false when
// there is no error at all. Its Remedy says how to make the figure smaller.
func (f FeatureBudget) Largest() (Term, float64, bool) {
	best := -1
	shares := f.Shares()
	for i, s := range shares {
		if s > 0 && (best < 0 || s > shares[best]+tieShare) {
			best = i
		}
	}
	if best < 0 {
		return Term{}, 0, false
	}
	return f.Terms[best], shares[best], true
}
