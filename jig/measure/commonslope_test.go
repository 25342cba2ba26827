package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The fit against the same problem written out with one column per run and solved
// by gonum's QR: coefficients, offsets, leverages, sum of squares, standard errors.
func TestSharedFitAgainstQR(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	worst := 0.0
	for range 500 {
		runs := 2 + r.IntN(3)
		s := &samples{side: []float64{1, -1, 0, 1}[:runs], length: 478}
		for i := range 8 + r.IntN(20) {
			k := i % runs
			s.x, s.run = append(s.x, 478*r.Float64()), append(s.run, k)
			s.y = append(s.y, 0.3*float64(k)+1e-3*s.x[i]+0.1*r.NormFloat64())
		}
		want := [][]term{{slopeTerm}, {slopeTerm, taperTerm}, {slopeTerm, bowTerm}, {slopeTerm, taperTerm, bowTerm}}[r.IntN(4)]
		f, ok := s.fit(want...)
		if !ok {
			t.Fatal("no fit")
		}
		n, p := len(s.x), runs+len(want)
		a := mat.NewDense(n, p, nil)
		for i := range s.x {
			a.Set(i, s.run[i], 1)
			for j, w := range want {
				a.Set(i, runs+j, s.column(w, i))
			}
		}
		y := mat.NewVecDense(n, append([]float64{}, s.y...))
		var qr mat.QR
		qr.Factorize(a)
		var beta mat.VecDense
		if err := qr.SolveVecTo(&beta, false, y); err != nil {
			t.Fatal(err)
		}
		var ata, inv, fitted mat.Dense
		ata.Mul(a.T(), a)
		if err := inv.Inverse(&ata); err != nil {
			t.Fatal(err)
		}
		compare := func(what string, got, want, size float64) {
			d := math.Abs(got-want) / size
			worst = math.Max(worst, d)
			// The explicit normal equations lose digits: condition some 1e6.
			if d > 1e-8 {
				t.Fatalf("%s: %.12g, want %.12g", what, got, want)
			}
		}
		fitted.Mul(a, &beta)
		var sse float64
		for i := range s.x {
			e := s.y[i] - fitted.At(i, 0)
			sse += e * e
			compare("residual", f.residual[i], e, 1)
			row := a.RowView(i)
			compare("leverage", f.leverage[i], mat.Inner(row, &inv, row), 1)
		}
		compare("sum of squares", f.sse, sse, sse)
		for k := range runs {
			v, se := f.value(figure{offsets: map[int]float64{k: 1}})
			compare("offset", v, beta.AtVec(k), 1)
			compare("offset's error", se, math.Sqrt(inv.At(k, k)), 1)
		}
		for j, w := range want {
			g := figure{}
			g.coef[w] = 1
			v, se := f.value(g)
			ref := math.Sqrt(inv.At(runs+j, runs+j))
			compare("coefficient", v, beta.AtVec(runs+j), ref)
			compare("its error", se, ref, ref)
		}
		// A mixed figure: left offset less right offset plus the taper over the board.
		g, w := figure{offsets: map[int]float64{0: 1, 1: -1}}, mat.NewVecDense(p, nil)
		w.SetVec(0, 1)
		w.SetVec(1, -1)
		g.coef[want[0]] = 3
		w.SetVec(runs, 3)
		v, se := f.value(g)
		compare("mixed figure", v, mat.Dot(w, &beta), 1)
		compare("its error", se, math.Sqrt(mat.Inner(w, &inv, w)), 1)
		if f.df != n-p {
			t.Fatalf("%d degrees of freedom, want %d", f.df, n-p)
		}
	}
	t.Logf("largest relative deviation %.2g", worst)
}

// Terms that the stations cannot tell apart are refused, not fitted to noise.
func TestSharedFitRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		s    samples
		want []term
	}{
		{"one station", samples{x: []float64{5, 5, 5}, y: []float64{1, 2, 3}, run: []int{0, 0, 0}, side: []float64{0}}, []term{slopeTerm}},
		{"taper from one edge", samples{x: []float64{0, 5, 9, 12}, y: []float64{1, 2, 3, 4}, run: []int{0, 0, 0, 0}, side: []float64{1}}, []term{slopeTerm, taperTerm}},
		{"taper from the datum line", samples{x: []float64{0, 5, 9, 12}, y: []float64{1, 2, 3, 4}, run: []int{0, 0, 0, 0}, side: []float64{0}}, []term{slopeTerm, taperTerm}},
		{"bow from two stations", samples{x: []float64{0, 400, 0, 400}, y: []float64{1, 2, 3, 4}, run: []int{0, 0, 0, 0}, side: []float64{0}}, []term{slopeTerm, bowTerm}},
		{"too few", samples{x: []float64{0, 400}, y: []float64{1, 2}, run: []int{0, 0}, side: []float64{0}}, []term{slopeTerm, bowTerm}},
	} {
		c.s.length = 478
		if f, ok := c.s.fit(c.want...); ok {
			t.Errorf("%s: fitted %+v", c.name, f)
		}
	}
}

// The studentised residual against its definition: the point's distance from the
// fit of the others, in parts of that distance's own standard deviation.
func TestStudentisedByLeavingOut(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	s := &samples{side: []float64{1, -1}, length: 478}
	for i := range 11 {
		s.x, s.run = append(s.x, 478*r.Float64()), append(s.run, i%2)
		s.y = append(s.y, 1e-3*s.x[i]+0.1*r.NormFloat64())
	}
	f, _ := s.fit(slopeTerm, taperTerm)
	got, limit, ok := Precision{}.studentised(&f)
	if !ok {
		t.Fatal("none")
	}
	for i := range s.x {
		g, ok := s.without(i).fit(slopeTerm, taperTerm)
		if !ok {
			t.Fatal("no fit")
		}
		at := figure{offsets: map[int]float64{s.run[i]: 1}, coef: [terms]float64{slopeTerm: s.x[i], taperTerm: s.side[s.run[i]] * s.x[i]}}
		v, se := g.value(at)
		want := (s.y[i] - v) / math.Sqrt(1+se*se) / math.Sqrt(g.sse/float64(g.df))
		if math.Abs(got[i]-want) > 1e-9 { // ten digits of a figure of some units
			t.Errorf("point %d: %.12g, want %.12g", i, got[i], want)
		}
	}
	// t(6, 1 - 0.05/22) = 4.3536 between the table's t(6, 99.75 %) = 4.3168 and
	// t(6, 99.9 %) = 5.2076 (Student's table).
	if limit < 4.3168 || limit > 5.2076 {
		t.Errorf("limit %g", limit)
	}
}
