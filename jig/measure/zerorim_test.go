package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
)

// onRim returns touches of a rim.
func onRim(points ...geom.Vec) (out []reading.Reading) {
	for i, p := range points {
		out = append(out, reading.Reading{Line: i + 2, On: reading.OnRim, At: p})
	}
	return out
}

// rim returns touches of a circle at the angles given in degrees.
func rim(c geom.Vec, r float64, degrees ...float64) []reading.Reading {
	var out []geom.Vec
	for _, d := range degrees {
		out = append(out, c.Add(geom.Polar(r, d*math.Pi/180)))
	}
	return onRim(out...)
}

// circleRounding is what a fit of coordinates under a metre loses.
const circleRounding = 1e-9

func rimZero(t *testing.T, p []reading.Reading, s Spec) RimZero {
	t.Helper()
	z, err := ZeroRim(p, s)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// By hand: (5, 0), (0, 5), (-5, 0) lie on the circle about 0 of radius 5; a probe of
// 1 mm radius in a hole makes it 12 across, round a pin 8. With a stated error of
// 0.02 (95 %, so sd 0.02/1.96) the rows are (-1, 0, -1), (0, -1, -1), (1, 0, -1):
// c.X = (p1 - p3)/2, variance 1/2; r = (p1 + p3)/2, variance 1/2; c.Y = p2 - r,
// variance 3/2. So the halves are 0.02 x sqrt(1/2), 0.02 x sqrt(3/2), and for the
// diameter 0.04 x sqrt(1/2).
func TestZeroRimByHand(t *testing.T) {
	p := onRim(vec(105, 200), vec(100, 205), vec(95, 200))
	z := rimZero(t, p, Spec{ProbeRadiusMM: 1, Precision: Precision{ErrorMM: 0.02}})
	if vec(z.XMM, z.YMM).Dist(vec(100, 200)) > circleRounding || math.Abs(z.DiameterMM-12) > circleRounding ||
		math.Abs(z.ArcRad-math.Pi) > circleRounding {
		t.Errorf("%+v", z)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"x", *z.XHalf, 0.02 * math.Sqrt(0.5)}, {"y", *z.YHalf, 0.02 * math.Sqrt(1.5)}, {"worst", *z.WorstHalf,
		0.02 * math.Sqrt(1.5)}, {"diameter", *z.DiameterHalf, 0.04 * math.Sqrt(0.5)}} {
		if math.Abs(c.got-c.want) > circleRounding {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if !z.Stated || z.DF != 0 {
		t.Errorf("%+v", z.Uncertainty)
	}
	if z := rimZero(t, p, Spec{ProbeRadiusMM: 1,
		Outside: true}); math.Abs(z.DiameterMM-8) > circleRounding || z.Uncertainty != nil || z.XHalf != nil {
		t.Errorf("%+v", z)
	}
}

func TestZeroRimExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := vec(rapid.Float64Range(-900, 900).Draw(t, "x"), rapid.Float64Range(-900, 900).Draw(t, "y"))
		r := rapid.Float64Range(0.5, 50).Draw(t, "r")
		from := rapid.Float64Range(0, 360).Draw(t, "from")
		arc := rapid.Float64Range(45, 350).Draw(t, "arc")
		n := rapid.IntRange(3, 12).Draw(t, "n")
		var d []float64
		for i := range n {
			d = append(d, from+arc*float64(i)/float64(n-1))
		}
		z, err := ZeroRim(rim(c, r, d...), Spec{})
		// A short arc magnifies rounding: the sagitta of 45 degrees is r/13.
		if err != nil || vec(z.XMM, z.YMM).Dist(c) > 100*circleRounding || math.Abs(z.DiameterMM-2*r) > 100*circleRounding {
			t.Fatalf("%+v, %v", z, err)
		}
	})
}

// noisyRim touches a rim with normal errors along both axes.
func noisyRim(r *rand.Rand, c geom.Vec, radius, sd float64, degrees ...float64) []reading.Reading {
	p := rim(c, radius, degrees...)
	for i := range p {
		p[i].At = p[i].At.Add(vec(sd*r.NormFloat64(), sd*r.NormFloat64()))
	}
	return p
}

