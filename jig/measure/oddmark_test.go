package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// A mark that was bumped, or taken for another, is named; the placing without it
// is right.
func TestLocateOddMark(t *testing.T) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	all := namesOf(base.Marks)
	move := geom.Rigid{Angle: 3e-3, Shift: vec(0.4, -0.2)}
	for _, c := range []struct {
		name  string
		spoil func(r []MarkReading)
		odd   string
		near  string
	}{
		{"none", func([]MarkReading) {}, "", ""},
		{"0.3 mm off", func(r []MarkReading) { r[3].At.X += 0.3 }, "dot 7", ""},
		{"another mark measured", func(r []MarkReading) { r[2].At = move.Apply(base.Marks[4].At) }, "dot 5", "dot 9"},
		{"the last one", func(r []MarkReading) { r[7].At.Y -= 0.25 }, "dot 15", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := measure(base, move, rand.New(rand.NewPCG(5, 5)), 0.02, all...)
			c.spoil(r)
			l, err := Locate(r, base)
			if err != nil {
				t.Fatal(err)
			}
			if c.odd == "" {
				if l.Outlier != nil || len(l.Notes) > 0 {
					t.Fatalf("named %+v, notes %v", l.Outlier, l.Notes)
				}
				return
			}
			o := l.Outlier
			if o == nil || o.Name != c.odd || o.Near != c.near || o.Studentised <= o.Limit {
				t.Fatalf("named %+v, want %s near %q", o, c.odd, c.near)
			}
			// Thrice the standard error: 0.02/sqrt 7 mm, 0.02/300 rad.
			if math.Abs(o.Without.AngleRad-move.Angle) > 2e-4 || o.Without.Start.Lies.Dist(move.Apply(base.ToMachine.Apply(vec(0, 0)))) > 0.06 {
				t.Errorf("without it: %+v", o.Without)
			}
			if len(l.Notes) == 0 || !strings.Contains(l.Notes[0].Says, c.odd) {
				t.Errorf("notes %v", l.Notes)
			}
		})
	}
}

// The studentised residual must be that of the definition: the reading against the
// fit of the others, whose covariance and scatter a second fit gives.
func TestStudentisedMarksByLeavingOut(t *testing.T) {
	s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	s.ProbeRadiusMM = 1.5
	r := rand.New(rand.NewPCG(8, 1))
	readings := measure(s, geom.Rigid{Angle: 0.002}, r, 0.05, namesOf(s.Marks)...)
	e := touch(s, geom.Rigid{Angle: 0.002}, OnLeft, 300, 1.5, 20)
	e.At.X += 0.03
	readings = append(readings, e)
	sights, err := s.sights(readings)
	if err != nil {
		t.Fatal(err)
	}
	f, _ := fitRigid(sights)
	got, _ := s.odd(sights, &f)
	for i := range sights {
		others := append(append([]sight{}, sights[:i]...), sights[i+1:]...)
		g, ok := fitRigid(others)
		if !ok {
			t.Fatal("no fit")
		}
		// Covariance of the reading from the others' fit: I + J cov J'.
		j, rest, m := g.jacobian(sights[i]), g.residualOf(sights[i]), sights[i].rows()
		v := mat.NewDense(m, m, nil)
		for a := range m {
			for b := range m {
				x := 0.0
				if a == b {
					x = 1
				}
				for k := range 3 {
					for l := range 3 {
						x += j[a][k] * g.cov[k][l] * j[b][l]
					}
				}
				v.Set(a, b, x)
			}
		}
		res := mat.NewVecDense(m, []float64{rest.X, rest.Y}[:m])
		var sol mat.VecDense
		if err := sol.SolveVec(v, res); err != nil {
			t.Fatal(err)
		}
		want := math.Sqrt(mat.Dot(res, &sol) / float64(m) / (g.sse / float64(g.df)))
		// Leaving out shifts the point of linearisation: second order in 1e-4.
		if math.Abs(got[i]-want) > 1e-3*want {
			t.Errorf("reading %d: %.6f, want %.6f", i, got[i], want)
		}
	}
}

