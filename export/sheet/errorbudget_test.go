package sheet

import (
	"fmt"
	"testing"

	"reseat/jig"
	"reseat/jig/budget"
)

// TestLargestSourcesShown: of more sources than the sheet has room for the smallest are left out;
// fewer stand in the design's order.
func TestLargestSourcesShown(t *testing.T) {
	for _, n := range []int{3, mostSources + 4} {
		f := budget.FeatureBudget{Name: "dot"}
		for i := range n {
			f.Terms = append(f.Terms, budget.Term{Source: fmt.Sprint(i), WorstMM: 1, SDMM: 0.01 * float64(i)})
		}
		got := terms(&jig.Design{Budget: &budget.Budget{Features: []budget.FeatureBudget{f}}}, 0)
		if first, want := got[0].source, map[bool]string{true: "0", false: fmt.Sprint(n - 1)}[n <= mostSources]; first != want {
			t.Errorf("%d sources: %s first, want %s", n, first, want)
		}
	}
}
