package job

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/testdata/reference"
)

// TestFretFromNut holds the distances against a published fret table: columns
// published_bridge_* of testdata/reference/frets_et.csv, whose head names the
// page. The table is rounded to a thousandth of its unit.
func TestFretFromNut(t *testing.T) {
	seen := 0
	for _, row := range reference.Rows(t, "frets_et.csv") {
		for head, scale := range map[string]float64{"published_bridge_25in": 25, "published_bridge_635mm": 635} {
			if row[head] == "" {
				continue
			}
			seen++
			n, bridge := int(reference.Number(t, row["fret"])), reference.Number(t, row[head])
			if got := scale - FretFromNut(scale, n); math.Abs(got-bridge) > 0.5e-3 {
				t.Errorf("scale %g, fret %d: %.4f from the bridge, the table has %.3f", scale, n, got, bridge)
			}
		}
	}
	if seen != 20 {
		t.Errorf("compared %d values, the table has 20", seen)
	}
}

func TestAllFeatures(t *testing.T) {
	// Scale 600: the octave lies at 300, fret 11 at 600 (1 - 2^(-11/12)).
	b := Board{
		Features: []Feature{{Name: "far", UMM: 400}, {Name: "near", UMM: 5}},
		Frets: &Frets{ScaleMM: 600, Count: 20, Dots: []Dot{{Fret: 12, SpreadMM: 20}, {Fret: 1}}, DotBoreMM: 6,
			DotDepthMM: 2},
	}
	u12 := (600*(1-math.Pow(2, -11.0/12)) + 300) / 2
	u1 := 600 * (1 - math.Pow(2, -1.0/12)) / 2
	want := []Feature{
		{Name: "near", UMM: 5},
		{Name: "dot 1", UMM: u1, BoreMM: 6, DepthMM: 2, Side: "top", Key: "board.frets.dots[1]"},
		{Name: "dot 12 left", UMM: u12, VMM: 10, BoreMM: 6, DepthMM: 2, Side: "top", Key: "board.frets.dots[0]"},
		{Name: "dot 12 right", UMM: u12, VMM: -10, BoreMM: 6, DepthMM: 2, Side: "top", Key: "board.frets.dots[0]"},
		{Name: "far", UMM: 400},
	}
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-10 }) // rounding of two formulas
	if d := cmp.Diff(want, b.AllFeatures(), near); d != "" {
		t.Error(d)
	}
	if b.Features[0].Name != "far" {
		t.Error("AllFeatures sorts the board's own list")
	}
}