// The scale is reported when it is off by more than its uncertainty, and in no
// more than one set in twenty when it is not.
func TestLocateScale(t *testing.T) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	all := namesOf(base.Marks)
	r := rand.New(rand.NewPCG(2, 9))
	const trials, noise, truth = 2000, 0.02, 1.0005
	var off, held, wrong int
	for range trials {
		readings := measure(base, geom.Rigid{Angle: 1e-3}, r, noise, all...)
		l, err := Locate(readings, base)
		if err != nil {
			t.Fatal(err)
		}
		if l.Scale.Off {
			wrong++
		}
		for i := range readings {
			readings[i].At = readings[i].At.Scale(truth)
		}
		if l, err = Locate(readings, base); err != nil {
			t.Fatal(err)
		}
		if l.Scale.Off {
			off++
		}
		if math.Abs(l.Scale.Factor-truth) <= l.Scale.Half {
			held++
		}
	}
	// 0.0005 is some ten standard errors (0.02/sqrt(sum |p|^2), about 5e-5).
	if off < trials*99/100 {
		t.Errorf("a scale of %g is told in %d of %d sets", truth, off, trials)
	}
	for name, n := range map[string]int{"interval": held, "no false alarm": trials - wrong} {
		// 95 % within 2 %; an outlier named by chance (one set in twenty) shortens
		// the scatter a little.
		if share := float64(n) / trials; math.Abs(share-0.95) > 0.02 {
			t.Errorf("%s: %.2f %%", name, 100*share)
		}
	}
}

func TestLocateFewReadings(t *testing.T) {
	s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	move := geom.Rigid{Angle: 2e-3, Shift: vec(0.3, 0.1)}
	two := measure(s, move, rand.New(rand.NewPCG(3, 3)), 0.02, "dot 3", "dot 15")
	l, err := Locate(two, s)
	if err != nil || l.Uncertainty == nil || l.Uncertainty.Stated || l.Scale == nil || l.Scale.Half >= 0 || l.Scale.Off {
		t.Fatalf("two marks: %+v, scale %+v, %v", l.Placing, l.Scale, err)
	}
	if len(l.Notes) != 1 || !strings.Contains(l.Notes[0].Says, "two marks are enough") {
		t.Errorf("notes %v", l.Notes)
	}
	s.ErrorMM = 0.05
	l, err = Locate(two, s)
	if err != nil || !l.Uncertainty.Stated || l.Scale.Half <= 0 {
		t.Fatalf("two marks and an error: %+v, %v", l.Placing, err)
	}
	// sd angle = sd sqrt 2/295 mm between the marks.
	if want := 0.05 / 1.959964 * math.Sqrt2 / 295; math.Abs(l.Uncertainty.AngleSDRad-want) > 1e-9 {
		t.Errorf("angle's sd %g, want %g", l.Uncertainty.AngleSDRad, want)
	}
	// A distance that the stated error cannot explain: the scatter is believed.
	far := append([]MarkReading{}, two...)
	far[1].At.Y += 0.4
	l, err = Locate(far, s)
	if err != nil || l.Uncertainty.Stated || !l.Scale.Off || len(l.Notes) != 3 || !strings.Contains(l.Notes[0].Says, "more than the stated error") {
		t.Errorf("contradicted: %+v, scale %+v, notes %v, %v", l.Uncertainty, l.Scale, l.Notes, err)
	}
	s.ErrorMM = 0
	one := append(measure(s, move, nil, 0, "peg mark"), touch(s, move, OnLeft, 460, 0, 3))
	l, err = Locate(one, s)
	if err != nil || l.Uncertainty != nil || l.Spare != 0 || l.Scale != nil || len(l.Notes) != 1 || !strings.Contains(l.Notes[0].Says, "just enough") {
		t.Fatalf("a mark and a touch: %+v, notes %v, %v", l.Placing, l.Notes, err)
	}
	twice := append(measure(s, move, nil, 0, "peg mark", "dot 15"), MarkReading{9, "dot 15", move.Apply(s.Marks[7].At).Add(vec(0.02, 0))})
	if l, err = Locate(twice, s); err != nil || len(l.Notes) == 0 || !strings.Contains(l.Notes[0].Says, "measured 2 times") {
		t.Errorf("notes %v, %v", l.Notes, err)
	}
}
