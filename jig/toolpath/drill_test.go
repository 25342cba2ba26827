package toolpath

import (
	"math"
	"strings"
	"testing"

	"reseat/testdata/reference"
)

// TestDrillIn: speeds by hand. A drill of 3 mm in softwood moves its edge as fast as one of
// 6.35 mm at 3000 turns: 3000 x 6.35/3 = 6350.
func TestDrillIn(t *testing.T) {
	for _, c := range []struct {
		name      string
		diameter  float64
		soft      bool
		rpm, feed float64 // feed = diameter/80 x rpm, whole mm/min down
		mark      string
	}{
		{"in the first range", 7.8, false, 1500, 146, "(web:"},
		{"in the first range, softwood", 7.8, true, 3000, 292, "(web:"},
		{"smaller", 3, true, 6350, 238, "(derived: as fast at the edge as web:"},
		{"smaller, hardwood", 4, false, 2380, 119, "(derived: as fast"}, // 1500 x 6.35/4 = 2381.25
		{"between the ranges", 10, false, 750, 93, "(derived: no faster"},
		{"in the second range", 12, true, 1500, 225, "(web:"},
		{"larger", 20, false, 590, 147, "(derived: as fast"}, // 750 x 15.875/20 = 595.3
	} {
		t.Run(c.name, func(t *testing.T) {
			got := DrillIn(c.diameter, c.soft)
			if got.RPM != c.rpm || got.FeedMMmin != c.feed || !strings.Contains(got.Says, c.mark) {
				t.Errorf("got %+v, want %g rpm, %g mm/min, %q", got, c.rpm, c.feed, c.mark)
			}
		})
	}
}

// TestDrillBands: the table's figures are those of the reference.
func TestDrillBands(t *testing.T) {
	found := 0
	for _, row := range reference.Rows(t, "machining.csv") {
		for _, b := range drillBands {
			if !strings.HasSuffix(row["quantity"], b.speeds) || !strings.HasPrefix(row["quantity"], "twist drill speed") {
				continue
			}
			found++
			want := map[string]float64{"softwood": b.soft, "hardwood": b.hard}[row["material"]]
			if got := reference.Number(t, row["value"]); math.Abs(got-want) > 0 || row["status"] != "web" {
				t.Errorf("%s in %s: %g, want %g (%s)", row["quantity"], row["material"], got, want, row["status"])
			}
		}
	}
	if found != 4 {
		t.Errorf("%d rows of the reference, want 4", found)
	}
}
