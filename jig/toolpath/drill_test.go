package toolpath

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
)

// TestDrillPecks writes out one hole by hand: 6 mm deep, point of 1 mm, pecks of
// 3.5 mm.
func TestDrillPecks(t *testing.T) {
	c := geom.Vec{X: 10, Y: 20}
	cut, err := Drill(Hole{ID: "P1", At: c, DiameterMM: 5.8, FloorZ: -6}, Tool{DiameterMM: 5.8, TipMM: 1}, Settings{PeckMM: 3.5})
	if err != nil {
		t.Fatal(err)
	}
	want := []Move{
		{Kind: Rapid, To: at(c, 5)},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -3.5), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -3), FeedMMmin: 600}, // the open hole, half a millimetre short
		{Kind: Feed, To: at(c, -7), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 5)},
	}
	if d := cmp.Diff(want, cut.Moves); d != "" {
		t.Error(d)
	}
	if cut.Turns != 2 || cut.PerTurnMM != 3.5 {
		t.Errorf("%d pecks of %g", cut.Turns, cut.PerTurnMM)
	}
}

// TestDrillLowStock: where the hole lies below the stock's highest place, the way
// down to it is a feed, and the rapids stay above that place.
func TestDrillLowStock(t *testing.T) {
	cut, err := Drill(Hole{DiameterMM: 3, TopZ: -4, FloorZ: -8}, Tool{DiameterMM: 3}, Settings{PeckMM: 2})
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range cut.Moves {
		if m.Kind == Rapid && m.To.Z < 1 {
			t.Errorf("move %d: rapid to %v", i, m.To)
		}
	}
	if got := cut.Moves[2]; got.To.Z != -3 || got.Kind != Feed {
		t.Errorf("the feed ends at %v, want 1 above the hole", got)
	}
}

func TestDrillRefuses(t *testing.T) {
	var te *ToolError
	if _, err := Drill(Hole{ID: "P1", DiameterMM: 6, FloorZ: -5}, Tool{DiameterMM: 5.8}, Settings{}); !errors.As(err, &te) || te.Place != "P1" {
		t.Errorf("another diameter: %v", err)
	}
	var ie *InputError
	if _, err := Drill(Hole{DiameterMM: 6, FloorZ: math.NaN()}, Tool{DiameterMM: 6}, Settings{}); !errors.As(err, &ie) {
		t.Errorf("no depth: %v", err)
	}
}
