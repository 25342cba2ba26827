package measure

import (
	"flag"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/verdict"
)

// TestCorrelatedFit: a fit of correlated readings is the generalised least-squares one, by the
// whole matrix of correlations.
//
//	x = (X' V^-1 X)^-1 X' V^-1 y
func TestCorrelatedFit(t *testing.T) {
	s, r := bouzouki(longX), rand.New(rand.NewPCG(1, 2))
	g := s.gather(spoiled(s, lay(s, []string{reading.OnRight, reading.OnLeft}, 3e-4, 0, vec(0, 0.1), 300, 20, 110, 460, 200), 0.02, r))
	const rho = 0.7
	f, ok := g.lay(laying{dropped: -1, terms: []term{slopeTerm}, rho: rho})
	if !ok {
		t.Fatal("no fit")
	}
	n := len(g.x)
	x, v := mat.NewDense(n, 3, nil), mat.NewSymDense(n, nil)
	for i := range n {
		x.Set(i, g.run[i], 1)
		x.Set(i, 2, g.x[i])
		for j := range i + 1 {
			if g.run[i] == g.run[j] {
				v.SetSym(i, j, math.Pow(rho, math.Abs(g.x[i]-g.x[j])/g.apart))
			}
		}
	}
	var inverse, xv, xvx, xvy, want mat.Dense
	if err := inverse.Inverse(v); err != nil {
		t.Fatal(err)
	}
	xv.Mul(x.T(), &inverse)
	xvx.Mul(&xv, x)
	xvy.Mul(&xv, mat.NewVecDense(n, g.y))
	if err := want.Solve(&xvx, &xvy); err != nil {
		t.Fatal(err)
	}
	for k, got := range f.x {
		if math.Abs(got-want.At(k, 0)) > 1e-9 {
			t.Errorf("unknown %d: %.12g, want %.12g", k, got, want.At(k, 0))
		}
	}
	if d := math.Log(mat.Det(v)); math.Abs(f.logV-d) > 1e-9 {
		t.Errorf("log det %.12g, want %.12g", f.logV, d)
	}
}

// TestBoundBow: a board that cannot bow is fitted straight, one that can bow as it likes by what the
// readings tell, and one in between lies between.
func TestBoundBow(t *testing.T) {
	s, r := bouzouki(longX), rand.New(rand.NewPCG(3, 4))
	readings := spoiled(s, bend(s, lay(s, []string{reading.OnDatum}, 0, 0, vec(0, 0), 15, 80, 150, 220, 300), 0.05), 0.01, r)
	slope := func(bow float64) float64 {
		s.BowMM = bow
		f, _, ok := s.gather(readings).bound(laying{dropped: -1, terms: []term{slopeTerm}}, true)
		if !ok {
			t.Fatal("no fit")
		}
		return f.x[1]
	}
	g := s.gather(readings)
	straight, _ := g.fit(-1, slopeTerm)
	free, _ := g.fit(-1, slopeTerm, bowTerm)
	if got := slope(1e-6); math.Abs(got-straight.x[1]) > 1e-8 {
		t.Errorf("stiff: %g, want %g", got, straight.x[1])
	}
	if got := slope(1e4); math.Abs(got-free.x[1]) > 1e-8 {
		t.Errorf("soft: %g, want %g", got, free.x[1])
	}
	if got := slope(0.05); (got-straight.x[1])*(got-free.x[1]) >= 0 {
		t.Errorf("between: %g of %g and %g", got, straight.x[1], free.x[1])
	}
}

// deepTables reports the long mode: more checks than the property tests' hundred, by RAPID_CHECKS
// or by -rapid.checks.
func deepTables() bool {
	n, _ := strconv.Atoi(flag.Lookup("rapid.checks").Value.String())
	return n > 100
}

