package layout

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestSurveyMissesNothing holds the survey, which walks by distances, against one that
// asks every constraint at every point of the grid.
func TestSurveyMissesNothing(t *testing.T) {
	for seed := range worlds(30) {
		g := randomWorld(rand.New(rand.NewPCG(seed, 1))).Region
		if size := g.Box.Size(); size.X*size.Y > 60000 {
			continue // the plain one takes too long
		}
		var plain []place
		most, by := math.Inf(-1), -1
		lo, hi := g.numbers()
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				p := g.point(x, y)
				s, c := g.clearance(p, math.Inf(-1))
				if s > most {
					most, by = s, c
				}
				if s >= -roundingMM {
					plain = append(plain, place{p, min(s, enoughMM)})
				}
			}
		}
		if got := g.survey(enoughMM); !slices.Equal(got, plain) {
			t.Fatalf("world %d: the survey finds %d places, or others, want %d", seed, len(got), len(plain))
		}
		if best, c := g.nearest(); best.clearance != most || c != by && g.Constraints[c].ID != g.Constraints[by].ID {
			t.Fatalf("world %d: nearest place has %g by %d, want %g by %d", seed, best.clearance, c, most, by)
		}
	}
}
