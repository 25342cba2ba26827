package dowel

import (
	"math"
	"testing"

	"reseat/jig/units"
	"reseat/testdata/reference"
)

// Both series against the tables, drill by drill.
func TestDrillsAgainstTables(t *testing.T) {
	metric := reference.Rows(t, "drills_metric.csv")
	if len(metric) != len(metricDrills()) {
		t.Fatalf("%d metric drills, the table has %d", len(metricDrills()), len(metric))
	}
	for i, r := range metric {
		if metricDrills()[i].DiameterMM != reference.Number(t, r["dia_mm"]) {
			t.Errorf("metric %d: %v, the table has %s", i, metricDrills()[i], r["dia_mm"])
		}
	}
	byName := map[string]float64{}
	for _, d := range inchDrills() {
		byName[d.Name] = d.DiameterMM
	}
	inch := reference.Rows(t, "drills_inch.csv")
	if len(inch) != len(byName) {
		t.Fatalf("%d inch drills, the table has %d", len(byName), len(inch))
	}
	for _, r := range inch {
		// Fractions are printed to six decimals of an inch.
		if !near(byName[r["name"]], reference.Number(t, r["dia_in"])*units.MMPerInch, 0.5e-6*units.MMPerInch) {
			t.Errorf("%s: %g mm, the table has %s in", r["name"], byName[r["name"]], r["dia_in"])
		}
	}
}

// Largest strictly below: worked out by hand from the drill charts.
func TestDrillBelow(t *testing.T) {
	for _, c := range []struct {
		inch bool
		mm   float64
		want string
	}{
		{true, 0.1875 * units.MMPerInch, "No13"},
		{true, 0.25 * units.MMPerInch, "D"},
		{true, 0.3125 * units.MMPerInch, "N"},
		{true, 0.375 * units.MMPerInch, "U"},
		{true, 0.24 * units.MMPerInch, "B"},
		{true, 6, "15/64"},
		{true, 8, "5/16"},
		{false, 6, "5.9"},
		{false, 5.85, "5.8"},
		{false, 1, ""},
		{false, math.NaN(), ""},
		{false, 400, "25"},
	} {
		series := metricDrills()
		if c.inch {
			series = inchDrills()
		}
		d, ok := drillBelow(series, c.mm)
		if d.Name != c.want || ok != (c.want != "") {
			t.Errorf("below %g mm: %q, want %q", c.mm, d.Name, c.want)
		}
		slow := ""
		for _, s := range series {
			if s.DiameterMM < c.mm-sameDrillMM {
				slow = s.Name
			}
		}
		// E and 1/4 are one size, so compare through the size.
		if slow != d.Name {
			t.Errorf("below %g mm: %q by search, %q by counting", c.mm, d.Name, slow)
		}
	}
	if d, ok := drillFrom(metricDrills(), 6.062); !ok || d.Name != "6.1" {
		t.Errorf("from 6.062: %v", d)
	}
	if d, ok := drillFrom(metricDrills(), 6.1); !ok || d.Name != "6.1" {
		t.Errorf("from 6.1: %v", d)
	}
	if _, ok := drillFrom(metricDrills(), 25.1); ok {
		t.Error("a metric drill above 25 mm")
	}
}
