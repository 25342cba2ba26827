package fit

import (
	"testing"

	"reseat/testdata/reference"
)

// sampleRow is one row of the published tables of limit deviations.
type sampleRow struct {
	class        Class
	over, upTo   float64 // mm
	upper, lower float64 // micrometres
}

// sampleRows is how many rows the reference file holds; fewer would be a torn file.
const sampleRows = 919

// readSample reads testdata/reference/iso286-2-limits-sample.csv (source: GB/T 1800.2-2020,
// the national adoption of ISO 286-2; see the head of the file).
func readSample(tb testing.TB) []sampleRow {
	tb.Helper()
	var rows []sampleRow
	for _, r := range reference.Rows(tb, "iso286-2-limits-sample.csv") {
		c, err := ParseClass(r["class"])
		if err != nil {
			tb.Fatal(err)
		}
		n := func(head string) float64 { return reference.Number(tb, r[head]) }
		rows = append(rows, sampleRow{c, n("size_over"), n("size_to"), n("upper_um"), n("lower_um")})
	}
	if len(rows) != sampleRows {
		tb.Fatalf("the sample has %d rows, want %d", len(rows), sampleRows)
	}
	return rows
}

// TestSampleRows holds every published row against the tables, exactly, just over the lower
// end of its step, in the middle and at the upper end.
func TestSampleRows(t *testing.T) {
	for _, row := range readSample(t) {
		want := Limits{row.upper, row.lower}
		for _, size := range []float64{row.over + 0.001, (row.over + row.upTo) / 2, row.upTo} {
			if size <= 1 {
				size = 1.001 // some classes start above 1 mm
			}
			got, err := ClassLimits(size, row.class)
			if err != nil {
				t.Errorf("%s at %g mm: %v", row.class, size, err)
			} else if got != want {
				t.Errorf("%s at %g mm: got %v, want %v", row.class, size, got, want)
			}
		}
		if !row.class.IsListed() {
			t.Errorf("%s stands in ISO 286-2 but is not listed", row.class)
		}
	}
}
