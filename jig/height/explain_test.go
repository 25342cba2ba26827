package height

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"reseat/jig/measure"
	"reseat/jig/reading"
)

// touched is the face of a board of 480 mm touched along its datum line, evenly from 20 to 460.
func touched(heights ...float64) (out []reading.Reading) {
	for i, h := range heights {
		u := 240.0
		if n := len(heights); n > 1 {
			u = 20 + 440*float64(i)/float64(n-1)
		}
		out = append(out, reading.Reading{Line: i + 2, On: reading.OnTop, At: vec(u, 0), ZMM: 12.1 + h, FeelerMM: 0.1})
	}
	return out
}

// inlaid is a board with inlays to depth at four stations, good to 0.15 mm.
func inlaid() Spec {
	return Spec{Spec: measure.Spec{LengthMM: 480, WidthStartMM: 40, WidthEndMM: 50, AccuracyMM: 0.15}, BedMM: 6,
		Places: []Place{{"a", 60}, {"b", 180}, {"c", 300}, {"d", 420}}}
}

func faulted(z Top) string {
	s := ""
	for _, t := range z.Touches {
		if t.Fault != "" {
			s += fmt.Sprintf("%d %s ", t.Line, t.Fault)
		}
	}
	return s
}

// What leaves less of the scatter is believed, and what cannot be told apart is said so.
func TestExplained(t *testing.T) {
	for _, c := range []struct {
		name    string
		heights []float64
		shape   Shape
		faults  string
		passes  bool // the guards
	}{
		{"flat", []float64{0, 0.01, -0.01, 0.005, 0}, Flat, "", true},
		{"three that agree", []float64{0, 0.01, -0.005}, Flat, "", true},
		{"two that agree: a bow is not seen", []float64{0, 0.005}, Flat, "", false},
		{"one", []float64{0}, Flat, "", false},
		{"three, the middle one high: wild, or a bow", []float64{0, 0.5, 0.01}, Unknown, "3 odd ", false},
		{"three, the last one high", []float64{0, 0.01, 0.5}, Unknown, "4 odd ", false},
		{"two that differ", []float64{0, 0.5}, Unknown, "2 odd 3 odd ", false},
		{"five, one high", []float64{0.01, 0, 0.5, -0.01, 0}, Flat, "4 wild ", true},
		{"five, the end one low", []float64{-0.5, 0, 0.01, -0.01, 0}, Flat, "2 wild ", true},
		{"eight, one high", []float64{0.01, 0, 0.5, -0.01, 0, 0.01, -0.01, 0}, Flat, "4 wild ", true},
		{"bowed", []float64{0, 0.3, 0.4, 0.3, 0}, Bow, "", true},
		{"bowed, seen by four", []float64{0, 0.355, 0.357, 0}, Bow, "", false},
		{"bowed a little: every feature within the accuracy", []float64{0, 0.072, 0.101, 0.077, 0.002}, Bow, "", true},
		{"one end high", []float64{0, 0.08, 0.148, 0.226, 0.3}, Slope, "", true},
		{"bowed, and one wild", []float64{0, 0.224, 0.36, 0.406, 0.86, 0.22, 0.004}, Bow, "6 wild ", true},
		{"two wild", []float64{0, 0.5, 0.01, -0.01, -0.4}, Unknown, "2 odd 3 odd 4 odd 5 odd 6 odd ", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			z, err := Zero(touched(c.heights...), inlaid())
			if err != nil || z.Shape != c.shape || faulted(z) != c.faults {
				t.Fatalf("%s, %q, %v", z.Shape, faulted(z), err)
			}
			if passes := z.UnguardedMM <= 0.15; passes != c.passes || !passes && len(z.AddMM) == 0 {
				t.Errorf("unguarded by %.3f, add at %v", z.UnguardedMM, z.AddMM)
			}
			if (z.Half == nil) != (z.Shape == Unknown || len(c.heights) == 1) {
				t.Errorf("half %v", z.Half)
			}
		})
	}
}

