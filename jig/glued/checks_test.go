package glued

import (
	"fmt"
	"math"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/rail"
)

// What guides a tapered board stands apart by the board's width and both gaps, wherever it is measured:
// across a taper each gap counts by its slope.
func TestAcross(t *testing.T) {
	const length, start, far, gap = 478.0, 42.0, 55.0, 0.15
	slant := math.Hypot(1, (far-start)/2/length)
	landed := plate.Landed{Board: geom.Taper(length, start, far), Gaps: [4]float64{gap, gap, gap, gap}, DeepMM: 4}
	rails := rail.Lay(rail.Spec{LengthMM: length, WidthStartMM: start, WidthEndMM: far, GapMM: gap, EndInsetMM: 24})
	for _, c := range []struct {
		name  string
		walls []geom.Edge
		least float64 // between the first and the last place
	}{
		{"lands", landed.Window().Lands, 300},
		{"rails", Inner(rails.Rails), 410},
	} {
		all := Across(c.name, c.walls)
		if len(all) != 2 {
			t.Fatalf("%s: %v", c.name, all)
		}
		var at [2]float64
		for i, a := range all {
			if _, err := fmt.Sscanf(a.What, "between "+c.name+" at u %f", &at[i]); err != nil {
				t.Fatal(a.What, err)
			}
			if want := start + (far-start)*at[i]/length + 2*gap*slant; math.Abs(a.MM-want) > 1e-9 {
				t.Errorf("%s: %.4f, want %.4f", a.What, a.MM, want)
			}
		}
		if at[1]-at[0] < c.least {
			t.Errorf("%s: at %v", c.name, at)
		}
	}
	pushed := landed
	pushed.Free = []plate.Wall{plate.Right, plate.Far}
	if all := Across("lands", pushed.Window().Lands); all != nil {
		t.Errorf("lands on one side alone: %v", all)
	}
}
