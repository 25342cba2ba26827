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

// tieShare is the like of TieMM for shares.
const tieShare = 1e-9

// share tells what part of the mean square error each term makes up, all zero when there
// is no error, and which is the largest. The parts add up to 1:
//
//	E r^2 = sum of sd^2 + |B|^2,  B = sum of bias
//	part  = (sd^2 + bias . B) / E r^2
//
// Independent spreads add as squares, biases as vectors. Hence a bias counts by
// what it adds to the whole: one that takes off from the others, such as a board
// that shrinks while its template swells, has a negative part, and removing it
// would make things worse.
func (f *FeatureBudget) share() {
	var u, v, whole float64
	for _, t := range f.Contributions {
		u += t.AlongBiasMM
		v += t.AcrossBiasMM
		whole += square(t.SDMM)
	}
	if whole += u*u + v*v; whole == 0 {
		return
	}
	for i := range f.Contributions {
		t := &f.Contributions[i]
		t.Share = (square(t.SDMM) + t.AlongBiasMM*u + t.AcrossBiasMM*v) / whole
		if t.Share > f.LargestShare+tieShare {
			f.Largest, f.LargestShare, f.Remedy = t.Source, t.Share, t.Remedy
		}
	}
}