// By hand: a parabola that stands 0.4 over its ends at 0 and 480 falls by 0.4 (2u/480 - 1)^2: at the
// features by 0.225, 0.025, 0.025 and 0.225, so that Z zero lies 0.1 below the inner ones and above
// the outer ones. What the job says of it is taken out first.
func TestBowByHand(t *testing.T) {
	fall := func(u float64) float64 { x := 2*u/480 - 1; return 0.4 * x * x }
	touches := touched(0, 0, 0, 0, 0)
	for i := range touches {
		touches[i].ZMM -= fall(touches[i].At.X)
	}
	z, err := Zero(touches, inlaid())
	if err != nil || !near(*z.BowMM, 0.4, 1e-6) || !near(*z.SlopeMM, 0, 1e-6) || !near(z.ZMM, 12-0.125, 1e-6) {
		t.Fatalf("%+v, %v", z, err)
	}
	for i, want := range []float64{-0.1, 0.1, 0.1, -0.1} {
		if f := z.Features[i]; !near(f.DeeperMM, want, 1e-6) || !near(f.ZMM, z.ZMM+want, 1e-6) {
			t.Errorf("%+v, want %g", f, want)
		}
	}
	s := inlaid()
	s.FallMM = fall
	if z, err := Zero(touches, s); err != nil || z.Shape != Flat || !near(z.ZMM, 12, 1e-6) || z.Features != nil {
		t.Errorf("known already: %+v, %v", z, err)
	}
}

// Touches that no board could give are named, with what was meant.
func TestImpossible(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func([]reading.Reading)
		feeler float64 // its stated error
		faults string
		meant  float64 // by line 3
	}{
		{"point a place to the left", func(r []reading.Reading) { r[1].ZMM = 1.211 }, 0, "3 below ", 12.11},
		{"point a place to the right", func(r []reading.Reading) { r[1].ZMM = 121.1 }, 0, "3 far ", 12.11},
		{"two digits exchanged", func(r []reading.Reading) { r[1].ZMM = 21.11 }, 0, "3 far ", 12.11},
		{"another sign", func(r []reading.Reading) { r[1].ZMM = -12.1 }, 0, "3 below ", 12.1},
		{"three low, over the bed", func(r []reading.Reading) { r[1].ZMM -= 3 }, 0, "3 far ", 0},
		{"just uneven", func(r []reading.Reading) { r[1].ZMM -= 1.9 }, 0, "3 wild ", 0},
		{"a feeler of 10", func(r []reading.Reading) { r[1].FeelerMM = 10 }, 0, "3 slip ", 0.1},
		{"a feeler of 0.01", func(r []reading.Reading) { r[1].FeelerMM = 0.01 }, 0.02, "3 slip ", 0.1},
		{"two kinds of paper", func(r []reading.Reading) { r[1].FeelerMM, r[1].ZMM = 0.3, r[1].ZMM+0.2 }, 0, "", 0},
		{"a touch plate", func(r []reading.Reading) {
			for i := range r {
				r[i].FeelerMM = 10
			}
		}, 0.02, "", 0},
		{"ten everywhere", func(r []reading.Reading) {
			for i := range r {
				r[i].FeelerMM = 10
			}
		}, 0, "2 thick 3 thick 4 thick 5 thick 6 thick ", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, s := touched(0, 0.01, 0, -0.01, 0), inlaid()
			s.FeelerErrorMM = c.feeler
			c.change(r)
			z, err := Zero(r, s)
			if err != nil || faulted(z) != c.faults || !near(z.Touches[1].MeantMM, c.meant, 1e-9) {
				t.Errorf("%q, meant %g, %v", faulted(z), z.Touches[1].MeantMM, err)
			}
		})
	}
}

// boards is how many are drawn: enough for the band in a deep run.
func boards() int {
	if n, _ := strconv.Atoi(os.Getenv("RAPID_CHECKS")); n > 100 {
		return 2000
	}
	return 40
}

