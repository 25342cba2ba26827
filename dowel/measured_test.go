package dowel

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestMeasured(t *testing.T) {
	for _, c := range []struct {
		name     string
		readings []float64
		min, max float64
	}{
		{"one reading: the micrometer's error", []float64{5.998}, 5.996, 6.000},
		{"two readings: themselves and the micrometer's error", []float64{5.998, 6.000}, 5.996, 6.002},
		{"no spread: the micrometer's error", []float64{5.998, 5.998, 5.998}, 5.996, 6.000},
		// s = 0.001, t(4) = 2.776, sqrt(1.2) = 1.0954: +-0.00304, to half a micrometre.
		{"five readings", []float64{5.996, 5.998, 5.997, 5.996, 5.998}, 5.994, 6.000},
		// s = 0.002, t(2) = 4.303, sqrt(4/3) = 1.1547: +-0.00994.
		{"three readings", []float64{5.996, 5.998, 6.000}, 5.988, 6.008},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Measured(6, c.readings)
			if err != nil {
				t.Fatal(err)
			}
			if !near(p.MinMM, c.min, asPrinted) || !near(p.MaxMM, c.max, asPrinted) || p.SDMM <= 0 {
				t.Errorf("%.5f to %.5f, sd %.5f; want %g to %g", p.MinMM, p.MaxMM, p.SDMM, c.min, c.max)
			}
		})
	}
}

func TestMeasuredErrors(t *testing.T) {
	_, err := Measured(6, []float64{5.998, 6.5, 5.999, math.NaN()})
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok || len(joined.Unwrap()) != 2 {
		t.Fatalf("want both bad readings: %v", err)
	}
	if !strings.HasPrefix(err.Error(), "reading 2, 6.5 mm, is 0.5 mm off") {
		t.Error(err)
	}
	if _, err := Measured(6, []float64{5.8, 6.2, 6}); err == nil ||
		!strings.Contains(err.Error(), "standard deviation of 0.200 mm") {
		t.Errorf("readings of no one batch: %v", err)
	}
	if _, err := Measured(6, nil); err == nil {
		t.Error("no readings are taken")
	}
	for _, d := range []float64{0, -1, math.NaN(), math.Inf(1), 60} {
		if _, err := Measured(d, []float64{6}); err == nil {
			t.Errorf("nominal %g is taken", d)
		}
	}
}

// The limits hold 95 % of further pins of the batch, by simulation.
func TestMeasuredCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	const runs = 20000
	in := 0
	for range runs {
		readings := make([]float64, 5)
		for i := range readings {
			readings[i] = 6 + 0.010*rng.NormFloat64() // so wide that the micrometer's floor is out of it
		}
		p, err := Measured(6, readings)
		if err != nil {
			t.Fatal(err)
		}
		if d := 6 + 0.010*rng.NormFloat64(); p.MinMM <= d && d <= p.MaxMM {
			in++
		}
	}
	// 20 000 runs have a standard error of 0.0015; four of them.
	if share := float64(in) / runs; math.Abs(share-0.95) > 0.006 {
		t.Errorf("the limits hold %.4f of further pins, want 0.95", share)
	}
}

func TestMeasuredHoldsItsReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := rapid.SliceOfN(rapid.Float64Range(5.95, 6.05), 1, 40).Draw(t, "readings")
		p, err := Measured(6, readings)
		if err != nil {
			t.Skip("of no one batch")
		}
		for _, v := range readings {
			if v < p.MinMM-asPrinted || v > p.MaxMM+asPrinted {
				t.Fatalf("%g outside %g to %g", v, p.MinMM, p.MaxMM)
			}
		}
	})
}
