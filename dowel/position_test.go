package dowel

import (
	"strings"
	"testing"

	"reseat/testdata/reference"
)

// Floating and fixed fasteners (sources at the head of the table).
func TestPositionAgainstTable(t *testing.T) {
	for _, r := range reference.Rows(t, "position_cases.csv") {
		h, f := reference.Number(t, r["H"]), reference.Number(t, r["F"])
		zone := FloatingZone(h, f)
		if strings.HasPrefix(r["case"], "fixed") {
			zone = FixedZone(h, f)
		}
		if !near(zone, reference.Number(t, r["T1"]), asPrinted) || !near(zone, reference.Number(t, r["T2"]), asPrinted) {
			t.Errorf("%s: %g, the table has %s and %s", r["case"], zone, r["T1"], r["T2"])
		}
	}
}

// A clear hole as large as the fixed-fastener zones ask: zones are diameters.
func TestClearHoleIsFixedFormula(t *testing.T) {
	h := ClearHole(6.012, 0.05, 0.13)
	if got := FixedZone(h, 6.012); !near(got, 0.05+0.13, asPrinted) {
		t.Errorf("hole %g leaves zones of %g, want the mean of 0.10 and 0.26", h, got)
	}
}
