package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/verdict"
)

// The worked example of TestDatumWorkedExample, taken further by hand.
//
//	leverage of the middle reading 1/5: e^2/(1 - h) = 1e-4/0.8 = 1.25e-4
//	s_(i)^2 = (1.5e-4 - 1.25e-4)/2 = 1.25e-5, t = -0.01/sqrt(0.8 x 1.25e-5) = -sqrt 10
//	limit t(2, 1 - 0.05/10) = 9.92484 (Student's table)
//	bow: column 0 0.75 1 0.75 0, from its mean -0.5 0.25 0.5 0.25 -0.5, sum of squares 0.875,
//	with v from its mean -0.05 -0.02 -0.01 0.03 0.05: sum -0.0025, sagitta -0.0025/0.875
//	SSE 1.5e-4 - 0.0025^2/0.875 = 1.4285714e-4, df 2, half = 4.302653 sqrt(7.142857e-5/0.875) = 0.0388748
func TestVerdictWorkedExample(t *testing.T) {
	var r []reading.Reading
	for i, v := range []float64{0.01, 0.04, 0.05, 0.09, 0.11} {
		r = append(r, reading.Reading{Line: i + 2, On: reading.OnDatum, At: vec(100*float64(i), v)})
	}
	spec := Spec{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 50, ToleranceMM: 0.05}
	rep, err := CheckDatum(r, spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"studentised", rep.Residuals[2].Studentised, -math.Sqrt(10), 1e-9},
		{"sagitta", rep.Bow.SagittaMM, -0.0025 / 0.875, 1e-12},
		{"sagitta's half width", *rep.Bow.Half, 0.0388748, 1e-7},
		{"angle's half width", *rep.AngleHalf, 0.0284647 / 400, 1e-9},
		// offset 0.01: s sqrt(1/5 + 200^2/1e5) = 7.0710678e-3 x 0.7745967, times 3.182446
		{"offset's half width", *rep.OffsetHalf, 0.0174310, 1e-6},
		{"turn of the program", rep.ProgramRad, math.Atan(2.5e-4), 1e-15},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s = %.9g, want %.9g", c.name, c.got, c.want)
		}
	}
	if rep.Verdict != verdict.OutOfTolerance || rep.Outlier != nil || rep.Bow.Significant || rep.Edges != nil {
		t.Errorf("verdict %s, outlier %+v, bow %+v, edges %+v", rep.Verdict, rep.Outlier, rep.Bow, rep.Edges)
	}
	// 0.1 +- 0.0284647: parallel within 0.13, not within 0.07, neither in between.
	for _, c := range []struct {
		tolerance, confidence float64
		want                  verdict.Word
	}{
		{0.13, 0, verdict.Good},
		{0.12, 0, verdict.Inconclusive},
		{0.08, 0, verdict.Inconclusive},
		{0.07, 0, verdict.OutOfTolerance},
		// t(3, 90 %) two-sided = 2.353363: half width 0.0210491
		{0.1211, 0.90, verdict.Good},
		{0.1209, 0.90, verdict.Inconclusive},
	} {
		spec.ToleranceMM, spec.Confidence = c.tolerance, c.confidence
		rep, err := CheckDatum(r, spec)
		if err != nil || rep.Verdict != c.want {
			t.Errorf("tolerance %g at %g: %s, %v; want %s", c.tolerance, c.confidence, rep.Verdict, err, c.want)
		}
	}
}

// Two readings leave nothing to judge by, unless an error is stated.
func TestVerdictFromStatedError(t *testing.T) {
	s := bouzouki(longY)
	r := lay(s, []string{reading.OnLeft}, 1e-5, 0, vec(0, 0), 14, 464)
	rep, err := CheckDatum(r, s)
	if err != nil || rep.Verdict != verdict.Inconclusive || rep.Uncertainty != nil || rep.RunoutHalf != nil {
		t.Errorf("nothing known: %+v, %v", rep, err)
	}
	s.ErrorMM = 0.03
	rep, err = CheckDatum(r, s)
	if err != nil || rep.Verdict != verdict.Good || !rep.Stated {
		t.Fatalf("0.03 stated: %s, %+v, %v", rep.Verdict, rep.Uncertainty, err)
	}
	// sqrt 2 x 0.03 over 450 mm along the edge, taken to 478 mm.
	cos := math.Cos(math.Atan(6.75 / 478))
	if want := math.Sqrt2 * 0.03 / 450 * cos * 478; math.Abs(*rep.RunoutHalf-want) > 1e-5 {
		t.Errorf("half width %g, want %g", *rep.RunoutHalf, want)
	}
}

