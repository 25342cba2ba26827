package dowel

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/fit"
	"reseat/jig/units"
)

type fataler interface {
	Helper()
	Fatal(...any)
}

func request(t fataler, p Pin, material string, thickness float64, k fit.ProcessKind, w Purpose) Request {
	t.Helper()
	pr, err := fit.DefaultProcess(k, material, thickness)
	if err != nil {
		t.Fatal(err)
	}
	return Request{Pin: p, Material: material, ThicknessMM: thickness, Process: pr, Purpose: w}
}

func pin(t fataler, standard string, d float64, class string) Pin {
	t.Helper()
	p, err := Lookup(standard, d, class)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Limits from ISO 286-2 (testdata/reference/iso286-2-limits-sample.csv holds a
// sample): 6 E8 +38/+20, H8 +18/0, E10 +68/+20; 6.35 F8 +35/+13 um.
func TestChooseHole(t *testing.T) {
	m6, h6 := pin(t, "iso 8734", 6, ""), pin(t, "rod", 6, "h6")
	quarter := pin(t, "asme b18.8.2", 6.35, "")
	for _, c := range []struct {
		name         string
		r            Request
		slot         bool
		class, made  string
		min, max     float64
		drawn        float64
		says, nextTo string // in Explain and Steps
	}{
		{
			"m6 through laser-cut acrylic: H7 would bind", request(t, m6, "cast acrylic", 6, fit.Laser, Locate), false,
			"E8", "laser, then ream", 6.020, 6.038, 5.60, "easier to buy: 6 h6 pins of ground rod with the stock H7", "6.03 mm, a reamer in " +
				"steps of 0.01 mm",
		},
		{
			"m6 in an MDF bed: bored to size", request(t, m6, "mdf", 18, fit.Router, Locate), false,
			"E12", "router", 6.020, 6.140, 6.08, "closes on the pin", "Bore the hole to 6.08 mm",
		},
		{
			"h6 takes the stock reamer", request(t, h6, "cast acrylic", 6, fit.Laser, Locate), false,
			"H8", "laser, then ream", 6.000, 6.018, 5.60, "stock H7 reamer", "Drill 5.7 mm",
		},
		{
			"h6 in brass: H7", request(t, h6, "brass", 6, fit.Ream, Locate), false,
			"H7", "drill, then ream", 6.000, 6.012, 5.70, "stock H7 reamer", "Drill 5.7 mm",
		},
		{
			"1/4 in pin", request(t, quarter, "cast acrylic", 6, fit.Laser, Locate), false,
			"F8", "laser, then ream", 6.363, 6.385, 5.95, "H7 hole", "0.251 in",
		},
		{
			"slot in acrylic: not reamed", request(t, m6, "cast acrylic", 6, fit.Laser, Locate), true,
			"E10", "laser, then mill or file to a gauge", 6.020, 6.068, 5.60, "cannot be reamed", "go gauge",
		},
		{
			"slot on the router: milled to width", request(t, m6, "mdf", 18, fit.Router, Locate), true,
			"E12", "router", 6.020, 6.140, 6.08, "a routed slot", "Bore the slot",
		},
		{
			"clear by drill: the next standard drill", request(t, m6, "aluminium", 6, fit.Drill, Clear), false,
			"plain", "drill", 6.190, 6.310, 6.20, "has a clearance of", "Drill 6.2 mm",
		},
		{
			"clear by laser: in tenths", request(t, m6, "cast acrylic", 6, fit.Laser, Clear), false,
			"plain", "laser", 6.125, 6.675, 6.40, "tapers by 0.25", "Cut the hole 6.40",
		},
		{
			"press in brass", request(t, m6, "brass", 6, fit.Ream, Press), false,
			"H7", "drill, then ream", 6.000, 6.012, 5.70, "made for, interference up to 0.012 mm, clearance up to " +
				"0.008 mm", "Press one pin into scrap",
		},
		{
			"a board is seldom reamed, and is told so", request(t, m6, "mdf", 18, fit.Ream, Locate), false,
			"E9", "drill, then ream", 6.020, 6.050, 5.70, "seldom reamed", "Ream through",
		},
		{
			"press of an inch pin in steel: no m6, the next reamer that is sold", request(t, quarter, "steel", 6,
				fit.Ream, Press), false,
			"M8", "drill, then ream", 6.329, 6.351, 6.0452, "always sits", "Press one pin into scrap",
		},
		{
			"m6 in aluminium: E7 has no reamer that is sold", request(t, m6, "aluminium", 6, fit.Ream, Locate), false,
			"E8", "drill, then ream", 6.020, 6.038, 5.60, "6.03 mm, a reamer in steps of 0.01 mm",
			"6.03 mm, a reamer in steps of 0.01 mm",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.r.Slot = c.slot
			got, err := ChooseHole(c.r)
			if err != nil {
				t.Fatal(err)
			}
			if got.Class != c.class || got.Made != c.made || !got.Holds {
				t.Errorf("%s by %q, holds %t", got.Class, got.Made, got.Holds)
			}
			if !near(got.MinMM, c.min, asPrinted) || !near(got.MaxMM, c.max, asPrinted) ||
				!near(got.DrawnMM, c.drawn, asPrinted) {
				t.Errorf("%.4f to %.4f, drawn %.4f; want %g to %g, drawn %g", got.MinMM, got.MaxMM, got.DrawnMM, c.min,
					c.max, c.drawn)
			}
			if all := strings.Join(got.Explain, "\n"); !strings.Contains(all, c.says) || len(got.Explain) > 5 {
				t.Errorf("explains\n%s\nwant %q in at most five lines", all, c.says)
			}
			if all := strings.Join(got.Steps, "\n"); !strings.Contains(all, c.nextTo) {
				t.Errorf("steps\n%s\nwant %q", all, c.nextTo)
			}
		})
	}
}

func TestChooseHoleSaysWhenItCannot(t *testing.T) {
	small := request(t, pin(t, "iso 8734", 2, ""), "cast acrylic", 6, fit.Laser, Locate)
	c, err := ChooseHole(small)
	if err != nil || c.Holds || !strings.Contains(c.Explain[0], "smallest that comes out") {
		t.Errorf("2 mm by laser in 6 mm: %+v, %v", c, err)
	}
	printed := request(t, pin(t, "iso 8734", 6, ""), "pla", 8, fit.Print, Press)
	c, err = ChooseHole(printed)
	if err != nil || c.Holds || !strings.Contains(c.Explain[0], "no long-term stress limit") {
		t.Errorf("press in pla: %+v, %v", c, err)
	}
}

// around adds a centre to every offset.
func around(centre float64, offsets []float64) []float64 {
	for i := range offsets {
		offsets[i] += centre
	}
	return offsets
}

// draw makes a request that a job could hold.
func draw(t *rapid.T) Request {
	d := rapid.SampledFrom([]float64{3, 4, 5, 6, 8, 10, 12}).Draw(t, "d")
	var p Pin
	switch rapid.IntRange(0, 4).Draw(t, "pin") {
	case 0:
		p = pin(t, "iso 8734", d, "")
	case 1:
		p = pin(t, "iso 2338", d, "h8")
	case 2:
		p = pin(t, "rod", d, rapid.SampledFrom([]string{"h6", "g6"}).Draw(t, "class"))
	case 3:
		p = pin(t, "asme b18.8.2", rapid.SampledFrom([]float64{0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5}).Draw(t,
			"in")*units.MMPerInch, "")
	default:
		var err error
		p, err = Measured(d, around(d+rapid.Float64Range(-0.2, 0.2).Draw(t, "off"),
			rapid.SliceOfN(rapid.Float64Range(-0.01, 0.01), 1, 6).Draw(t, "readings")))
		if err != nil {
			t.Fatal(err)
		}
	}
	material := rapid.SampledFrom([]string{"cast acrylic", "mdf", "birch plywood", "sapele", "brass", "aluminium",
		"pla"}).Draw(t, "material")
	k := rapid.SampledFrom(fit.ProcessKinds()).Draw(t, "kind")
	r := request(t, p, material, rapid.Float64Range(2, 25).Draw(t, "thickness"), k, Locate)
	r.Slot = rapid.Bool().Draw(t, "slot")
	if rapid.Bool().Draw(t, "coupon") {
		low, high, wide := -0.6, 0.3, 0.3
		if k == fit.Ream { // a reamer that strays further is no reamer
			low, high, wide = -0.02, 0.02, 0.02
		}
		r.Process.SetBias(rapid.Float64Range(low, high).Draw(t, "bias"))
		r.Process.Spread = rapid.Float64Range(0, wide).Draw(t, "spread")
	}
	r.ClearAllowanceMM = rapid.Float64Range(0, 2).Draw(t, "allowance")
	return r
}

// A looser purpose never gives less clearance: neither the least nor, when both are
// made the same way and named alike, the greatest (a filed slot may be wider at
// worst than a clear hole of a process that hardly strays, and so may a hole whose
// class is wider than what the process makes).
func TestLooserNeverTighter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := draw(t)
		var last Choice
		for i, w := range Purposes() {
			r.Purpose = w
			c, err := ChooseHole(r)
			var pe *PressError
			if errors.As(err, &pe) && w == Press {
				last = Choice{ClearanceMinMM: math.Inf(-1), ClearanceMaxMM: 0}
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			if i > 0 && (c.ClearanceMinMM < last.ClearanceMinMM-edgeMM || c.Made == last.Made &&
				c.Class == last.Class && c.ClearanceMaxMM < last.ClearanceMaxMM-edgeMM) {
				t.Fatalf("%s has %g to %g, the tighter purpose %g to %g", w, c.ClearanceMinMM, c.ClearanceMaxMM,
					last.ClearanceMinMM, last.ClearanceMaxMM)
			}
			last = c
		}
	})
}

