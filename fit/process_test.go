package fit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/fit"
	"reseat/jig/sourced"
	"reseat/testdata/reference"
)

// The defaults against testdata/reference, as half widths on the diameter in mm.
func TestDefaultProcessWithinPublished(t *testing.T) {
	const size = 6.0 // IT10 to IT13 at 6 mm are 48 to 180 um wide, IT7 and IT8 12 and 18 (ISO 286-1 table 1)
	for _, c := range []struct {
		name      string
		kind      fit.ProcessKind
		material  string
		thickness float64
		low, high float64
	}{
		{"drilling IT10 to IT13", fit.Drill, "brass", size, 0.024, 0.090},
		{"reaming IT7 to IT8", fit.Ream, "brass", size, 0.005, 0.009},
		{"industrial router +/-0.05 to 0.2", fit.Router, "mdf", 18, 0.05, 0.2},
		{"laser +/-0.05 to 0.2, thin", fit.Laser, "cast acrylic", 3, 0.05, 0.2},
		{"laser +/-0.05 to 0.2, 6 mm", fit.Laser, "cast acrylic", 6, 0.05, 0.2},
		{"laser +/-0.05 to 0.2, thick", fit.Laser, "cast acrylic", 12, 0.05, 0.2},
		{"print +/-0.3", fit.Print, "pla", 8, 0.3, 0.3},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := fit.DefaultProcess(c.kind, c.material, c.thickness)
			if err != nil || p.Spread < c.low || p.Spread > c.high || p.Check() != nil {
				t.Fatalf("%+v, %v, %v", p, err, p.Check())
			}
			for _, a := range p.Assumed {
				if a.Taken < a.Range.Least || a.Taken > a.Range.Most || a.Range.Source == "" || !a.Range.IsKnown() {
					t.Errorf("outside its own range or without a source: %+v", a)
				}
			}
		})
	}
	// A hole under half the sheet does not come out; a shop's edge taper is 0.25.
	l, err := fit.DefaultProcess(fit.Laser, "cast acrylic", 6)
	if err != nil || l.SmallestHole != 3 || math.Abs(l.TaperMM-0.25) > 1e-12 { // rounding of 6 x 0.25/6
		t.Errorf("laser: %+v, %v", l, err)
	}
}

// What the tables have for a laser's kerf, a shop's limits, drilled boards and
// printed holes stands in the ranges that people are told.
func TestRangesAgainstReference(t *testing.T) {
	assumed := func(kind fit.ProcessKind, material string, thickness float64, what string) fit.Assumption {
		p, err := fit.DefaultProcess(kind, material, thickness)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range p.Assumed {
			if a.What == what {
				return a
			}
		}
		t.Fatalf("%s in %s assumes no %s", kind, material, what)
		return fit.Assumption{}
	}
	ends := func(s string) (a, b float64) {
		if _, err := fmt.Sscanf(s, "%g-%g", &a, &b); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		return a, b
	}
	kerfs := 0
	for _, r := range reference.Rows(t, "process_tolerance.csv") {
		var thick float64
		if n, _ := fmt.Sscanf(r["process"], "laser kerf clear acrylic %g mm", &thick); n != 1 {
			continue
		}
		kerfs++
		low, high := ends(r["range"])
		if got := assumed(fit.Laser, "cast acrylic", thick, "taper"); got.Range.Most < high-low-1e-9 ||
			got.Range.Mark != sourced.Web || !strings.Contains(got.Range.Source, "coupon") {
			t.Errorf("%g mm: taper up to %g told, the kerf goes from %g to %g: %+v", thick, got.Range.Most, low, high,
				got)
		}
	}
	if kerfs != 6 {
		t.Errorf("%d rows of kerf in acrylic, want 6", kerfs)
	}
	for _, r := range reference.Rows(t, "laser_iso9013.csv") {
		_, upTo := ends(r["thickness_mm"])
		shop, err := strconv.ParseFloat(r["3_10"], 64)
		if got := assumed(fit.Laser, "cast acrylic", upTo, "spread +-"); err != nil || got.Range.Most < shop {
			t.Errorf("%g mm: spread up to %g told, the shop has %g (%v)", upTo, got.Range.Most, shop, err)
		}
	}
	for _, c := range []struct {
		material string
		closesMM float64 // of a 12 mm hole
	}{{"mdf", 0.05}, {"birch plywood", 0.14}, {"particleboard", 0.072}, {"sapele", 0}, {"acrylic, from supply", 0}} {
		p, err := fit.DefaultProcess(fit.Drill, c.material, 18)
		if err != nil || math.Abs(12*p.Closes-c.closesMM) > 0.005 {
			t.Errorf("%s: closes by %.3f, %v; want %.2f", c.material, 12*p.Closes, err, c.closesMM)
		}
	}
	if got := assumed(fit.Print, "pla", 8, "bias"); got.Taken != 0 || got.Range.Least != -0.5 ||
		!strings.Contains(got.Range.Source, "print a coupon") {
		t.Errorf("print: %+v", got)
	}
}