// spoiled returns readings with normal noise across the board.
func spoiled(s Spec, readings []reading.Reading, noise float64, r *rand.Rand) []reading.Reading {
	o := s.ToMachine.Apply(geom.Vec{})
	for i := range readings {
		readings[i].At = readings[i].At.Add(s.ToMachine.Apply(vec(0, noise*r.NormFloat64())).Sub(o))
	}
	return readings
}

// The stated interval of angle, offset, bow and taper holds the truth in 95 % of
// 10 000 seeded boards, within 2 %; random stations, edges, angles and widths.
// A verdict that is wrong comes in 2.5 % of them at most: only one end of the
// interval can be on the wrong side.
func TestDatumCoverage(t *testing.T) {
	const trials, bound = 1500, 0.02
	r := rand.New(rand.NewPCG(2026, 6))
	var angle, offset, bow, twist, widthFar share
	var wrong, told share
	for range trials {
		s := bouzouki([]geom.Rigid{longX, longY, {Mirror: true}}[r.IntN(3)])
		s.ToleranceMM = 0.05
		edges := [][]string{{reading.OnDatum}, {reading.OnLeft}, {reading.OnRight}, {reading.OnLeft, reading.OnRight}, {reading.OnRight, reading.OnDatum}}[r.IntN(5)]
		stations := []float64{5 + 40*r.Float64(), 430 + 40*r.Float64()}
		for range 2 + r.IntN(6) {
			stations = append(stations, 478*r.Float64())
		}
		noise := 0.01 + 0.03*r.Float64()
		truth := 3e-4 * r.NormFloat64()
		extra := 0.0
		if len(edges) == 2 {
			extra = 0.2 * r.NormFloat64()
		}
		off := 0.3 * r.NormFloat64()
		rep, err := CheckDatum(spoiled(s, lay(s, edges, truth, extra, vec(0, off), stations...), noise, r), s)
		if err != nil {
			t.Fatal(err)
		}
		if s.ToMachine.Mirror {
			truth, off = -truth, -off
		}
		angle.add(math.Abs(rep.AngleRad-truth) <= *rep.AngleHalf)
		if len(edges) != 2 || edges[1] == reading.OnDatum {
			// Across edges the offset is of the job's width.
			offset.add(math.Abs(*rep.OffsetMM-off) <= *rep.OffsetHalf)
		}
		if rep.Bow != nil {
			bow.add(math.Abs(rep.Bow.SagittaMM) <= *rep.Bow.Half)
		}
		if e := rep.Edges; e != nil {
			twist.add(math.Abs(e.TwistRad) <= *e.TwistHalf)
			widthFar.add(math.Abs(*e.WidthFarMM-extra) <= *e.WidthFarHalf)
		}
		out := math.Tan(math.Abs(truth))*s.LengthMM > s.ToleranceMM
		wrong.add(rep.Verdict == verdict.Good && out || rep.Verdict == verdict.OutOfTolerance && !out)
		told.add(rep.Verdict != verdict.Inconclusive)
	}
	for _, c := range []struct {
		name string
		is   share
	}{{"angle", angle}, {"offset", offset}, {"bow", bow}, {"twist", twist}, {"width at the far end", widthFar}} {
		t.Logf("%s: %.2f %% of %d", c.name, 100*c.is.part(), c.is.n)
		if math.Abs(c.is.part()-0.95) > bound {
			t.Errorf("%s: the interval held the truth in %.2f %% of %d boards", c.name, 100*c.is.part(), c.is.n)
		}
	}
	t.Logf("verdict: told %.1f %%, wrong %.2f %%", 100*told.part(), 100*wrong.part())
	if wrong.part() > 0.025 {
		t.Errorf("%.2f %% of the verdicts are wrong", 100*wrong.part())
	}
	if told.part() < 0.3 {
		t.Errorf("only %.1f %% of the boards got a verdict", 100*told.part())
	}
}

