package reliable

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// scatter judges by the scatter alone, by Student's factor for many readings.
func scatter(sse float64, df int, leastSD float64) float64 {
	if df < 1 {
		return math.Inf(1)
	}
	return 2 * math.Max(leastSD, math.Sqrt(sse/float64(df)))
}

// fitted draws marks and touches, and returns them with the residuals of their fit; x is the fit.
func fitted(rows [][3]float64, b []float64) (x [3]float64, off []float64, cov *mat.Dense) {
	a := mat.NewDense(len(rows), 3, nil)
	for i, r := range rows {
		a.SetRow(i, r[:])
	}
	var n, w, v mat.Dense
	n.Mul(a.T(), a)
	w.Mul(a.T(), mat.NewDense(len(b), 1, b))
	if v.Solve(&n, &w) != nil {
		return x, nil, nil
	}
	cov = new(mat.Dense)
	if cov.Inverse(&n) != nil {
		return x, nil, nil
	}
	for i := range 3 {
		x[i] = v.At(i, 0)
	}
	for i, r := range rows {
		off = append(off, b[i]-dot(r, x))
	}
	return x, off, cov
}

// Without a reading, the pose must be that of a fit of the others: every distance, by fitting anew.
func TestGuardedByFittingAnew(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for range 200 {
		var rows [][3]float64
		var b []float64
		var sizes []int
		for range 4 + r.IntN(3) {
			p := geom.Vec{X: 200 * r.NormFloat64(), Y: 20 * r.NormFloat64()}
			m := [][3]float64{{-p.Y, 1, 0}, {p.X, 0, 1}}
			if r.IntN(3) == 0 {
				m = m[:1] // a touch
			}
			sizes = append(sizes, len(m))
			for _, row := range m {
				rows, b = append(rows, row), append(b, 0.02*r.NormFloat64())
			}
		}
		x, off, cov := fitted(rows, b)
		if len(rows) < 7 || cov == nil {
			continue
		}
		s := Spec{Half: scatter, LeastSD: 0.01}
		for range 5 {
			s.Places = append(s.Places, geom.Vec{X: 200 * r.NormFloat64(), Y: 10 * r.NormFloat64()})
		}
		at := 0
		for _, n := range sizes {
			var one Reading
			for k := range n {
				one = append(one, Row{rows[at+k], off[at+k]})
			}
			s.Readings, at = append(s.Readings, one), at+n
		}
		widest := func(cov *mat.Dense, p geom.Vec) float64 { // by turning a direction round
			most := 0.0
			for k := range 360 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 360)
				w := mat.NewVecDense(3, []float64{-p.Y*cos + p.X*sin, cos, sin})
				most = max(most, math.Sqrt(mat.Inner(w, cov, w)))
			}
			return most
		}
		sse := 0.0
		for _, e := range off {
			sse += e * e
		}
		var half, aside float64
		for _, p := range s.Places {
			half = max(half, widest(cov, p)*scatter(sse, len(rows)-3, 0))
		}
		at = 0
		for _, n := range sizes {
			restRows := append(append([][3]float64{}, rows[:at]...), rows[at+n:]...)
			y, _, c := fitted(restRows, append(append([]float64{}, b[:at]...), b[at+n:]...))
			at += n
			if c == nil || len(restRows) < 3 {
				aside = math.Inf(1)
				continue
			}
			if se := widest(c, geom.Vec{}); se > MostDilution {
				aside = math.Inf(1)
			}
			for _, p := range s.Places {
				d := [3]float64{y[0] - x[0], y[1] - x[1], y[2] - x[2]}
				move := math.Hypot(d[1]-p.Y*d[0], d[2]+p.X*d[0])
				aside = max(aside, move+restShare*widest(c, p)*scatter(sse, len(rows)-3, 0.01))
			}
		}
		// The direction is turned by half degrees: 1 - cos 0.25 degrees.
		g := s.Guarded()
		if math.Abs(g.HalfMM-half) > 1e-4*half || !math.IsInf(aside, 1) && math.Abs(g.AsideMM-aside) > 1e-4*aside ||
			math.IsInf(aside, 1) != math.IsInf(g.AsideMM, 1) {
			t.Fatalf("half %g, want %g; aside %g, want %g", g.HalfMM, half, g.AsideMM, aside)
		}
	}
}

// mark is a reading of a mark at a place, off by e.
func mark(x, y float64, e geom.Vec) Reading {
	return Reading{{[3]float64{-y, 1, 0}, e.X}, {[3]float64{x, 0, 1}, e.Y}}
}

// Two marks alone are never guarded; a third one is told, and more of them until the pose is known.
func TestNext(t *testing.T) {
	s := Spec{Half: scatter, LeastSD: 0.015, Places: []geom.Vec{{X: -200}, {X: 250}}}
	s.Readings = []Reading{mark(-150, 0, geom.Vec{X: 0.005}), mark(150, 0, geom.Vec{X: -0.005})}
	if g := s.Guarded(); !math.IsInf(g.AsideMM, 1) || g.HalfMM > 0.1 {
		t.Fatalf("two marks: %+v", g)
	}
	from := []Reading{mark(0, 0, geom.Vec{}), mark(150, 1, geom.Vec{}), mark(250, 0, geom.Vec{}), mark(-200, 0, geom.Vec{})}
	chosen, g := s.Next(from, 0.08, 3)
	if len(chosen) == 0 || max(g.HalfMM, g.AsideMM) > 0.08 {
		t.Fatalf("chosen %v: %+v", chosen, g)
	}
	// No other set of as many does better where one is asked for: all are tried.
	chosen, g = s.Next(from, 1e-9, 1)
	for i, r := range from {
		if o := s.With(r); len(chosen) != 1 || o.better(g) {
			t.Errorf("chosen %v: %+v, but %d comes to %+v", chosen, g, i, o)
		}
	}
	if chosen, _ = s.Next(nil, 0.08, 3); len(chosen) != 0 {
		t.Errorf("nothing to choose from: %v", chosen)
	}
}