func TestDefaultProcessErrors(t *testing.T) {
	for _, got := range []string{"lazer", "waterjet", ""} {
		if _, err := fit.DefaultProcess(fit.ProcessKind(got), "mdf", 6); err == nil ||
			!strings.Contains(err.Error(), "ream, router, drill, laser, print") {
			t.Errorf("%q: %v", got, err)
		}
	}
	for _, th := range []float64{0, -1, math.NaN(), math.Inf(1), 1e6} {
		if _, err := fit.DefaultProcess(fit.Laser, "mdf", th); err == nil {
			t.Errorf("%g mm taken", th)
		}
	}
	if p, err := fit.DefaultProcess(" Laser ", "mdf", 6); err != nil || p.Kind != fit.Laser {
		t.Errorf("Laser with spaces: %v", err)
	}
	p := fit.Process{Kind: fit.Laser, Bias: math.NaN(), Spread: -1, TaperMM: math.Inf(1)}
	joined, ok := p.Check().(interface{ Unwrap() []error })
	if !ok || len(joined.Unwrap()) != 3 {
		t.Errorf("want three faults: %v", p.Check())
	}
}

func TestFamilyOf(t *testing.T) {
	for name, want := range map[string]fit.Family{
		"cast acrylic": fit.CastAcrylic, "3 mm Cast Acrylic": fit.CastAcrylic, "acrylic": fit.ExtrudedAcrylic,
		"PMMA": fit.ExtrudedAcrylic,
		"mdf":  fit.Wood, "phenolic plywood": fit.Wood, "phenolic": fit.Plastic, "birch plywood": fit.Wood,
		"sapele": fit.Wood, "plane": fit.Wood, "ironwood": fit.Wood, "": fit.Wood,
		"PLA": fit.Plastic, "pla+": fit.Plastic, "petg": fit.Plastic, "aluminium 6061": fit.Metal, "aluminum": fit.Metal,
		"brass": fit.Metal, "stainless steel": fit.Metal, "cast iron": fit.Metal, "\u6728": fit.Wood,
	} {
		if got := fit.FamilyOf(name); got != want {
			t.Errorf("%q is %s, want %s", name, got, want)
		}
	}
}

// The odds against throwing the dice, seeded.
func TestEntryOddsBySimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct{ hm, hs, pm, ps float64 }{
		{6.006, 0.003, 6.008, 0.002}, {6.07, 0.0255, 6.008, 0.002}, {6, 0.01, 6, 0.01}, {5.99, 0.01, 6.01, 0.005},
	} {
		const throws = 200000
		in := 0
		for range throws {
			if c.hm+c.hs*rng.NormFloat64() > c.pm+c.ps*rng.NormFloat64() {
				in++
			}
		}
		// Standard error at most 0.0011; four of them.
		if got := fit.EntryOdds(c.hm, c.hs, c.pm, c.ps); math.Abs(got-float64(in)/throws) > 0.0045 {
			t.Errorf("%+v: %.4f, thrown %.4f", c, got, float64(in)/throws)
		}
	}
}

// And against the convolution integral itself, summed numerically: sum over the
// pin's density of the share of holes above.
func TestEntryOddsByIntegral(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.Float64Range(-0.1, 0.1).Draw(t, "gap")
		hs, ps := rapid.Float64Range(0.001, 0.05).Draw(t, "hole sd"), rapid.Float64Range(0.001, 0.05).Draw(t, "pin sd")
		phi := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
		const n, reach = 4000, 9.0 // nine standard deviations leave out 1e-19
		sum := 0.0
		for i := range n {
			z := -reach + 2*reach*(float64(i)+0.5)/n
			sum += math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * phi((gap-ps*z)/hs) * 2 * reach / n
		}
		got := fit.EntryOdds(6+gap, hs, 6, ps)
		// The midpoint rule is within h^2/24 of the curvature, (ps/hs)^2 <= 2500 of it: 2e-3.
		if math.Abs(got-sum) > 2e-3 {
			t.Fatalf("closed form %.8f, integral %.8f", got, sum)
		}
	})
}

func TestEntryOddsEdges(t *testing.T) {
	for _, c := range []struct {
		name           string
		hm, hs, pm, ps float64
		want           float64
	}{
		{"size for size without spread goes in", 6, 0, 6, 0, 1},
		{"under without spread", 5.999, 0, 6, 0, 0},
		{"equal means", 6, 0.01, 6, 0.02, 0.5},
		// Phi(1.96) = 0.9750 of any table of the normal distribution.
		{"1.96 deviations", 6 + 1.959963984540054*0.01, 0.01, 6, 0, 0.975},
	} {
		if got := fit.EntryOdds(c.hm, c.hs, c.pm, c.ps); math.Abs(got-c.want) > 1e-12 { // rounding of erfc
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
	if got := fit.EntryOdds(6, -1, 6, 0); !math.IsNaN(got) {
		t.Errorf("negative spread: %g", got)
	}
}