// The second method is gonum's Nelder and Mead over the sum of squares as it is
// defined; it needs no derivatives and shares no code.
func TestZeroRimAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	for range 60 {
		c, radius := vec(40*r.NormFloat64(), 40*r.NormFloat64()), 2+8*r.Float64()
		var at []float64
		arc := 90 + 270*r.Float64()
		for range 4 + r.IntN(8) {
			at = append(at, arc*r.Float64())
		}
		p := noisyRim(r, c, radius, 0.05, append(at, 0, arc)...)
		z := rimZero(t, p, Spec{AccuracyMM: 1}) // no touch is left out
		sum := func(x []float64) (s float64) {
			for _, q := range p {
				e := math.Hypot(q.At.X-x[0], q.At.Y-x[1]) - x[2]
				s += e * e
			}
			return s
		}
		got := []float64{z.XMM, z.YMM, z.DiameterMM / 2}
		best, err := optimize.Minimize(optimize.Problem{Func: sum}, []float64{c.X, c.Y, radius},
			&optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-16, Iterations: 400}}, &optimize.NelderMead{})
		if err != nil {
			t.Fatal(err)
		}
		// The search ends where the sum is flat to its last digits: a few micrometres.
		const flat = 5e-5
		if s := sum(got); s > best.F*(1+1e-9) { // rounding of the sums
			t.Fatalf("sum %g, searched %g", s, best.F)
		}
		for i := range got {
			if math.Abs(got[i]-best.X[i]) > flat {
				t.Fatalf("%v, searched %v", got, best.X)
			}
		}
	}
}

// boards is how many are drawn: enough for a band of one percent in a deep run.
func boards() int {
	if deepTables() {
		return 2000
	}
	return 60
}

// covers holds a share of intervals against 95 %: within two percent and four standard errors of the
// count.
func covers(t *testing.T, what string, held, of int) {
	t.Helper()
	share := float64(held) / float64(of)
	if off := math.Abs(share - 0.95); off > 0.02 && off > 4*math.Sqrt(0.95*0.05/float64(of)) {
		t.Errorf("%s: %d of %d, %.4f, want 0.95", what, held, of, share)
	}
}

