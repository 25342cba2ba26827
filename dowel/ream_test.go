package dowel

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/fit"
	"reseat/testdata/reference"
)

func class(t interface{ Fatal(...any) }, s string) fit.Class {
	c, err := fit.ParseClass(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// A reamer maker's table for H7 (source at the head of the table).
func TestReamerAgainstTable(t *testing.T) {
	for _, r := range reference.Rows(t, "reamer_limits_h7.csv") {
		d := reference.Number(t, r["upto_mm"])
		got, err := Reamer(d, class(t, "H7"))
		if err != nil {
			t.Fatal(err)
		}
		if !near(got.MaxMM, d+reference.Number(t, r["upper_um"])/1000, asPrinted) ||
			!near(got.MinMM, d+reference.Number(t, r["lower_um"])/1000, asPrinted) {
			t.Errorf("up to %g: %g to %g, the table has +%s/+%s", d, got.MinMM, got.MaxMM, r["upper_um"], r["lower_um"])
		}
	}
}

// The worked case of the reamer makers' pages that state the rule of DIN 1420:
// 10 D8, hole 10.040 to 10.062, reamer 10.050 to 10.058.
func TestReamerWorkedCase(t *testing.T) {
	got, err := Reamer(10, class(t, "D8"))
	if err != nil {
		t.Fatal(err)
	}
	if !near(got.MinMM, 10.050, asPrinted) || !near(got.MaxMM, 10.058, asPrinted) {
		t.Errorf("10 D8: %+v", got)
	}
	if _, err := Reamer(10, class(t, "m6")); err == nil {
		t.Error("a reamer for a shaft class")
	}
	if _, err := Reamer(-1, class(t, "H7")); err == nil {
		t.Error("a reamer of -1 mm")
	}
}

func TestReamersToBuy(t *testing.T) {
	for _, c := range []struct {
		d           float64
		class, want string
	}{
		{6, "H7", "the stock H7 reamer, 6.005 to 6.010 mm"},
		{6, "H8", "the stock H7 reamer, 6.005 to 6.010 mm (under these limits, but the H7 hole that it makes lies " +
			"within H8)"},
		{6, "E8", "6.03 mm, a reamer in steps of 0.01 mm"}, // 6.030 to 6.035 in 6.028 to 6.035
		{6, "G7", "an adjustable hand reamer, set and tried on scrap"},
		{6.35, "F8", "0.251 in, a reamer in steps of 0.001 in"}, // 6.3754 to 6.3805 in 6.373 to 6.381
	} {
		r, err := Reamer(c.d, class(t, c.class))
		if err != nil {
			t.Fatal(err)
		}
		if r.Buy[0] != c.want || r.Sold != !strings.Contains(c.want, "adjustable") {
			t.Errorf("%g %s: %q, want %q", c.d, c.class, r.Buy, c.want)
		}
	}
}

func TestReamerProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(1, 50).Draw(t, "d")
		c := fit.Class{Letters: rapid.SampledFrom(strings.Split(looseLetters, "")).Draw(t, "letter"),
			Grade: fit.Grade(rapid.IntRange(int(fit.IT6), int(fit.IT11)).Draw(t, "grade"))}
		l, err := fit.ClassLimits(d, c)
		if err != nil {
			t.Skip("not defined")
		}
		r, err := Reamer(d, c)
		if err != nil {
			t.Fatal(err)
		}
		// A reamer lies within the hole and leaves it 0.15 IT to come out larger,
		// less the whole micrometre that it is rounded up to.
		it := l.Upper - l.Lower
		below := (d+l.Upper/1000-r.MaxMM)*1000 - 0.15*it
		width := (r.MaxMM-r.MinMM)*1000 - 0.35*it
		const um = 1e-6 // rounding of the millimetres in um
		if r.MinMM < d+l.Lower/1000 || below < -um || below >= 1+um || width < -um || width >= 1+um {
			t.Fatalf("%g %s: hole %+v, reamer %+v", d, c, l, r)
		}
	})
}

func TestPreReam(t *testing.T) {
	for _, c := range []struct {
		name         string
		d            float64
		material     string
		low, high    float64
		metric, inch string
	}{
		// Stock by the handbook rows of reaming_stock.csv; drills strictly below
		// size - stock - 0.05 from the drill charts.
		{"6 in steel", 6, "steel", 0.2, 0.3, "5.7", "No2"},
		{"6 in acrylic, steel's figure", 6, "cast acrylic", 0.2, 0.3, "5.7", "No2"},
		{"4 in steel", 4, "steel", 0.1, 0.2, "3.8", "No25"},
		{"6 in aluminium, half as much again", 6, "aluminium", 0.3, 0.45, "5.6", "No2"},
		{"1/4 in", 6.35, "steel", 0.2, 0.3, "6", "B"},
		{"30 in steel: beyond the drill series", 30, "steel", 0.3, 0.5, "25", "1"},
		{"1 mm: no drill is that small in the metric series", 1, "steel", 0.1, 0.2, "", "No66"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := PreReam(c.d, c.material)
			if err != nil {
				t.Fatal(err)
			}
			// Exactly: these go into JSON, where 1.5 x 0.2 must not be 0.30000000000000004.
			if p.LowMM != c.low || p.HighMM != c.high {
				t.Errorf("stock %g to %g", p.LowMM, p.HighMM)
			}
			name := func(d *DrillSize) string {
				if d == nil {
					return ""
				}
				return d.Name
			}
			if name(p.Metric) != c.metric || name(p.Inch) != c.inch || p.Source == "" {
				t.Errorf("drills %s and %s, want %s and %s", name(p.Metric), name(p.Inch), c.metric, c.inch)
			}
		})
	}
	for _, d := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := PreReam(d, "steel"); err == nil {
			t.Errorf("%g mm taken", d)
		}
	}
}