// What any choice must keep: limits in order, clearances from them, an opening that
// is opened afterwards drawn under its limits, one that is not drawn with the bias
// out, the purpose met, the reamer inside the hole.
func TestChoiceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := draw(t)
		r.Purpose = rapid.SampledFrom([]Purpose{Locate, Slide, Clear}).Draw(t, "purpose")
		all, err := RankHoles(r)
		if err != nil {
			t.Fatal(err)
		}
		best, err := ChooseHole(r)
		if err != nil || best.Class != all[0].Class || best.DrawnMM != all[0].DrawnMM {
			t.Fatalf("chosen %+v, ranked first %+v, %v", best, all[0], err)
		}
		if best.ClearanceMinMM < r.least()-edgeMM {
			t.Fatalf("least clearance %g, want %g", best.ClearanceMinMM, r.least())
		}
		for _, c := range all {
			if c.MinMM > c.MaxMM || !(c.DrawnMM > 0) || len(c.Explain) == 0 || len(c.Explain) > mostExplain ||
				len(c.Steps) == 0 {
				t.Fatalf("%+v", c)
			}
			if !near(c.ClearanceMinMM, c.MinMM-r.Pin.MaxMM, asPrinted) ||
				!near(c.ClearanceMaxMM, c.MaxMM-r.Pin.MinMM, asPrinted) {
				t.Fatalf("clearances %+v", c)
			}
			if c.Odds < 0 || c.Odds > 1 || math.IsNaN(c.Odds) {
				t.Fatalf("odds %g", c.Odds)
			}
			if strings.Contains(c.Made, "then") {
				if c.DrawnMM+math.Max(0, r.Process.Bias)+r.Process.HalfWidth() > c.MinMM {
					t.Fatalf("drawn %g, so the first cut can be wider than %g", c.DrawnMM, c.MinMM)
				}
			} else if made := c.DrawnMM + r.Process.BiasAt(r.Pin.NominalMM); r.Process.Kind != fit.Ream &&
				(made-r.Process.HalfWidth() < c.MinMM-asPrinted || made+r.Process.HalfWidth() > c.MaxMM+asPrinted) {
				t.Fatalf("drawn %g comes out as %g +- %g, not within %g and %g", c.DrawnMM, made,
					r.Process.HalfWidth(), c.MinMM, c.MaxMM)
			}
			if m := c.Reamer; m != nil && (m.MinMM < c.MinMM || m.MaxMM > c.MaxMM) {
				t.Fatalf("reamer %+v outside %+v", m, c)
			}
		}
	})
}

