package measure

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

// By hand, on a crown of 300 mm: at v = 12 a point stands 300 - sqrt(90000 - 144) =
// 0.240096 under the datum line; a flat cutter of 6 mm meets the crown at v = 9, 300 -
// sqrt(90000 - 81) = 0.135030; a ball of 3 mm radius at v = 12 is 303 - sqrt(91809 -
// 144) = 0.237717 lower than on the datum line. Over paper of 0.1 at z = -20 the datum
// line is at -20.1 and that.
func TestZeroZByHand(t *testing.T) {
	touch := []ZeroTouch{{Line: 2, Kind: TouchTop, At: vec(200, -12), ZMM: -20, FeelerMM: 0.1}, {Kind: TouchLeft}}
	const digit = 1e-6 // of the figures above
	for _, c := range []struct {
		name string
		s    TopSpec
		want float64
	}{
		{"flat board", TopSpec{}, -20.1},
		{"point", TopSpec{CrownRadiusMM: 300}, -19.859904},
		{"flat cutter", TopSpec{CrownRadiusMM: 300, FlatMM: 6}, -19.964970},
		{"wide cutter over the datum line", TopSpec{CrownRadiusMM: 300, FlatMM: 30}, -20.1},
		{"ball", TopSpec{CrownRadiusMM: 300, BallMM: 3}, -19.862283},
	} {
		t.Run(c.name, func(t *testing.T) {
			z, err := ZeroZ(touch, c.s)
			if err != nil || !near(z.ZMM, c.want, 2*digit) || z.Uncertainty != nil || len(z.Touches) != 1 || z.Touches[0].VMM != -12 {
				t.Errorf("%+v, %v", z, err)
			}
		})
	}
	// Slope at 12: 12/sqrt(89856) = 0.0400320; place good to 0.5: 0.020016; feeler 0.01;
	// stated 0.02 for the one touch: root of squares 0.0300.
	z, err := ZeroZ(touch, TopSpec{CrownRadiusMM: 300, FeelerErrorMM: 0.01, AcrossErrorMM: 0.5, Precision: Precision{ErrorMM: 0.02}})
	if err != nil || !near(z.Uncertainty.AcrossMM, 0.020016, 2*digit) || !near(z.Uncertainty.HalfMM, math.Sqrt(0.0004+0.0001+0.020016*0.020016), 2*digit) {
		t.Errorf("%+v, %v", z.Uncertainty, err)
	}
	// Touched at the same distance on both sides, the place's error drops out.
	both := append(touch, ZeroTouch{Kind: TouchTop, At: vec(200, 12), ZMM: -20, FeelerMM: 0.1})
	z, err = ZeroZ(both, TopSpec{CrownRadiusMM: 300, AcrossErrorMM: 0.5})
	if err != nil || z.Uncertainty.AcrossMM != 0 {
		t.Errorf("%+v, %v", z.Uncertainty, err)
	}
}

// The tip comes down until it meets the crown: searched over 4000 places of the tip,
// with no formula for the contact.
func TestZeroZAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	for range 200 {
		s := TopSpec{CrownRadiusMM: 150 + 300*r.Float64()}
		half := 0.0
		switch r.IntN(3) {
		case 1:
			s.FlatMM = 1 + 8*r.Float64()
			half = s.FlatMM / 2
		case 2:
			s.BallMM = 0.5 + 3*r.Float64()
			half = s.BallMM
		}
		v := 25 * (2*r.Float64() - 1)
		rest := math.Inf(-1) // of the tip's lowest point, over the datum line
		for i := range 4001 {
			x := half * (float64(i)/2000 - 1)
			under := 0.0 // of the tip at x over its lowest point
			if s.BallMM > 0 {
				under = s.BallMM - math.Sqrt(s.BallMM*s.BallMM-x*x)
			}
			crown := math.Sqrt(s.CrownRadiusMM*s.CrownRadiusMM-(v+x)*(v+x)) - s.CrownRadiusMM
			rest = math.Max(rest, crown-under)
		}
		z, err := ZeroZ([]ZeroTouch{{Kind: TouchTop, At: vec(100, v), ZMM: rest}}, s)
		if err != nil || math.Abs(z.ZMM) > 2e-6 { // the search's spacing
			t.Fatalf("%+v at %g: %+v, %v", s, v, z, err)
		}
	}
}

func TestZeroZCoverage(t *testing.T) {
	const trials = 2000
	band := 4 * math.Sqrt(0.95*0.05/trials)
	r := rand.New(rand.NewPCG(42, 1))
	s := TopSpec{CrownRadiusMM: 300, FeelerErrorMM: 0.01, AcrossErrorMM: 0.4, Precision: Precision{ErrorMM: 0.02, ResolutionMM: 0.0001}}
	limit, hit := normalLimit(0.95), 0
	for range trials {
		feeler, across := 0.01/limit*r.NormFloat64(), 0.4/limit*r.NormFloat64()
		v := 14.0
		top := -drop300(v + across)
		z, err := ZeroZ([]ZeroTouch{{Kind: TouchTop, At: vec(50, v), ZMM: 7 + top + 0.1 + feeler + 0.02/limit*r.NormFloat64(), FeelerMM: 0.1}}, s)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(z.ZMM-7) <= z.Uncertainty.HalfMM {
			hit++
		}
	}
	if share := float64(hit) / trials; math.Abs(share-0.95) > band {
		t.Errorf("%.4f, want 0.95 +- %.4f", share, band)
	}
}

func drop300(v float64) float64 { return 300 - math.Sqrt(90000-v*v) }

func TestZeroZRefused(t *testing.T) {
	_, err := ZeroZ([]ZeroTouch{{Line: 3, Kind: TouchTop, At: vec(0, 30)}, {Line: 4, Kind: TouchTop, At: vec(0, 0), ZMM: math.NaN()}},
		TopSpec{CrownRadiusMM: 300, WidthMM: 50, FlatMM: 3, BallMM: 1, AcrossErrorMM: -1, ToMachine: geom.Rigid{}})
	var b *BesideError
	if !errors.As(err, new(*InputError)) || !errors.As(err, &b) || b.Lines[0] != 3 {
		t.Errorf("%v", err)
	}
	if _, err := ZeroZ(nil, TopSpec{}); !errors.As(err, new(*NoTouchError)) {
		t.Errorf("%v", err)
	}
}
