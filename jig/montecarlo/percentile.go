package montecarlo

import (
	"math"
	"slices"
)

// steps is how many counts a percentile is found by.
const steps = 4096

// Percentile returns the least of the finite xs that at least percent of a hundred of
// them do not exceed. The values are counted in equal steps from the least to the
// largest, and only those of the step that holds the answer are sorted. Values within
// 1e-300 of one another count as one.
func Percentile(xs []float64, percent int) float64 {
	least, most := math.Inf(1), math.Inf(-1)
	for _, x := range xs {
		if x < least {
			least = x
		}
		if x > most {
			most = x
		}
	}
	scale := (steps - 1) / (most - least)
	if !(most > least) || math.IsInf(scale, 1) {
		return most
	}
	var count [steps]int32
	for _, x := range xs {
		count[int((x-least)*scale)]++
	}
	rank := int32((percent*len(xs)+99)/100 - 1) // from 0; whole numbers, since 0.95 n is not exact in binary
	step := 0
	for rank >= count[step] {
		rank -= count[step]
		step++
	}
	in := make([]float64, 0, count[step])
	for _, x := range xs {
		if int((x-least)*scale) == step {
			in = append(in, x)
		}
	}
	slices.Sort(in)
	return in[rank]
}