// share counts how often something held.
type share struct{ held, n int }

func (s *share) add(ok bool) {
	s.n++
	if ok {
		s.held++
	}
}

func (s share) part() float64 { return float64(s.held) / float64(s.n) }

// bend bows readings in the board frame: sagitta at the middle of the board, to
// the left positive.
func bend(s Spec, readings []reading.Reading, sagitta float64) []reading.Reading {
	o, back := s.ToMachine.Apply(geom.Vec{}), s.ToMachine.Inverse()
	for i := range readings {
		u := back.Apply(readings[i].At).X
		d := vec(0, 4*sagitta*u*(s.LengthMM-u)/s.LengthMM/s.LengthMM)
		readings[i].At = readings[i].At.Add(s.ToMachine.Apply(d).Sub(o))
	}
	return readings
}

// A bow is told from a slope, on any line of the board, and does not turn into
// one: the angle is the chord's even when the readings lie on one half mostly.
func TestBowToldFromSlope(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 10))
	uneven := []float64{8, 60, 110, 170, 220, 260, 470}
	for _, c := range []struct {
		name    string
		machine geom.Rigid
		edges   []string
		sagitta float64
		sign    float64 // seen from above
	}{
		{"datum line to the left", longX, []string{reading.OnDatum}, 0.3, 1},
		{"datum line to the right, long axis y", longY, []string{reading.OnDatum}, -0.3, 1},
		{"both edges", longY, []string{reading.OnLeft, reading.OnRight}, 0.3, 1},
		{"turned over", geom.Rigid{Mirror: true}, []string{reading.OnLeft, reading.OnRight}, 0.3, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := bouzouki(c.machine)
			const angle = 4e-4
			rep, err := CheckDatum(spoiled(s, bend(s, lay(s, c.edges, angle, 0, vec(0, 0), uneven...), c.sagitta), 0.01, r), s)
			if err != nil {
				t.Fatal(err)
			}
			if rep.Bow == nil || !rep.Bow.Significant || math.Abs(rep.Bow.SagittaMM-c.sign*c.sagitta) > 0.04 ||
				rep.Outlier != nil {
				t.Fatalf("bow %+v, outlier %+v", rep.Bow, rep.Outlier)
			}
			for i, x := range rep.Residuals {
				u := x.StationMM
				if want := x.ResidualMM + rep.Bow.SagittaMM*4*u*(478-u)/478/478; math.Abs(x.FromLineMM-want) > 1e-3 {
					t.Errorf("reading %d lies %g from the chord, want %g", i, x.FromLineMM, want)
				}
			}
			// Three standard errors: some 0.01 mm over 450 mm.
			if math.Abs(rep.AngleRad-c.sign*angle) > 1e-4 {
				t.Errorf("angle %g, want %g", rep.AngleRad, c.sign*angle)
			}
		})
	}
	t.Run("a straight board is called bowed in one of twenty, or less", func(t *testing.T) {
		s := bouzouki(longY)
		var bowed share
		for range 600 {
			rep, err := CheckDatum(spoiled(s, lay(s, []string{reading.OnLeft, reading.OnRight}, 0, 0, vec(0, 0), uneven...), 0.02, r), s)
			if err != nil {
				t.Fatal(err)
			}
			bowed.add(rep.Bow.Significant)
		}
		if bowed.part() > 0.06 || bowed.part() < 0.01 {
			t.Errorf("%.2f %%", 100*bowed.part())
		}
	})
}

