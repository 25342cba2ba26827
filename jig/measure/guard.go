package measure

import (
	"cmp"
	"math"
	"slices"
)

// Guard is what one wrong touch could do.
type Guard struct {
	// UnguardedMM bounds how far the answer lies off, at the confidence, if one touch is wrong by any
	// amount: it is that of the answer without it. Infinite where the others do not tell.
	UnguardedMM   float64 `json:"-"`
	UnguardedLine int     `json:"-"` // the touch that it rests on
	// Contradictory: one of the touches is wrong, and the others do not tell which.
	Contradictory bool `json:"-"`
	// Contradicted: the touches scatter by more than the stated error lets happen.
	Contradicted bool `json:"-"`
}

func (g *Guard) hold(bound float64, line int) {
	if bound > g.UnguardedMM {
		g.UnguardedMM, g.UnguardedLine = bound, line
	}
}

// standsOut is the factor by which the variance without one touch must be smaller than without any
// other, and than with all, for that touch to be named: 2 in the scatter. Common practice, no source.
const standsOut = 4.0

// standout is the touch that stands out by the sums of squares without each in turn; ok is false
// when none does. all is the sum with all of them, with df observations left over.
func (p Precision) standout(without []float64, all float64, df int) (touch int, ok bool) {
	if df < leastDF || df == leastDF && p.ErrorMM == 0 { // one observation left over says next to nothing
		return 0, false
	}
	variance := func(sse float64, df int) float64 { return math.Max(p.stated()*p.stated(), sse/float64(df)) }
	best := slices.Index(without, slices.Min(without))
	next := variance(all, df)
	for i, sse := range without {
		if i != best {
			next = math.Min(next, variance(sse, df-1))
		}
	}
	return best, !(variance(without[best], df-1)*standsOut > next) // as well where both are infinite
}

// mostTried is how many observations are left out in turn by largest residual, and as many by what
// the fit follows them: of many touches the others move nothing, and of very many these hardly do.
// Common practice, no source.
const (
	mostTried = 12
	veryMany  = 1000
	ofMany    = 2
)

// suspects are the observations that can be wrong by enough to matter: all of a few.
func (f *fit) suspects() (out []int) {
	n, tried := len(f.residual), mostTried
	if n > veryMany {
		tried = ofMany
	}
	by := func(size func(i int) float64) {
		all := make([]int, n)
		for i := range all {
			all[i] = i
		}
		slices.SortStableFunc(all, func(i, j int) int { return cmp.Compare(size(j), size(i)) })
		out = append(out, all[:min(n, tried)]...)
	}
	by(func(i int) float64 { return math.Abs(f.residual[i]) })
	if n > tried {
		by(func(i int) (h float64) {
			for k := range f.x {
				h += f.q.At(i, k) * f.q.At(i, k)
			}
			return h
		})
	}
	slices.Sort(out)
	return slices.Compact(out)
}
