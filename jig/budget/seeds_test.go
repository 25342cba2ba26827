package budget

import (
	"math"
	"os"
	"strconv"
	"testing"
)

// TestSeeds: no seed is off by more than 0.35 % of any 95 % figure of the examples, against the
// mean of many seeds. A free board whose error is nearly all one uniform growth has little
// normal to smooth by: 0.8 %. RAPID_CHECKS over 100 asks for a hundred seeds.
func TestSeeds(t *testing.T) {
	seeds := 12
	if n, _ := strconv.Atoi(os.Getenv("RAPID_CHECKS")); n > 100 {
		seeds = 100
	}
	for _, e := range examples(t) {
		t.Run(e.Job, func(t *testing.T) {
			s := e.spec(t)
			s.Likely = true
			limit := 0.0035
			if e.Job == "long-unpushed" {
				limit = 0.008
			}
			var sums [][3]float64
			var all [][]FeatureBudget
			for s.Seed = 1; s.Seed <= uint64(seeds); s.Seed++ {
				all = append(all, compute(t, s).Features)
				for i, f := range all[len(all)-1] {
					if len(sums) == i {
						sums = append(sums, [3]float64{})
					}
					for q, x := range figures(f) {
						sums[i][q] += x
					}
				}
			}
			most := 0.0
			for n, fs := range all {
				for i, f := range fs {
					for q, x := range figures(f) {
						off := math.Abs(x*float64(seeds)/sums[i][q] - 1)
						most = math.Max(most, off)
						if off > limit {
							t.Errorf("seed %d, %s, figure %d: off by %.2f %%", n+1, f.Name, q, 100*off)
						}
					}
				}
			}
			t.Logf("within %.2f %%", 100*most)
		})
	}
}