// TestDatumTables: boards whose truth is known, with a bow, one edge, a part of the length, scatter in
// waves. The intervals hold the truth in 93 to 97 %, and of the boards whose direction and place are
// good one in forty has a feature farther off than the accuracy, at most.
func TestDatumTables(t *testing.T) {
	even := func(n int, from, to float64) (at []float64) {
		for i := range n {
			at = append(at, from+(to-from)*float64(i)/float64(n-1))
		}
		return at
	}
	both, one := []string{reading.OnLeft, reading.OnRight}, []string{reading.OnRight}
	always := func(*rand.Rand) float64 { return 0.05 }
	spread := func(r *rand.Rand) float64 { return 0.05 / 1.96 * r.NormFloat64() }
	for _, c := range []struct {
		name    string
		edges   []string
		at      []float64
		sd, rho float64
		bow     func(*rand.Rand) float64 // nil: none
		widthMM float64
	}{
		{"whole length", both, even(6, 12, 466), 0.02, 0, nil, 0.02},
		{"part length, bow always 0.05", both, even(6, 15, 300), 0.02, 0, always, 0.02},
		{"part length, bow spread", both, even(6, 15, 300), 0.02, 0, spread, 0.02},
		{"part length, one edge, bow always 0.05", one, even(8, 15, 300), 0.015, 0, always, 0.02},
		{"one edge", one, even(9, 12, 466), 0.008, 0, nil, 0.02},
		{"one edge, 3", one, []float64{12, 240, 466}, 0.012, 0, nil, 0.02},
		{"one edge, 20", one, even(20, 12, 466), 0.02, 0, nil, 0.02},
		{"one edge, 20, waves", one, even(20, 12, 466), 0.015, 0.8, nil, 0.02},
		{"both edges, 40, waves", both, even(40, 12, 466), 0.015, 0.8, nil, 0.02},
	} {
		t.Run(c.name, func(t *testing.T) {
			trials := 30
			if deepTables() {
				trials = 2000
			}
			r := rand.New(rand.NewPCG(12, uint64(len(c.name))))
			s := bouzouki(longX)
			s.BowMM, s.WidthErrorMM, s.Stations, s.ToleranceMM = 0.05, c.widthMM, []float64{88, 240, 330, 470}, 0.088
			const accuracy = 0.1
			var angle, offset, wrong share
			for range trials {
				turn, aside, bow := 0.19/478*(2*r.Float64()-1), 0.1*(2*r.Float64()-1), 0.0
				if c.bow != nil {
					bow = c.bow(r)
				}
				wider := s
				wider.WidthStartMM += c.widthMM / 1.96 * r.NormFloat64()
				wider.WidthEndMM += c.widthMM / 1.96 * r.NormFloat64()
				readings := bend(s, lay(wider, c.edges, turn, 0, vec(0, aside), c.at...), bow)
				last := 0.0
				for i := range readings {
					if last = c.rho*last + math.Sqrt(1-c.rho*c.rho)*r.NormFloat64(); i%len(c.at) == 0 {
						last = r.NormFloat64()
					}
					readings[i].At = readings[i].At.Add(geom.Vec{Y: c.sd * last})
				}
				rep, err := CheckDatum(readings, s)
				if err != nil {
					t.Fatal(err)
				}
				angle.add(math.Abs(rep.AngleRad-turn) <= *rep.AngleHalf)
				offset.add(math.Abs(*rep.OffsetMM-aside) <= *rep.OffsetHalf)
				if rep.Verdict == verdict.Good && rep.Place.Judge(s.ToleranceMM).IsGood() && rep.Outlier == nil {
					over := false
					for _, u := range s.Stations {
						over = over || math.Abs(aside+math.Tan(turn)*u+4*bow*u/478*(1-u/478)) > accuracy
					}
					wrong.add(over)
				}
			}
			tol := 3 * math.Sqrt(0.05*0.95/float64(trials))
			t.Logf("angle %.1f, offset %.1f %%; %d called good, %d wrongly", 100*angle.part(), 100*offset.part(), wrong.n,
				wrong.held)
			for name, is := range map[string]share{"angle": angle, "offset": offset} {
				if is.part() < 0.93-tol || is.part() > 0.97+tol {
					t.Errorf("%s: the interval held the truth in %.1f %% of %d boards", name, 100*is.part(), is.n)
				}
			}
			if n := float64(wrong.n); float64(wrong.held) > 0.025*n+3*math.Sqrt(0.025*n)+1 {
				t.Errorf("%d of %d boards called good are not", wrong.held, wrong.n)
			}
		})
	}
}
