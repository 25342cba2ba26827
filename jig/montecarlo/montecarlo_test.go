package montecarlo

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestAxes: along every axis each run has a part of its own, and no two of the first
// forty axes go together.
func TestAxes(t *testing.T) {
	const runs = Runs
	l := NewLattice(runs, 7)
	var axes [][]float64
	for j := range 40 {
		a := l.Axis()
		var seen [runs]bool
		var xs []float64
		for k := range runs {
			x := a.Uniform(k)
			if !(x > 0 && x < 1) || seen[int(x*runs)] {
				t.Fatalf("axis %d, run %d: %v", j, k, x)
			}
			seen[int(x*runs)] = true
			xs = append(xs, x-0.5)
		}
		axes = append(axes, xs)
	}
	for i, xs := range axes {
		for j, ys := range axes[:i] {
			var sum float64
			for k := range xs {
				sum += 12 * xs[k] * ys[k] / runs
			}
			if math.Abs(sum) > 0.02 {
				t.Errorf("axes %d and %d: correlation %.3f", j, i, sum)
			}
		}
	}
}

// TestNormalNumbers: mean, variance and fourth moment, and the 97.5 % point.
func TestNormalNumbers(t *testing.T) {
	a := NewLattice(Runs, 1).Axis()
	var xs []float64
	var mean, square, fourth float64
	for k := range Runs {
		x := a.Normal(k)
		xs = append(xs, x)
		mean, square, fourth = mean+x/Runs, square+x*x/Runs, fourth+x*x*x*x/Runs
	}
	if math.Abs(mean) > 1e-9 || math.Abs(square-1) > 1e-4 || math.Abs(fourth-3) > 5e-3 {
		t.Errorf("mean %v, variance %v, fourth moment %v", mean, square, fourth)
	}
	slices.Sort(xs)
	if x := xs[Runs*975/1000]; math.Abs(x-1.959964) > 1e-3 {
		t.Errorf("97.5 %%: %v", x)
	}
}

func TestPercentileAgainstSort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := rapid.OneOf(
			rapid.Map(rapid.IntRange(-1e6, 1e6), func(n int) float64 { return float64(n) / 1e6 }),
			rapid.SampledFrom([]float64{0, 0.5, -1, 1e6, 1e-160, 2e-160, -3e-170}),
		)
		xs := rapid.SliceOfN(one, 1, 300).Draw(t, "values")
		percent := rapid.IntRange(1, 100).Draw(t, "percent")
		sorted := slices.Sorted(slices.Values(xs))
		i := slices.IndexFunc(sorted, func(x float64) bool {
			n := 0
			for _, y := range xs {
				if y <= x {
					n++
				}
			}
			return 100*n >= percent*len(xs)
		})
		if got := Percentile(xs, percent); got != sorted[i] {
			t.Fatalf("%g, want %g", got, sorted[i])
		}
	})
}

func TestParallel(t *testing.T) {
	for _, n := range []int{0, 1, 9, 10, 11, 1000} {
		got := make([]int, n)
		Parallel(n, 10, func(from, to int) {
			for i := from; i < to; i++ {
				got[i]++
			}
		})
		if slices.ContainsFunc(got, func(x int) bool { return x != 1 }) {
			t.Errorf("%d: %v", n, got)
		}
	}
}
