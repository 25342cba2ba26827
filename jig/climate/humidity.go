package climate

import "math"

// humidityStep is how near, in percent RH, the search comes: no hygrometer in a
// workshop shows a tenth.
const humidityStep = 1e-6

// HumidityFor is the relative humidity, percent, in which a board of this wood,
// made in one air and now at tempNowC, is across the grain by strain (relative,
// positive grows) wider than when it was made: at which humidity a swollen board
// goes in again. The width only grows with humidity, so halving the range finds it.
// It is not ok when no humidity from 0 to 98 % gives that strain, when a climate is
// out of range, or when the wood does not move.
func HumidityFor(w Wood, grain Grain, made Air, tempNowC, strain float64) (rhPct float64, ok bool) {
	across := func(rh float64) float64 {
		c, err := w.Strain(grain, made, Air{tempNowC, rh})
		if err != nil {
			return math.NaN()
		}
		return c.Across
	}
	lo, hi := moistureSpan.leastRH, moistureSpan.mostRH
	if !(across(lo) <= strain && strain <= across(hi) && across(lo) < across(hi)) {
		return 0, false
	}
	for hi-lo > humidityStep {
		if mid := (lo + hi) / 2; across(mid) < strain {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, true
}
