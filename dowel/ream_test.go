package dowel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/fit"
	"reseat/jig/units"
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
		// Stock by the handbook rows of reaming_stock.csv; from the drill charts the
		// largest drill of size - 0.05 - stock, for all of the stock's range.
		{"6 in steel: No2 (5.613) leaves 0.337", 6, "steel", 0.2, 0.3, "5.7", ""},
		{"6 in acrylic, steel's figure", 6, "cast acrylic", 0.2, 0.3, "5.7", ""},
		{"16 in steel: 15.75 leaves 0.2", 16, "steel", 0.2, 0.3, "15.75", ""},
		{"4 in steel", 4, "steel", 0.1, 0.2, "3.8", "No25"},
		{"6 in aluminium, half as much again", 6, "aluminium", 0.3, 0.45, "5.6", "No2"},
		{"1/4 in", 6.35, "steel", 0.2, 0.3, "6.1", "B"},
		{"25 in steel", 25, "steel", 0.3, 0.5, "24.5", "31/32"},
		{"30 in steel: beyond the drill series", 30, "steel", 0.3, 0.5, "", ""},
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

// TestReamedOdds: how often a pin enters, from a simulation of its own: the reamer drawn
// within the limits of the maker's table, the hole about it, the pin within its class
// (m6 of 6 mm +12/+4, h6 0/-8, ISO 286-2).
func TestReamedOdds(t *testing.T) {
	const throws = 100000
	rows := reference.Rows(t, "reamer_limits_h7.csv")
	upper, lower := reference.Number(t, rows[1]["upper_um"])/1000, reference.Number(t, rows[1]["lower_um"])/1000
	rng := rand.New(rand.NewPCG(3, 9))
	about := func(low, high float64) float64 { // 95 % between the two
		return (low+high)/2 + (high-low)/2/1.959964*rng.NormFloat64()
	}
	for _, c := range []struct {
		name, material  string
		pinLow, pinHigh float64
		want            float64 // as printed
	}{
		{"m6 in H7, acrylic", "cast acrylic", 0.004, 0.012, 0.45},
		{"m6 in H7, brass", "brass", 0.004, 0.012, 0.44},
		{"h6 in H7, acrylic", "cast acrylic", -0.008, 0, 0.996},
		{"h6 in H7, sapele: no closer than 0.012", "sapele", -0.008, 0, 0.959},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := fit.DefaultProcess(fit.Ream, c.material, 6)
			if err != nil {
				t.Fatal(err)
			}
			in := 0
			for range throws {
				if about(lower, upper)+about(-p.Spread, p.Spread) > about(c.pinLow, c.pinHigh) {
					in++
				}
			}
			h7, err := Reamer(6, class(t, "H7"))
			if err != nil {
				t.Fatal(err)
			}
			mean, sd := h7.Hole(p)
			got := fit.EntryOdds(mean, sd, 6+(c.pinLow+c.pinHigh)/2, (c.pinHigh-c.pinLow)/2/fit.Normal95)
			// Standard error at most 0.0016, three of them; the figure wanted is rounded.
			if thrown := float64(in) / throws; !near(got, thrown, 0.005) || !near(got, c.want, 0.0051) {
				t.Errorf("odds %.4f, thrown %.4f, want %g", got, thrown, c.want)
			}
		})
	}
}

