package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// misfitOf is the sum of squares written the other way round: the measured points
// are taken back to the drawn board. Only points' and lines' plain distances.
func misfitOf(sights []sight, x []float64) (sse float64) {
	sin, cos := math.Sincos(x[0])
	for _, s := range sights {
		d := vec(s.q.X-x[1], s.q.Y-x[2])
		back := vec(cos*d.X+sin*d.Y, -sin*d.X+cos*d.Y).Sub(s.p)
		if s.edge {
			e := back.X*s.n.X + back.Y*s.n.Y - s.r
			sse += e * e
			continue
		}
		sse += back.X*back.X + back.Y*back.Y
	}
	return sse
}

// Marks and edges together: no closed form to hold the fit against, so it must be
// a minimum of the sum of squares by gonum's differences, and its covariance twice
// the inverse of the curvature there.
func TestRigidFitIsLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 20))
	for range 200 {
		s := locating(geom.Rigid{Angle: math.Pi / 2, Shift: vec(100*r.NormFloat64(), 50)}, fretDots())
		s.ProbeRadiusMM = 1.5
		move := geom.Rigid{Angle: 0.05 * r.NormFloat64(), Shift: vec(5*r.NormFloat64(), 5*r.NormFloat64())}
		readings := append(measure(s, move, r, 0.03, namesOf(s.Marks)[:1+r.IntN(4)]...),
			touch(s, move, OnLeft, 30, 1.5, 0), touch(s, move, OnRight, 300, 1.5, 0), touch(s, move, OnLeft, 470, 1.5, 0), touch(s, move, OnStart, 5, 1.5, 0))
		for i := range readings {
			readings[i].At = readings[i].At.Add(vec(0.03*r.NormFloat64(), 0.03*r.NormFloat64()))
		}
		sights, err := s.sights(readings)
		if err != nil {
			t.Fatal(err)
		}
		f, ok := fitRigid(sights)
		if !ok {
			t.Fatal("no fit")
		}
		at := f.move()
		x := []float64{at.Angle, at.Shift.X, at.Shift.Y}
		fn := func(x []float64) float64 { return misfitOf(sights, x) }
		if d := math.Abs(fn(x) - f.sse); d > 1e-9*f.sse+1e-12 {
			t.Fatalf("sum of squares %g, written otherwise %g", f.sse, fn(x))
		}
		var hess mat.SymDense
		fd.Hessian(&hess, fn, x, &fd.Settings{Step: 1e-4, Formula: fd.Central})
		grad := fd.Gradient(nil, fn, x, &fd.Settings{Step: 1e-5, Formula: fd.Central})
		var chol mat.Cholesky
		if !chol.Factorize(&hess) {
			t.Fatal("not a minimum")
		}
		// The step that Newton would still take: nothing, beside differences of 1e-10.
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, mat.NewVecDense(3, grad)); err != nil {
			t.Fatal(err)
		}
		for i, most := range []float64{1e-8, 1e-6, 1e-6} {
			if math.Abs(step.AtVec(i)) > most {
				t.Fatalf("component %d would still move by %g", i, step.AtVec(i))
			}
		}
		var inv mat.SymDense
		if err := chol.InverseTo(&inv); err != nil {
			t.Fatal(err)
		}
		// The curvature holds second derivatives times residuals of 0.03 mm over
		// arms of some 100 mm, which Gauss and Newton leave out: 1e-3.
		if got, want := f.cov[0][0], 2*inv.At(0, 0); math.Abs(got-want) > 5e-3*want {
			t.Fatalf("variance of the angle %g, want %g", got, want)
		}
		vx, _ := f.varianceAt(vec(0, 0)) // of the shift: where the origin goes
		if want := 2 * inv.At(1, 1); math.Abs(vx-want) > 5e-3*want {
			t.Fatalf("variance of the shift %g, want %g", vx, want)
		}
	}
}

// The order of the readings must not matter.
func TestLocateOrderDoesNotMatter(t *testing.T) {
	s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	r := measure(s, geom.Rigid{Angle: 2e-3}, rand.New(rand.NewPCG(9, 9)), 0.03, namesOf(s.Marks)...)
	r = append(r, touch(s, geom.Rigid{Angle: 2e-3}, OnLeft, 400, 0, 30))
	a, err := Locate(r, s)
	if err != nil {
		t.Fatal(err)
	}
	for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
		r[i], r[j] = r[j], r[i]
	}
	b, err := Locate(r, s)
	const tol = 1e-12 // rad; sums in another order
	if err != nil || math.Abs(a.AngleRad-b.AngleRad) > tol || a.Start.Lies.Dist(b.Start.Lies) > 1e3*tol || math.Abs(a.Uncertainty.AngleSDRad-b.Uncertainty.AngleSDRad) > tol {
		t.Errorf("%+v\n%+v, %v", a.Placing, b.Placing, err)
	}
}