// Of rims of which the truth is known the stated interval holds the true centre in 95 of a hundred,
// each way, also when a touch was wrong and was found; and of those that pass, at most one in forty
// has its centre off by more than the limit.
func TestZeroRimBoards(t *testing.T) {
	stated := Precision{ErrorMM: 0.02 * normalFactor(0.95)}
	round := func(n int) (at []float64) {
		for i := range n {
			at = append(at, 10+360*float64(i)/float64(n))
		}
		return at
	}
	for i, c := range []struct {
		name   string
		at     []float64
		wrong  float64 // one touch, outward or inward
		p      Precision
		drawn  float64 // known diameter; 0: not
		passes bool    // most do
	}{
		{"six all round", round(6), 0, Precision{}, 0, true},
		{"five over 150 degrees", []float64{0, 40, 75, 110, 150}, 0, Precision{}, 0, false},
		{"twelve over 200 degrees", []float64{0, 18, 36, 55, 73, 91, 109, 127, 145, 164, 182, 200}, 0, Precision{}, 0, true},
		{"three, stated error", round(3), 0, stated, 0, false},
		{"three, stated error, known diameter", round(3), 0, stated, 8, true},
		{"three over half a turn: the middle one is not told by the diameter", []float64{0, 90, 180}, 0, stated, 8, false},
		{"three, one wrong", round(3), 0.3, stated, 8, false},
		{"four, one wrong", round(4), 0.3, Precision{}, 8, false},
		{"four, stated error, one wrong", round(4), 0.3, stated, 0, false},
		{"five, one wrong", round(5), 0.3, Precision{}, 0, false},
		{"five, stated error, one wrong", round(5), 0.3, stated, 0, false},
		{"five, one wrong by little", round(5), 0.15, Precision{}, 0, false},
		{"six, one wrong", round(6), 0.3, Precision{}, 8, false},
		{"eight, one wrong", round(8), 0.3, Precision{}, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(22, uint64(i)))
			const limit = 0.12
			var passed, off, stated int
			var held [3]int
			for range boards() {
				p := noisyRim(r, vec(30, -70), 4, 0.02, c.at...)
				if k := r.IntN(len(p)); c.wrong > 0 {
					p[k].At = p[k].At.Add(geom.Polar(math.Copysign(c.wrong, r.Float64()-0.5), c.at[k]*math.Pi/180))
				}
				z := rimZero(t, p, Spec{Precision: c.p, AccuracyMM: limit, DiameterMM: c.drawn, DiameterErrorMM: 0.05})
				if z.WorstHalf != nil {
					stated++
					for k, q := range [][3]float64{{z.XMM, 30, *z.XHalf}, {z.YMM, -70, *z.YHalf},
						{z.DiameterMM, 8, *z.DiameterHalf}} {
						if math.Abs(q[0]-q[1]) <= q[2] {
							held[k]++
						}
					}
				}
				if z.Outlier == nil && z.Unlike == "" && z.WorstHalf != nil && *z.WorstHalf <= limit && z.UnguardedMM <= limit {
					passed++
					if vec(z.XMM, z.YMM).Dist(vec(30, -70)) > limit {
						off++
					}
				}
			}
			t.Logf("passed %d, wrongly %d, stated %d, held %v", passed, off, stated, held)
			if float64(off) > 0.025*float64(boards()) || passed > boards()*9/10 != c.passes {
				t.Errorf("%d passed, %d wrongly", passed, off)
			}
			for k := range held {
				if stated > boards()/4 && (c.wrong == 0 || c.wrong > 2*limit) { // a small slip hides in the scatter
					covers(t, fmt.Sprintf("figure %d", k), held[k], stated)
				}
			}
		})
	}
}

func TestZeroRimOddPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 1))
	p := noisyRim(r, vec(10, 20), 3, 0.005, 0, 45, 90, 135, 180, 225, 270, 315)
	p[2].At = p[2].At.Add(vec(0, 0.4))
	z := rimZero(t, p, Spec{})
	if o := z.Outlier; o == nil || o.Line != 4 || math.Abs(o.OffMM-0.4) > 0.03 ||
		vec(z.XMM, z.YMM).Dist(vec(10, 20)) > 0.02 {
		t.Errorf("%+v", o)
	}
}

func TestZeroRimRefused(t *testing.T) {
	good := rim(vec(0, 0), 3, 0, 90, 180, 270)
	for _, c := range []struct {
		name string
		p    []reading.Reading
		s    Spec
		says string
	}{
		{"none", nil, Spec{}, "0 different points"},
		{"two alike", onRim(vec(1, 1), vec(2, 2), vec(1, 1)), Spec{}, "2 different points"},
		{"on a line", onRim(vec(1, 1), vec(2, 2), vec(5, 5), vec(9, 9)), Spec{}, "0 degrees"},
		{"short arc", rim(vec(0, 0), 3, 0, 10, 20), Spec{}, "20 degrees"},
		{"probe round nothing", good, Spec{ProbeRadiusMM: 4, Outside: true}, "did it stand inside"},
		{"inches", rim(vec(0, 0), 3/units.MMPerInch, 0, 90, 180), Spec{DiameterMM: 6}, "inches"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ZeroRim(c.p, c.s)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v", err)
			}
		})
	}
}

func TestZeroMethods(t *testing.T) {
	want := map[string]float64{"kept": 0, "pin": 0.02, "edge finder": 0.03, "paper": 0.05, "eye": 0.15}
	got := ZeroMethods()
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, m := range got {
		if h, ok := want[m.Name]; !ok || h != m.HalfMM || m.How == "" || m.Source == "" || i > 0 &&
			m.HalfMM < got[i-1].HalfMM {
			t.Errorf("%+v", m)
		}
	}
	got[0].HalfMM = 9
	if ZeroMethods()[0].HalfMM != 0 {
		t.Error("the table can be written to")
	}
}
