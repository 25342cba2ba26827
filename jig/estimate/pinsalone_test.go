package estimate

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"reseat/jig/calibration"
	"reseat/jig/coupon"
)

// A drill or a reamer too small for a caliper: 24 answers of the pin in holes of three sizes tell
// what a pin finds. The worlds: a mean, a taper and a spread each drawn evenly (invented), holes
// one by one, the answer by the narrowest diameter and the air of the hand.
func TestPinsAlone(t *testing.T) {
	for _, c := range []struct {
		by                  string
		steps               [3]float64
		bias, taper, spread float64 // most, either way; most of the spread's 95 %
		half                float64 // most of the interval's half width, in the median
	}{
		{"drill", [3]float64{-0.1, 0, 0.1}, 0.07, 0.05, 0.12, 0.06},
		{"ream", [3]float64{0, 0.02, 0.05}, 0.02, 0.02, 0.02, 0.03},
	} {
		in, worlds := 0, deep(1, 100)
		wide := 0
		for seed := range worlds {
			w := rand.New(rand.NewPCG(uint64(seed), 7))
			even := func(a, b float64) float64 { return a + (b-a)*w.Float64() }
			bias, taper, spread := even(-c.bias, c.bias), even(-c.taper, c.taper), even(0.2, 1)*c.spread
			pin, air, band := even(4.004, 4.012), even(0, 0.01), even(0.005, 0.02)
			truth := bias - max(taper, -taper)/2
			var rows []coupon.Row
			for i := range 24 {
				r := coupon.Row{ID: fmt.Sprintf("H%02d", i+1), Kind: coupon.Hole, DrawnMM: 4 + c.steps[i%3], Enters: coupon.No}
				if room := r.DrawnMM + truth + spread/1.96*w.NormFloat64() - pin - air; room > 0 {
					r.Enters = coupon.Passes
				} else if room > -band {
					r.Enters = coupon.Tight
				}
				rows = append(rows, r)
			}
			res, err := Process(rows, Options{By: c.by, ThicknessMM: 6, PinMinMM: 4.004, PinMaxMM: 4.012})
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range res.Quantities {
				if q.Key == calibration.Edge {
					t.Errorf("%s has an edge", c.by)
				}
				if q.Key != calibration.PinSize {
					continue
				}
				if q.Low <= truth && truth <= q.High {
					in++
				}
				if (q.High-q.Low)/2 > c.half {
					wide++
				}
			}
		}
		t.Logf("%s: pin size holds %d of %d; %d wider than +-%g", c.by, in, worlds, wide, c.half)
		if in < worlds*9/10 || wide > worlds/2 {
			t.Errorf("%s: pin size holds %d of %d; %d wider than +-%g", c.by, in, worlds, wide, c.half)
		}
	}
}