// TestStockReamerFirst: what a shop has comes first where it serves.
func TestStockReamerFirst(t *testing.T) {
	m6, h6, h8 := pin(t, "iso 8734", 6, ""), pin(t, "rod", 6, "h6"), pin(t, "iso 2338", 6, "h8")
	for _, c := range []struct {
		name  string
		r     Request
		first string // of the reamers
		offer string // the pin to take instead; "": none
	}{
		{"m6, locating: h6 pins spare the special reamer", request(t, m6, "brass", 6, fit.Ream, Locate),
			"6.03 mm, a reamer in steps", "6 h6 pins of ground rod"},
		{"m6, running fit: H7/g6", request(t, m6, "brass", 6, fit.Ream, Slide), "6.03 mm, a reamer in steps",
			"6 g6 pins of ground rod"},
		{"h6: it is the stock one", request(t, h6, "brass", 6, fit.Ream, Locate), "the stock H7 reamer", ""},
		{"h8 in acrylic", request(t, h8, "cast acrylic", 6, fit.Laser, Locate), "the stock H7 reamer", ""},
		{"m6 in oak, two grades coarser", request(t, m6, "oak", 20, fit.Ream, Slide), "6.04 mm, a reamer in steps",
			"6 g6 pins of ground rod"},
		{"1/4 in: no stock H7 reamer", request(t, pin(t, "asme b18.8.2", 6.35, ""), "cast acrylic", 6, fit.Laser,
			Locate), "0.251 in", ""},
		{"h6 in sapele: 96 % of its holes take one", request(t, h6, "sapele", 20, fit.Ream, Locate), "6.02 mm",
			"6 h8 pins by ISO 2338"},
		{"h8 in sapele: 98 %", request(t, h8, "sapele", 20, fit.Ream, Locate), "the stock H7 reamer", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ChooseHole(c.r)
			if err != nil || got.Reamer == nil {
				t.Fatal(got, err)
			}
			offer := ""
			if got.Stock != nil {
				offer = got.Stock.Pin
			}
			if !strings.HasPrefix(got.Reamer.Buy[0], c.first) || offer != c.offer {
				t.Errorf("%q, offers %q; want %q, %q", got.Reamer.Buy, offer, c.first, c.offer)
			}
		})
	}
}

// TestDrillsAdvised: every drill that a step names is one of the tables, cuts more than the
// hole that is there, and leaves a reamer what its row of reaming_stock.csv asks for.
func TestDrillsAdvised(t *testing.T) {
	sold := map[string]bool{}
	for _, r := range reference.Rows(t, "drills_metric.csv") {
		sold[fmt.Sprintf("%.3f", reference.Number(t, r["dia_mm"]))] = true
	}
	for _, r := range reference.Rows(t, "drills_inch.csv") {
		sold[fmt.Sprintf("%.3f", reference.Number(t, r["dia_in"])*units.MMPerInch)] = true
	}
	stock := func(d float64) (low, high float64) {
		switch {
		case d <= 5:
			return 0.1, 0.2
		case d <= 20:
			return 0.2, 0.3
		}
		return 0.3, 0.5
	}
	names := regexp.MustCompile(`([\d.]+) mm\)?(?: or|,? through|, square)`)
	bored := 0
	for _, s := range []string{"iso 2338", "asme b18.8.2"} {
		all, err := Diameters(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range all {
			for _, k := range fit.ProcessKinds() {
				for _, w := range []Purpose{Locate, Clear} {
					for _, there := range []float64{0, roundDown(d-0.25, 0.1), d + 3} {
						r := request(t, pin(t, s, d, ""), "brass", 6, k, w)
						r.ThereMM = there
						c, err := ChooseHole(r)
						if err != nil {
							t.Fatal(err)
						}
						cut := there
						if k == fit.Laser || k == fit.Print {
							cut = max(cut, c.DrawnMM)
						}
						for _, step := range c.Steps {
							if strings.HasPrefix(step, "Bore it to ") {
								bored++
							}
							if !strings.HasPrefix(step, "Drill ") {
								continue
							}
							for _, m := range names.FindAllStringSubmatch(step, -1) {
								mm, _ := strconv.ParseFloat(m[1], 64)
								low, high := stock(c.MinMM)
								left := c.MinMM - DrillOverMM - mm
								if !sold[fmt.Sprintf("%.3f", mm)] || mm <= cut || c.Reamer != nil &&
									(left < low-1e-3 || left > high+1e-3) {
									t.Errorf("%s %g by %s, %.2f there: %s (leaves %.3f)", s, d, k, cut, step, left)
								}
							}
							if len(names.FindAllString(step, -1)) == 0 {
								t.Errorf("no drill found in %q", step)
							}
						}
					}
				}
			}
		}
	}
	if bored == 0 {
		t.Error("every size has a drill")
	}
}
