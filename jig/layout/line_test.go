package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

// TestPairsKeepToTheDatumLine: of any world, a pair stands off the datum line only where the
// best pair on the line, of all there are, errs by more than lineCost more.
func TestPairsKeepToTheDatumLine(t *testing.T) {
	t.Parallel()
	on, off := 0, 0
	for seed := range worlds(15) {
		w := randomWorld(rand.New(rand.NewPCG(seed, 17)))
		w.Flip = NoFlip
		found := w.Place()
		if found.Pins == nil || found.PairReplaced {
			continue
		}
		a, b := found.Pins[0].At, found.Pins[1].At
		if a.Y == 0 && b.Y == 0 {
			on++
			continue
		}
		off++
		line := w.places(w.Region.StepMM, 1e9, func(i, _ int) geom.Vec { return w.Region.point(i, 0) })
		best := math.Inf(1)
		for _, p := range line {
			for _, q := range line {
				if q.clearance >= w.TravelMM/2+chordMM && p.at.Dist(q.at) >= w.distance(Pin{Role: Slot}, Pin{}) {
					best = min(best, movedError(p.at, q.at, w.Causes, w.Features, w.ElsewhereMM))
				}
			}
		}
		if got := movedError(a, b, w.Causes, w.Features, w.ElsewhereMM); best <= got*(1+lineCost)*(1-searchGap) {
			t.Errorf("world %d: %v and %v off the line, %.5f mm; on it %.5f mm", seed, a, b, got, best)
		}
	}
	if on == 0 || off == 0 {
		t.Errorf("%d pairs on the datum line, %d off it", on, off)
	}
	t.Logf("%d pairs on the datum line, %d off it", on, off)
}

// TestGrowthDrawsTheRoundPin: the round pin of a plate that grows stands beside what its growth
// moves, the middle of a free board or the end where a pushed one is held, and at the start
// end where nothing grows.
func TestGrowthDrawsTheRoundPin(t *testing.T) {
	for _, c := range []struct {
		name     string
		growth   float64
		held     geom.Vec
		from, to float64 // stations of the round pin, as shares of the length
	}{
		{"nothing grows", 0, geom.Vec{X: 200}, -0.2, 0},
		{"held in the middle", 1e-3, geom.Vec{X: 200}, 0.3, 0.7},
		{"held at the start end", 1e-3, geom.Vec{Y: 20}, -0.2, 0.1},
		{"held at the far end", 1e-3, geom.Vec{X: 400, Y: 20}, 0.9, 1.2},
	} {
		w := board(400, 40, 50, 60, 50)
		w.Causes.GrowthAlong, w.Causes.GrowthAcross, w.Causes.Held = c.growth, c.growth, c.held
		w.Causes.SlotMM = w.Causes.RoundMM
		if u := w.Place().Pins[0].At.X / 400; u < c.from || u > c.to {
			t.Errorf("%s: the round pin stands at %.2f of the length", c.name, u)
		}
	}
}