// The odds of the chosen holes against throwing the dice.
func TestOddsBySimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	m6 := pin(t, "iso 8734", 6, "")
	for _, r := range []Request{
		request(t, m6, "mdf", 18, fit.Router, Locate),
		request(t, m6, "birch plywood", 9, fit.Drill, Locate),
		request(t, m6, "cast acrylic", 3, fit.Laser, Clear),
	} {
		c, err := ChooseHole(r)
		if err != nil {
			t.Fatal(err)
		}
		const throws = 200000
		in := 0
		for range throws {
			hole := c.DrawnMM + r.Process.BiasAt(6) + r.Process.SD()*rng.NormFloat64() - r.Process.TaperMM/2
			pin := m6.MeanMM() + m6.SDMM*rng.NormFloat64()
			if hole > pin {
				in++
			}
		}
		// Standard error at most 0.0011; four of them.
		if share := float64(in) / throws; math.Abs(share-c.Odds) > 0.0045 {
			t.Errorf("%s by %s: odds %.4f, thrown %.4f", r.Material, r.Process.Kind, c.Odds, share)
		}
	}
}

func TestRankHolesShowsH7(t *testing.T) {
	all, err := RankHoles(request(t, pin(t, "iso 8734", 6, ""), "brass", 6, fit.Ream, Locate))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if c.Class == "H7" {
			if c.Holds || !near(c.ClearanceMinMM, -0.012, asPrinted) || !near(c.ClearanceMaxMM, 0.008, asPrinted) ||
				!strings.Contains(c.Explain[0], "does not always go in") {
				t.Errorf("%+v", c)
			}
			return
		}
	}
	t.Error("H7 is not among the candidates")
}
