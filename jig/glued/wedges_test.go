package glued

import (
	"testing"

	"reseat/jig/plate"
	"reseat/jig/wedge"
)

// TestDrawnWedgesHold holds the slope that is drawn against the friction of every sheet that
// wedges are cut from: a pair must hold with one face waxed by mistake.
func TestDrawnWedgesHold(t *testing.T) {
	for _, sheet := range []string{"plywood", "mdf", "cast acrylic"} {
		f, err := wedge.Friction(sheet)
		if err != nil {
			t.Fatal(err)
		}
		if p := (wedge.Pair{Slope: plate.WedgeSlope, Friction: f}); !p.Holds() {
			t.Errorf("%s: a slope of %g slips at a friction of %g", sheet, p.Slope, f.Least)
		}
	}
}
