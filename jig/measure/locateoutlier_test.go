package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// A mark that was bumped, or taken for another, is named; the pose without it
// is right.
func TestLocateOddMark(t *testing.T) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	all := namesOf(base.Marks)
	move := geom.Rigid{Angle: 3e-3, Shift: vec(0.4, -0.2)}
	for _, c := range []struct {
		name  string
		spoil func(r []reading.Reading)
		odd   string
		near  string
	}{
		{"none", func([]reading.Reading) {}, "", ""},
		{"0.3 mm off", func(r []reading.Reading) { r[3].At.X += 0.3 }, "dot 7", ""},
		{"another mark measured", func(r []reading.Reading) { r[2].At = move.Apply(base.ToMachine.Apply(base.Marks[4].At)) },
			"dot 5", "dot 9"},
		{"the last one", func(r []reading.Reading) { r[7].At.Y -= 0.25 }, "dot 15", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := measure(base, move, rand.New(rand.NewPCG(5, 5)), 0.02, all...)
			c.spoil(r)
			l, err := Locate(r, base)
			if err != nil {
				t.Fatal(err)
			}
			if c.odd == "" {
				if l.Outlier != nil {
					t.Fatalf("named %+v", l.Outlier)
				}
				return
			}
			o := l.Outlier
			if o == nil || o.Name != c.odd || o.Near != c.near || o.Studentised <= o.Limit {
				t.Fatalf("named %+v, want %s near %q", o, c.odd, c.near)
			}
			// Thrice the standard error: 0.02/sqrt 7 mm, 0.02/300 rad.
			if math.Abs(o.Without.AngleRad-move.Angle) > 2e-4 ||
				o.Without.Places[0].Lies.Dist(move.Apply(base.ToMachine.Apply(vec(0, 0)))) > 0.06 {
				t.Errorf("without it: %+v", o.Without)
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
	e := touch(s, geom.Rigid{Angle: 0.002}, reading.OnLeft, 300, 1.5, 20)
	e.At.X += 0.03
	readings = append(readings, e)
	obs, err := s.observations(readings)
	if err != nil {
		t.Fatal(err)
	}
	var rows []int
	for _, o := range obs {
		rows = append(rows, o.rows())
	}
	f, _ := fitPose(obs)
	got, _ := s.studentised(&f.fit, rows)
	for i, o := range obs {
		g, ok := fitPose(append(append([]observation{}, obs[:i]...), obs[i+1:]...))
		if !ok {
			t.Fatal("no fit")
		}
		// Covariance of the reading from the others' fit: I + J cov J', by contrasts, whose
		// variances give the covariances too.
		j, e := g.linear(o), g.residualOf(o)
		se := func(w [poseUnknowns]float64) float64 {
			_, s := g.contrast(w[:3]...)
			return s * s
		}
		a, d := 1+se(j[0]), 1+se(j[1])
		var sum [poseUnknowns]float64
		for k := range sum {
			sum[k] = j[0][k] + j[1][k]
		}
		b := (se(sum) - (a - 1) - (d - 1)) / 2
		drop := (e.X*e.X*d - 2*e.X*e.Y*b + e.Y*e.Y*a) / (a*d - b*b)
		if o.edge() {
			drop = e.X * e.X / a
		}
		want := math.Sqrt(drop / float64(o.rows()) / (g.sse / float64(g.df)))
		// Leaving out shifts the point of linearisation: second order in 1e-4.
		if math.Abs(math.Abs(got[i])-want) > 1e-3*want {
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
	const trials, noise, truth = 1000, 0.02, 1.0005
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
		if math.Abs(l.Scale.Factor-truth) <= *l.Scale.Half {
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
	if err != nil || l.Uncertainty == nil || l.Stated || l.Pose.DF != 1 || l.Scale == nil || l.Scale.Half != nil ||
		l.Scale.Off {
		t.Fatalf("two marks: %+v, scale %+v, %v", l.Pose, l.Scale, err)
	}
	s.ErrorMM = 0.05
	l, err = Locate(two, s)
	if err != nil || !l.Stated || l.Scale.Half == nil || l.Contradicted {
		t.Fatalf("two marks and an error: %+v, %v", l.Pose, err)
	}
	// The angle's half width: 0.05 sqrt 2/295 mm between the marks.
	if want := 0.05 * math.Sqrt2 / 295; math.Abs(*l.AngleHalf-want) > 1e-8 {
		t.Errorf("angle's half width %g, want %g", *l.AngleHalf, want)
	}
	// A distance that the stated error cannot explain: the scatter is believed.
	far := append([]reading.Reading{}, two...)
	far[1].At.Y += 0.4
	if l, err = Locate(far, s); err != nil || l.Stated || !l.Scale.Off || !l.Contradicted {
		t.Errorf("contradicted: %+v, scale %+v, %v", l.Uncertainty, l.Scale, err)
	}
	s.ErrorMM = 0
	one := append(measure(s, move, nil, 0, "peg mark"), touch(s, move, reading.OnLeft, 460, 0, 3))
	if l, err = Locate(one, s); err != nil || l.Uncertainty != nil || l.AngleHalf != nil || l.Pose.DF != 0 ||
		l.Scale != nil {
		t.Fatalf("a mark and a touch: %+v, %v", l.Pose, err)
	}
	twice := append(measure(s, move, nil, 0, "peg mark", "dot 15"), reading.Reading{Line: 9, On: "dot 15",
		At: move.Apply(s.ToMachine.Apply(s.Marks[7].At)).Add(vec(0.02, 0))})
	if l, err = Locate(twice, s); err != nil || len(l.Repeats) != 1 || l.Repeats[0].On != "dot "+
		"15" || l.Repeats[0].Lines[1] != 9 {
		t.Errorf("%+v, %v", l.Repeats, err)
	}
}
