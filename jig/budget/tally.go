package budget

import "math"

// share is the part of all seatings that the simulated figure covers.
const share = 0.95

// rank returns the place, from 0, of the figure among n sorted trials: the
// least that at least 95 % of them do not exceed.
func rank(n int) int {
	// Whole numbers: 0.95 n is not exact in binary.
	return (95*n+99)/100 - 1
}

// bracket is a range that very likely holds the figure, from a pilot run.
type bracket struct{ lo, hi float64 }

// everything holds every figure: magnitudes are zero or more.
var everything = bracket{math.Inf(-1), math.Inf(1)}

// pilotSigmas is how far the bracket reaches on either side of the pilot's own
// figure, in standard deviations of its rank: a miss has odds of 1e-9 and costs
// a second run, nothing else.
const pilotSigmas = 6

// bracketOf returns the bracket from a pilot run's values, which it reorders.
func bracketOf(pilot []float64) bracket {
	n := len(pilot)
	spread := pilotSigmas * math.Sqrt(float64(n)*share*(1-share))
	b := everything
	if k := int(float64(rank(n)) - spread); k >= 0 {
		b.lo = kth(pilot, k)
	}
	if k := int(math.Ceil(float64(rank(n)) + spread)); k < n {
		b.hi = kth(pilot, k)
	}
	return b
}

// tally counts values against a bracket and keeps only those inside it: a few
// in a hundred. The ends are counted apart, since errors of fixed size pile up
// there.
type tally struct {
	bracket
	below, atLo, atHi int
	inside            []float64
}

func (t *tally) add(xs []float64) {
	lo, hi := t.lo, t.hi
	for _, x := range xs {
		if x < lo {
			t.below++ // nearly always
			continue
		}
		switch {
		case x == lo:
			t.atLo++
		case x < hi:
			t.inside = append(t.inside, x)
		case x == hi:
			t.atHi++
		}
	}
}

// merge adds the counts of o, whose bracket is the same.
func (t *tally) merge(o *tally) {
	t.below += o.below
	t.atLo += o.atLo
	t.atHi += o.atHi
	t.inside = append(t.inside, o.inside...)
}

// figure returns the value of the given rank; false when it is outside the
// bracket.
func (t *tally) figure(rank int) (float64, bool) {
	k := rank - t.below
	switch {
	case k < 0:
		return 0, false
	case k < t.atLo:
		return t.lo, true
	case k < t.atLo+len(t.inside):
		return kth(t.inside, k-t.atLo), true
	case k < t.atLo+len(t.inside)+t.atHi:
		return t.hi, true
	}
	return 0, false
}