// Boards of which the truth is known: the stated intervals hold it in 93 to 97 of a hundred, also
// when one touch was wild and was found; and of those that pass, at most one in forty has a feature
// that really lies off Z zero by more than the accuracy.
func TestBoards(t *testing.T) {
	for i, c := range []struct {
		name            string
		n               int
		sd, wild, bow   float64
		slope, accuracy float64
		covers          bool // whether Z, slope and bow are stated for what is there
	}{
		{"three", 3, 0.01, 0, 0, 0, 0.15, true},
		{"five, coarse", 5, 0.02, 0, 0, 0, 0.15, true},
		{"eight, one wild", 8, 0.01, 0.5, 0, 0, 0.15, true},
		{"five, one wild", 5, 0.01, 0.5, 0, 0, 0.15, true},
		{"three, one wild", 3, 0.01, 0.5, 0, 0, 0.15, false},
		{"three, one wild by little", 3, 0.01, 0.25, 0, 0, 0.1, false},
		{"four, one wild", 4, 0.01, 0.3, 0, 0, 0.1, false},
		{"five, bowed", 5, 0.01, 0, 0.4, 0, 0.1, true},
		{"eight, bowed about as much as may be", 8, 0.01, 0, 0.38, 0, 0.1, true},
		{"three, bowed", 3, 0.01, 0, 0.3, 0, 0.1, false},
		{"six, askew", 6, 0.01, 0, 0, 0.4, 0.1, true},
		{"eight, bowed and one wild", 8, 0.01, 0.5, 0.3, 0, 0.15, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(51, uint64(i)))
			s := inlaid()
			s.AccuracyMM = c.accuracy
			lies := func(u float64) float64 { x := 2*u/480 - 1; return 12 + c.slope*x/2 - c.bow*x*x }
			passed, wrong := 0, 0
			var stated, held [3]int
			for range boards() {
				odd, way := r.IntN(c.n), math.Copysign(c.wild, r.Float64()-0.5)
				touches := touched(make([]float64, c.n)...)
				for k := range touches {
					touches[k].ZMM += lies(touches[k].At.X) - 12 + c.sd*r.NormFloat64()
					if k == odd {
						touches[k].ZMM += way
					}
				}
				z, err := Zero(touches, s)
				if err != nil {
					t.Fatal(err)
				}
				// Z zero is held for what its shape makes it: the mean, or the middle of the features.
				truth := 12.0
				if z.Shape == Bow || z.Shape == Slope {
					high, low := math.Inf(-1), math.Inf(1)
					for _, f := range s.Places {
						high, low = math.Max(high, lies(f.UMM)), math.Min(low, lies(f.UMM))
					}
					truth = (high + low) / 2
				}
				for k, q := range []struct {
					got, half *float64
					want      float64
				}{{&z.ZMM, z.Half, truth}, {z.SlopeMM, z.SlopeHalf, c.slope}, {z.BowMM, z.BowHalf, c.bow}} {
					if q.half != nil {
						stated[k]++
						if math.Abs(*q.got-q.want) <= *q.half {
							held[k]++
						}
					}
				}
				if z.Half == nil || faulted(z) != "" || *z.Half > c.accuracy || z.UnguardedMM > c.accuracy {
					continue
				}
				passed++
				for _, f := range s.Places {
					if math.Abs(lies(f.UMM)-z.ZMM) > c.accuracy {
						wrong++
						break
					}
				}
			}
			n := float64(boards())
			t.Logf("passed %d, wrong %d, stated %v, held %v", passed, wrong, stated, held)
			if float64(wrong) > 0.025*n {
				t.Errorf("%d of %d passed wrongly", wrong, boards())
			}
			for k := range stated {
				// Two percent, and four standard errors of the count.
				if share, m := float64(held[k])/float64(stated[k]), float64(stated[k]); c.covers && m > n/4 &&
					math.Abs(share-0.95) > math.Max(0.02, 4*math.Sqrt(0.95*0.05/m)) {
					t.Errorf("figure %d: %.4f of %d", k, share, stated[k])
				}
			}
		})
	}
}