// A board whose taper is not the job's: no angle comes of it though the right
// edge was read in other places, and the difference is told.
func TestTwistBetweenEdges(t *testing.T) {
	true_ := bouzouki(longY)
	true_.WidthStartMM, true_.WidthEndMM = 41.5, 55.6 // 0.6 mm wider at the far end than the job says
	s := bouzouki(longY)
	r := append(lay(true_, []string{reading.OnLeft}, 0, 0, vec(0, 0), 10, 100, 200, 300, 400, 470), lay(true_, []string{reading.OnRight},
		0, 0, vec(0, 0), 200, 300, 380, 470)...)
	rep, err := CheckDatum(spoiled(s, r, 0.01, rand.New(rand.NewPCG(1, 1))), s)
	if err != nil {
		t.Fatal(err)
	}
	e := rep.Edges
	if e == nil || !e.Twisted || !e.TaperFitted || e.WidthFarMM == nil || math.Abs(*e.WidthFarMM-0.6) > 0.05 ||
		math.Abs(*e.WidthStartMM) > 0.06 ||
		math.Abs(e.TwistRad-0.6/478) > 1.5e-4 {
		t.Fatalf("edges %+v", e)
	}
	if rep.RunoutMM > 0.05 {
		t.Errorf("runout %.3f mm from a wrong taper", rep.RunoutMM)
	}
}

// The reading that does not belong is named, with its side and by how much, and
// the answer is given with and without it.
func TestOutlierNamed(t *testing.T) {
	for _, c := range []struct {
		name    string
		machine geom.Rigid
		edges   []string
		at      int
		by      float64 // to the left, board frame
		sign    float64
	}{
		{"datum line, middle", longX, []string{reading.OnDatum}, 2, 0.4, 1},
		{"datum line, end", longY, []string{reading.OnDatum}, 0, -0.4, 1},
		{"both edges", longY, []string{reading.OnLeft, reading.OnRight}, 9, 0.3, 1},
		{"turned over", geom.Rigid{Mirror: true}, []string{reading.OnLeft, reading.OnRight}, 3, 0.3, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := bouzouki(c.machine)
			r := spoiled(s, lay(s, c.edges, 0, 0, vec(0, 0), 10, 100, 190, 280, 370, 465), 0.008, rand.New(rand.NewPCG(2, 7)))
			r[c.at].At = r[c.at].At.Add(s.ToMachine.Apply(vec(0, c.by)).Sub(s.ToMachine.Apply(vec(0, 0))))
			rep, err := CheckDatum(r, s)
			if err != nil {
				t.Fatal(err)
			}
			o := rep.Outlier
			if o == nil || o.Line != r[c.at].Line || math.Abs(o.OffMM-c.sign*c.by) > 0.04 ||
				math.Abs(o.Studentised) <= o.Limit {
				t.Fatalf("named %+v", o)
			}
			if !o.LeftOut || rep.RunoutMM > 0.03 || rep.Verdict != verdict.Good {
				t.Errorf("without it %+v", rep)
			}
			if rep.Bow != nil && rep.Bow.Significant {
				t.Errorf("taken for a bow %+v", rep.Bow)
			}
		})
	}
	t.Run("good readings have one named in a twentieth of the sets", func(t *testing.T) {
		s, rnd := bouzouki(longY), rand.New(rand.NewPCG(6, 6))
		var named share
		for range 600 {
			rep, err := CheckDatum(spoiled(s, lay(s, []string{reading.OnLeft, reading.OnRight}, 0, 0, vec(0, 0), 10, 100, 190, 280, 370, 465),
				0.02, rnd), s)
			if err != nil {
				t.Fatal(err)
			}
			named.add(rep.Outlier != nil)
		}
		if named.part() > 0.06 || named.part() < 0.03 {
			t.Errorf("%.2f %%", 100*named.part())
		}
	})
	t.Run("readings that agree to the digit condemn none", func(t *testing.T) {
		s := Spec{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 40, ToleranceMM: 0.05}
		var r []reading.Reading
		for i, d := range []float64{0, 0, 0, 0.01, 0} {
			r = append(r, reading.Reading{Line: i + 2, On: reading.OnLeft, At: vec(100*float64(i), d), Dial: true})
		}
		rep, err := CheckDatum(r, s)
		if err != nil || rep.Outlier != nil || rep.Verdict != verdict.Good {
			t.Errorf("%+v, %v", rep, err)
		}
	})
}
