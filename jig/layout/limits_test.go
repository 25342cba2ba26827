package layout

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"
)

// TestLimitsByTrial makes the room that Limits speaks of and holds the pattern that comes
// of it against the figure.
func TestLimitsByTrial(t *testing.T) {
	t.Parallel()
	// Limits walks from the pair that stands; the search starts anew, and may lose 2 %
	// of the best either time.
	const agree = 0.04
	tried := map[string]int{}
	largest := 0.0
	for seed := range worlds(22) {
		w := randomWorld(rand.New(rand.NewPCG(seed, 7)))
		w.ElsewhereMM = nil // it is the pins' part that is told
		now := w.Place()
		if now.Pins == nil || now.PairReplaced {
			continue // without a pair, or the other pins decide, not the room of the pair
		}
		limits := w.Limits(now.Pins)
		if !slices.IsSortedFunc(limits, func(a, b Limit) int { return -cmp.Compare(a.GainMM, b.GainMM) }) {
			t.Errorf("world %d: the most helpful is not first", seed)
		}
		for _, l := range limits {
			var off []int
			for i, c := range w.Region.Constraints {
				if slices.ContainsFunc(l.Constraints, func(o Constraint) bool { return o.ID == c.ID }) {
					off = append(off, i)
				}
			}
			if len(off) > len(l.Constraints) {
				continue // of several keep-outs only one is meant
			}
			more := w.Spec
			more.Region = w.Region.relaxed(off)
			after := more.Place()
			if after.Pins == nil || after.PairReplaced {
				continue
			}
			tried[l.Constraints[0].ID]++
			d := after.ObjectiveMM/l.WouldMM - 1
			if w.Flip == NoFlip {
				d = math.Abs(d) // turned over, the coarse grid may miss the flip's axis: less is promised than comes
			}
			if largest = max(largest, d); d > agree {
				t.Errorf("world %d: %s, %.4f mm told, %.4f mm came", seed, l.Constraints[0].ID, l.WouldMM, after.ObjectiveMM)
			}
		}
	}
	if len(tried) < 3 {
		t.Errorf("only %v were tried", tried)
	}
	t.Logf("%v, largest difference %.3f", tried, largest)
}

// TestMovesOfTurnedPairs: a pair that is turned over keeps to its axis, or stays each
// other's image, also on a board whose length is no round number.
func TestMovesOfTurnedPairs(t *testing.T) {
	for _, c := range []struct {
		flip Flip
		a, b geom.Vec
		want int
	}{
		{NoFlip, geom.Vec{X: 1}, geom.Vec{X: 9}, 25},
		{FlipLong, geom.Vec{X: -20.1}, geom.Vec{X: 490.1}, 9},
		{FlipLong, geom.Vec{X: 50, Y: 40.1}, geom.Vec{X: 50, Y: -40.1}, 5},
		{FlipShort, geom.Vec{X: 478.3 / 2, Y: 40}, geom.Vec{X: 478.3 / 2, Y: -40}, 9},
		{FlipShort, geom.Vec{X: -20, Y: 40}, geom.Vec{X: 478.3 + 20, Y: 40}, 5},
	} {
		s := Spec{Flip: c.flip, LengthMM: 478.3}
		got := s.moves(c.a, c.b)(0.7)
		if len(got) != c.want {
			t.Errorf("flip %s, %v and %v: %d moves, want %d", c.flip, c.a, c.b, len(got), c.want)
		}
	}
}
