package wedge

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/beam"
	"reseat/jig/sourced"
	"reseat/testdata/reference"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

// By hand, 1 in 7 and friction 0.3 to 0.5: alpha 0.141897. Pushed by 50 N at 0.3: phi 0.291457, tan
// 0.433354 = 0.462718, 50/0.762718 = 65.555 N; at 0.5: phi 0.463648, tan 0.605545 = 0.692308,
// 50/1.192308 = 41.935. Freed from 100 N at 0.3: tan 0.149560 = 0.150685, 45.07 N.
func TestPairByHand(t *testing.T) {
	mu, err := Friction("birch plywood")
	if err != nil {
		t.Fatal(err)
	}
	p := Pair{1.0 / 7, mu}
	if n := p.Press(50); !near(n.Most, 65.555, 1e-4) || !near(n.Least, 41.935, 1e-4) || n.Unit != "N" {
		t.Errorf("pressed with %+v", n)
	}
	if n := p.Loosen(100); !near(n.Least, 45.0685, 1e-4) {
		t.Errorf("freed by %+v", n)
	}
	acrylic, err := Friction("cast acrylic")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		mu    sourced.Value
		slope float64
		held  bool
	}{
		{"plywood, 1 in 7", mu, 1.0 / 7, true}, {"plywood, 1 in 6", mu, 1.0 / 6, false},
		{"acrylic, 1 in 4", acrylic, 0.25, true},
		{"acrylic, 1 in 3", acrylic, 1.0 / 3, false},
	} {
		if (Pair{c.slope, c.mu}).Holds() != c.held {
			t.Errorf("%s: held is %t", c.name, !c.held)
		}
	}
	if _, err = Friction("brass"); err == nil {
		t.Error("brass has a friction")
	}
}

// A pair is a machine: what goes in is what comes out and what friction takes, whatever the angle;
// one that is held needs a pull to be freed, and less than it took to be driven.
func TestPairProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mu := rapid.Float64Range(0.05, 0.9).Draw(t, "friction")
		p := Pair{rapid.Float64Range(0.01, 0.5).Draw(t, "slope"), sourced.One(mu, "", sourced.Given, "")}
		n := p.Press(TapN).Least
		// The slope's force R at phi off its normal, the plane's N and mu N: along and across.
		a, phi := p.angle(), math.Atan(mu)
		r := n / math.Cos(a+phi)
		if along := r*math.Sin(a+phi) + mu*n; !near(along, TapN, 1e-9) {
			t.Fatalf("%g N along, pushed by %g", along, TapN)
		}
		if free := p.Loosen(n).Least; p.Holds() && (free <= 0 || free >= TapN) {
			t.Fatalf("driven by %g, freed by %g", TapN, free)
		}
	})
}

// Worked examples of the beam formula from designers' pages: 2.5 thick, bent 2.5 over 15: 0.0416
// (web: ntelab.com); PLA 1.6 thick, bent 0.8 at a strain of 0.025: 8.76 long (web: filamentfeed.com).
func TestFingerFormula(t *testing.T) {
	if got := strain(2.5, 2.5, 15); !near(got, 0.0416, 2e-3) {
		t.Errorf("%g", got)
	}
	if got := strain(1.6, 0.8, 8.76); !near(got, 0.025, 2e-3) {
		t.Errorf("%g", got)
	}
	// By hand: PLA, 10 N at 1 mm, 4.5 high: e 0.008; L (27 x 10/(2 x 3500 x 4.5 x 5.12e-7))^(1/3) =
	// 25.584; t 3.4910, whole lines 3.6; L 3.6 (3500 x 4.5/40)^(1/3) = 26.386; strain 0.0077561.
	f := Print(PLA, 10, 1, 4.5)
	if !near(f.ThickMM, 3.6, 1e-9) || !near(f.LengthMM, 26.386, 1e-4) || !near(f.Strain, 0.0077561, 1e-4) ||
		!near(f.Allowed.Least, 0.008, 1e-9) {
		t.Errorf("%+v", f)
	}
}

func TestFingerProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.SampledFrom([]Plastic{PLA, PETG}).Draw(t, "plastic")
		force, bend := rapid.Float64Range(1, 60).Draw(t, "force"), rapid.Float64Range(0.3, 3).Draw(t, "bend")
		f := Print(of, force, bend, rapid.Float64Range(2, 10).Draw(t, "height"))
		if f.Strain > f.Allowed.Least*(1+1e-9) {
			t.Fatalf("%+v", f)
		}
		// The bar of package beam has shear too: 3 E I/(k G A L^2) = 0.81 (t/L)^2 of the bend.
		bar := beam.Bar{WidthMM: f.HeightMM, HeightMM: f.ThickMM, ModulusMPa: of.ModulusMPa}
		if d := bar.Cantilever(f.LengthMM, force); !near(d, bend*(1+0.81*f.ThickMM*f.ThickMM/f.LengthMM/f.LengthMM), 1e-9) {
			t.Fatalf("%+v is bent by %g", f, d)
		}
	})
}

func TestStrainsAgainstReference(t *testing.T) {
	for _, r := range reference.Rows(t, "materials.csv") {
		if r["property"] != "strain that a spring arm may take" {
			continue
		}
		of := map[string]Plastic{"PLA printed": PLA, "PETG printed": PETG}[r["material"]]
		if want := r["value"]; reference.Number(t, want[:4]) != of.Strain.Least ||
			reference.Number(t, want[5:]) != of.Strain.Most {
			t.Errorf("%s: %s, have %+v", r["material"], want, of.Strain)
		}
	}
}
