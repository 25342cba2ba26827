package toolpath

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/jig/geom"
)

// TestDrillPecks writes out one hole by hand: 6 mm deep at the full
// diameter, a point of 0.30043 x 5.8 = 1.742494 mm beyond, in three pecks.
func TestDrillPecks(t *testing.T) {
	c := geom.Vec{X: 10, Y: 20}
	cut, err := Drill(Hole{ID: "P1", At: c, DiameterMM: 5.8, FloorZ: -6}, Tool{DiameterMM: 5.8}, Settings{PeckMM: 3.5})
	if err != nil {
		t.Fatal(err)
	}
	const bottom = 7.742494
	want := []Move{
		{Kind: Rapid, To: at(c, 5)},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -bottom/3), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -bottom/3+0.5), FeedMMmin: 600}, // the open hole, half a millimetre short
		{Kind: Feed, To: at(c, -2*bottom/3), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -2*bottom/3+0.5), FeedMMmin: 600},
		{Kind: Feed, To: at(c, -bottom), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 5)},
	}
	if d := cmp.Diff(want, cut.Moves, cmpopts.EquateApprox(0, roundErr)); d != "" {
		t.Error(d)
	}
	if cut.Turns != 3 {
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
