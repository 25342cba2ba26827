package height

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/reading"
)

// By hand, on a crown of 300 mm: at v = 12 a point stands 300 - sqrt(90000 - 144) =
// 0.240096 under the datum line; a flat cutter of 6 mm meets the crown at v = 9, 300 -
// sqrt(90000 - 81) = 0.135030; a ball of 3 mm radius at v = 12 is 303 - sqrt(91809 -
// 144) = 0.237717 lower than on the datum line. Over paper of 0.1 at z = -20 the datum
// line is at -20.1 and that.
func TestTopByHand(t *testing.T) {
	touch := []reading.Reading{{Line: 2, On: reading.OnTop, At: vec(200, -12), ZMM: -20, FeelerMM: 0.1},
		{On: reading.OnLeft}}
	const digit = 1e-6 // of the figures above
	for _, c := range []struct {
		name string
		s    measure.Spec
		want float64
	}{
		{"flat board", measure.Spec{}, -20.1},
		{"point", measure.Spec{CrownRadiusMM: 300}, -19.859904},
		{"flat cutter", measure.Spec{CrownRadiusMM: 300, FlatMM: 6}, -19.964970},
		{"wide cutter over the datum line", measure.Spec{CrownRadiusMM: 300, FlatMM: 30}, -20.1},
		{"ball", measure.Spec{CrownRadiusMM: 300, BallMM: 6}, -19.862283},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.s.WidthStartMM = 50
			z, err := Zero(touch, Spec{Spec: c.s})
			if err != nil || !near(z.ZMM, c.want, 2*digit) || z.Half != nil || len(z.Touches) != 1 || z.Touches[0].VMM != -12 {
				t.Errorf("%+v, %v", z, err)
			}
		})
	}
	// Slope at 12: 12/sqrt(89856) = 0.0400320; place good to 0.5: 0.020016; feeler 0.01;
	// stated 0.02 for the one touch: root of squares 0.0300.
	z, err := Zero(touch, Spec{Spec: measure.Spec{WidthStartMM: 50, CrownRadiusMM: 300, FeelerErrorMM: 0.01,
		AcrossErrorMM: 0.5,
		Precision:     measure.Precision{ErrorMM: 0.02}}})
	if err != nil || !near(z.AcrossHalf, 0.020016, 2*digit) || !near(*z.Half, math.Sqrt(0.0004+0.0001+0.020016*0.020016),
		2*digit) {
		t.Errorf("%+v, %v", z, err)
	}
	// Touched at the same distance on both sides, the place's error drops out.
	both := append(touch, reading.Reading{On: reading.OnTop, At: vec(200, 12), ZMM: -20, FeelerMM: 0.1})
	z, err = Zero(both, Spec{Spec: measure.Spec{WidthStartMM: 50, CrownRadiusMM: 300, AcrossErrorMM: 0.5}})
	if err != nil || z.AcrossHalf != 0 {
		t.Errorf("%+v, %v", z, err)
	}
}

// The tip comes down until it meets the crown: searched over 4000 places of the tip,
// with no formula for the contact.
func TestTopAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	for range 200 {
		s := measure.Spec{WidthStartMM: 60, CrownRadiusMM: 150 + 300*r.Float64()}
		half := 0.0
		switch r.IntN(3) {
		case 1:
			s.FlatMM = 1 + 8*r.Float64()
			half = s.FlatMM / 2
		case 2:
			s.BallMM = 1 + 6*r.Float64()
			half = s.BallMM / 2
		}
		v := 25 * (2*r.Float64() - 1)
		rest := math.Inf(-1) // of the tip's lowest point, over the datum line
		for i := range 4001 {
			x := half * (float64(i)/2000 - 1)
			under := 0.0 // of the tip at x over its lowest point
			if s.BallMM > 0 {
				under = half - math.Sqrt(half*half-x*x)
			}
			crown := math.Sqrt(s.CrownRadiusMM*s.CrownRadiusMM-(v+x)*(v+x)) - s.CrownRadiusMM
			rest = math.Max(rest, crown-under)
		}
		z, err := Zero([]reading.Reading{{On: reading.OnTop, At: vec(100, v), ZMM: rest}}, Spec{Spec: s})
		if err != nil || math.Abs(z.ZMM) > 2e-6 { // the search's spacing
			t.Fatalf("%+v at %g: %+v, %v", s, v, z, err)
		}
	}
}

func TestTopCoverage(t *testing.T) {
	const trials = 2000
	band := 4 * math.Sqrt(0.95*0.05/trials)
	r := rand.New(rand.NewPCG(42, 1))
	s := measure.Spec{WidthStartMM: 60, CrownRadiusMM: 300, FeelerErrorMM: 0.01, AcrossErrorMM: 0.4,
		Precision: measure.Precision{ErrorMM: 0.02}}
	limit, hit := distuv.UnitNormal.Quantile(0.975), 0
	for range trials {
		feeler, across := 0.01/limit*r.NormFloat64(), 0.4/limit*r.NormFloat64()
		v := 14.0
		top := -drop300(v + across)
		z, err := Zero([]reading.Reading{{On: reading.OnTop, At: vec(50, v), ZMM: 7 + top + 0.1 + feeler +
			0.02/limit*r.NormFloat64(),
			FeelerMM: 0.1}}, Spec{Spec: s})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(z.ZMM-7) <= *z.Half {
			hit++
		}
	}
	if share := float64(hit) / trials; math.Abs(share-0.95) > band {
		t.Errorf("%.4f, want 0.95 +- %.4f", share, band)
	}
}

func drop300(v float64) float64 { return 300 - math.Sqrt(90000-v*v) }

func TestTopRefused(t *testing.T) {
	s := measure.Spec{WidthStartMM: 40, WidthEndMM: 50, CrownRadiusMM: 300, FlatMM: 3}
	for _, c := range []struct {
		touches []reading.Reading
		says    string
	}{
		{[]reading.Reading{{Line: 3, On: reading.OnTop, At: vec(0, 30)}, {Line: 4, On: reading.OnTop}},
			"lines [3] lie [30] mm from the datum line, beyond 25 mm"},
		{nil, "no touch of the top"},
	} {
		if _, err := Zero(c.touches, Spec{Spec: s}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v; want %q", err, c.says)
		}
	}
}

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// near reports whether got is within half a unit of the last printed digit.
func near(got, want, digit float64) bool { return math.Abs(got-want) <= digit/2*(1+1e-9) }
