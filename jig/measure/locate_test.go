package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// fretDots is a fingerboard's worth of marks in the board frame.
func fretDots() []Mark {
	out := []Mark{{"peg mark", vec(20, -6)}}
	for i, u := range []float64{87, 158, 221, 277} {
		out = append(out, Mark{fmt.Sprintf("dot %d", 3+2*i), vec(u, 0)})
	}
	return append(out, Mark{"dot 12 left", vec(330, 11)}, Mark{"dot 12 right", vec(330, -11)}, Mark{"dot 15", vec(382, 0)})
}

// locating returns a spec with the marks taken to the machine.
func locating(m geom.Rigid, marks []Mark) LocateSpec {
	s := LocateSpec{LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ToMachine: m, At: vec(478, 0)}
	for _, k := range marks {
		s.Marks = append(s.Marks, Mark{k.Name, m.Apply(k.At)})
	}
	return s
}

// measure returns readings of the named marks of a board that was moved by move
// (machine frame), each coordinate with normal noise.
func measure(s LocateSpec, move geom.Rigid, r *rand.Rand, noise float64, names ...string) (out []MarkReading) {
	for _, m := range s.Marks {
		for _, n := range names {
			if n == m.Name {
				at := move.Apply(m.At)
				if noise > 0 {
					at = at.Add(vec(noise*r.NormFloat64(), noise*r.NormFloat64()))
				}
				out = append(out, MarkReading{len(out) + 2, n, at})
			}
		}
	}
	return out
}

func namesOf(marks []Mark) (out []string) {
	for _, m := range marks {
		out = append(out, m.Name)
	}
	return out
}

// touch returns a point touched along an edge at a station (along v for the start
// edge), with a probe of radius r.
func touch(s LocateSpec, move geom.Rigid, e Edge, along, r float64, line int) MarkReading {
	t := (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
	h := math.Hypot(1, t)
	p := map[Edge]geom.Vec{
		OnLeft:  vec(along, s.WidthStartMM/2+t*along).Add(vec(-t/h, 1/h).Scale(r)),
		OnRight: vec(along, -s.WidthStartMM/2-t*along).Add(vec(-t/h, -1/h).Scale(r)),
		OnStart: vec(-r, along),
	}[e]
	return MarkReading{line, string(e), move.Apply(s.ToMachine.Apply(p))}
}

// svdPose solves the same problem by the singular value decomposition of the
// cross covariance, gonum's.
//
//	H = sum (p - mean p)(q - mean q)',  H = U S V',  R = V diag(1, det V U') U'
func svdPose(p, q []geom.Vec) (angle float64, shift geom.Vec) {
	cp, cq := middle(p), middle(q)
	h := mat.NewDense(2, 2, nil)
	for i := range p {
		a := mat.NewVecDense(2, []float64{p[i].X - cp.X, p[i].Y - cp.Y})
		b := mat.NewVecDense(2, []float64{q[i].X - cq.X, q[i].Y - cq.Y})
		var o mat.Dense
		o.Outer(1, a, b)
		h.Add(h, &o)
	}
	var svd mat.SVD
	if !svd.Factorize(h, mat.SVDFull) {
		panic("no decomposition")
	}
	var u, v, vut, r mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	vut.Mul(&v, u.T())
	d := mat.NewDiagDense(2, []float64{1, math.Copysign(1, mat.Det(&vut))})
	r.Mul(&v, d)
	r.Mul(&r, u.T())
	angle = math.Atan2(r.At(1, 0), r.At(0, 0))
	return angle, geom.Vec{X: cq.X - r.At(0, 0)*cp.X - r.At(0, 1)*cp.Y, Y: cq.Y - r.At(1, 0)*cp.X - r.At(1, 1)*cp.Y}
}

func TestLocateAgainstSVD(t *testing.T) {
	r := rand.New(rand.NewPCG(1976, 32))
	var worstAngle, worstShift float64
	for range 2000 {
		n := 2 + r.IntN(12)
		s := LocateSpec{AnyAngle: true}
		var p, q []geom.Vec
		var readings []MarkReading
		move := geom.Rigid{Angle: (2*r.Float64() - 1) * math.Pi, Shift: vec(200*r.NormFloat64(), 200*r.NormFloat64())}
		for i := range n {
			m := Mark{fmt.Sprint("m", i), vec(500*r.Float64(), 60*r.Float64())}
			at := move.Apply(m.At).Add(vec(0.05*r.NormFloat64(), 0.05*r.NormFloat64()))
			s.Marks = append(s.Marks, m)
			p, q = append(p, m.At), append(q, at)
			readings = append(readings, MarkReading{i + 2, m.Name, at})
		}
		got, err := Locate(readings, s)
		if spanOf(p) < 30 {
			continue // refused or nearly so
		}
		if err != nil {
			t.Fatal(err)
		}
		angle, shift := svdPose(p, q)
		worstAngle = math.Max(worstAngle, math.Abs(math.Remainder(got.AngleRad-angle, 2*math.Pi)))
		worstShift = math.Max(worstShift, got.Move.Shift.Dist(shift))
	}
	t.Logf("largest deviation from the decomposition: %.2g rad, %.2g mm", worstAngle, worstShift)
	// Both work on sums of a few 1e5 mm^2 with 16 digits; the shift is the angle
	// over some 500 mm.
	if worstAngle > 1e-13 || worstShift > 1e-10 {
		t.Errorf("largest deviation: %g rad, %g mm", worstAngle, worstShift)
	}
}

// Three marks worked by hand. Drawn (0,0) (30,0) (0,30), centroid (10,10); turned
// by a quarter and shifted by (100, 50): q = (100 - y, 50 + x). Before that each is
// out by e = d(-2,-2), d(1,1), d(1,1), d = 0.02. These sum to zero, and so does
// p x e = 30 d - 30 d, so that the fit stays where it is.
//
//	SSE = d^2 (8 + 2 + 2) = 12 d^2, 3 degrees of freedom, s = 2 d = 0.04
//	sum |p|^2 = 200 + 500 + 500 = 1200 from the centroid: sd angle = 0.04/sqrt(1200)
//	at the centroid sd = 0.04/sqrt 3 each way; at the start, (-10,-10) from there,
//	sqrt(0.0016/3 + 100 0.0016/1200) = 0.0258199
//	t(3, 97.5 %) = 3.182446, t(2, 97.5 %) = 4.302653 (Student's table)
//	scale: p.e sums to 60 d over 1200: 1 + d/20; SSE less (60 d)^2/1200 leaves 9 d^2, df 2
func TestLocateByHand(t *testing.T) {
	s := LocateSpec{Marks: []Mark{{"a", vec(0, 0)}, {"b", vec(30, 0)}, {"c", vec(0, 30)}}, AnyAngle: true, At: vec(10, 10)}
	const d = 0.02
	e := []geom.Vec{vec(-2*d, -2*d), vec(d, d), vec(d, d)}
	var r []MarkReading
	for i, m := range s.Marks {
		p := m.At.Add(e[i])
		r = append(r, MarkReading{i + 2, m.Name, vec(100-p.Y, 50+p.X)})
	}
	l, err := Locate(r, s)
	if err != nil {
		t.Fatal(err)
	}
	const tol = 1e-12
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"angle", l.AngleRad, math.Pi / 2, tol},
		{"shift x", l.Start.Shift.X, 100, 1e-11},
		{"shift y", l.Start.Shift.Y, 50, 1e-11},
		{"reading's sd", l.Uncertainty.ReadingSDmm, 0.04, tol},
		{"angle's sd", l.Uncertainty.AngleSDRad, 0.04 / math.Sqrt(1200), tol},
		{"angle's half width", l.Uncertainty.AngleHalfRad, 3.182446 * 0.04 / math.Sqrt(1200), 1e-8},
		{"sd at the middle", l.At.SD.X, 0.04 / math.Sqrt(3), tol},
		{"sd at the start", l.Start.SD.Y, 0.0258199, 1e-7},
		{"rms", l.RMSmm, 2 * d, tol},
		{"scale", l.Scale.Factor, 1.001, tol},
		{"scale's half width", l.Scale.Half, 4.302653 * math.Sqrt(9*d*d/2) / math.Sqrt(1200), 1e-8},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s = %.12g, want %.12g", c.name, c.got, c.want)
		}
	}
}

// Whatever pose a board has, readings without noise give it back, in every frame,
// from marks, from marks and edges, and from edges alone.
func TestLocateRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		frame := geom.Rigid{
			Angle:  rapid.SampledFrom([]float64{0, math.Pi / 2, -math.Pi / 2, math.Pi}).Draw(t, "frame"),
			Mirror: rapid.Bool().Draw(t, "flipped"), Shift: vec(rapid.Float64Range(-50, 300).Draw(t, "x0"), 20),
		}
		s := locating(frame, fretDots())
		s.ProbeRadiusMM = rapid.SampledFrom([]float64{0, 1.5, 3}).Draw(t, "probe")
		move := geom.Rigid{Angle: rapid.Float64Range(-0.1, 0.1).Draw(t, "angle"), Shift: vec(rapid.Float64Range(-20, 20).Draw(t, "dx"), rapid.Float64Range(-20, 20).Draw(t, "dy"))}
		var r []MarkReading
		switch rapid.SampledFrom([]string{"marks", "two marks", "a mark and a touch", "a mark and an edge", "edges", "all"}).Draw(t, "kind") {
		case "marks":
			r = measure(s, move, nil, 0, namesOf(s.Marks)...)
		case "two marks":
			r = measure(s, move, nil, 0, "peg mark", "dot 15")
		case "a mark and a touch":
			r = append(measure(s, move, nil, 0, "peg mark"), touch(s, move, OnLeft, 460, s.ProbeRadiusMM, 3))
		case "a mark and an edge":
			r = append(measure(s, move, nil, 0, "dot 15"), touch(s, move, OnRight, 10, s.ProbeRadiusMM, 3), touch(s, move, OnRight, 470, s.ProbeRadiusMM, 4))
		case "edges":
			r = []MarkReading{touch(s, move, OnRight, 10, s.ProbeRadiusMM, 2), touch(s, move, OnLeft, 470, s.ProbeRadiusMM, 3), touch(s, move, OnStart, 5, s.ProbeRadiusMM, 4)}
		case "all":
			r = append(measure(s, move, nil, 0, namesOf(s.Marks)...), touch(s, move, OnLeft, 10, s.ProbeRadiusMM, 20), touch(s, move, OnStart, -5, s.ProbeRadiusMM, 21))
		}
		l, err := Locate(r, s)
		if err != nil {
			t.Fatal(err)
		}
		const tol = 1e-9 // mm and, over 478 mm, rad: five decimals beyond the last digit read
		if math.Abs(math.Remainder(l.AngleRad-move.Angle, 2*math.Pi)) > tol/478 || l.Move.Shift.Dist(move.Shift) > tol || l.RMSmm > tol {
			t.Fatalf("angle %g, want %g; shift %+v, want %+v; rms %g", l.AngleRad, move.Angle, l.Move.Shift, move.Shift, l.RMSmm)
		}
		for _, u := range []geom.Vec{{}, s.At, vec(100, 20)} {
			if a, b := l.ToMachine.Apply(u), move.Apply(frame.Apply(u)); a.Dist(b) > tol {
				t.Fatalf("board point %+v lies at %+v, want %+v", u, a, b)
			}
		}
		if want := move.Apply(frame.Apply(s.At)); l.At.Lies.Dist(want) > tol || l.At.Shift.Dist(want.Sub(frame.Apply(s.At))) > tol {
			t.Fatalf("chosen point %+v", l.At)
		}
	})
}

// The stated 95 % intervals of angle and places hold the truth in 95 % of seeded
// trials. With 4000 trials a share scatters by 0.34 % (one sigma); asked for are 2 %.
func TestLocateCoverage(t *testing.T) {
	const trials, bound = 4000, 0.02
	for _, c := range []struct {
		name  string
		noise float64
		err   float64 // stated
		marks []string
		edges bool
	}{
		{"eight marks", 0.03, 0, namesOf(fretDots()), false},
		{"three marks", 0.03, 0, []string{"peg mark", "dot 9", "dot 15"}, false},
		{"a mark and three touches", 0.03, 0, []string{"peg mark"}, true},
		{"two marks, error stated", 0.03, 0.03 * 1.959964, []string{"peg mark", "dot 15"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, 95))
			s := locating(geom.Rigid{Angle: math.Pi / 2, Shift: vec(40, 30)}, fretDots())
			s.ErrorMM = c.err
			var held [5]int
			for range trials {
				move := geom.Rigid{Angle: 0.01 * r.NormFloat64(), Shift: vec(r.NormFloat64(), r.NormFloat64())}
				readings := measure(s, move, r, c.noise, c.marks...)
				if c.edges {
					for i, k := range []MarkReading{touch(s, move, OnLeft, 20, 1.5, 0), touch(s, move, OnLeft, 460, 1.5, 0), touch(s, move, OnStart, 8, 1.5, 0)} {
						k.At = k.At.Add(vec(c.noise*r.NormFloat64(), c.noise*r.NormFloat64()))
						k.Line = 10 + i
						readings = append(readings, k)
					}
					s.ProbeRadiusMM = 1.5
				}
				l, err := Locate(readings, s)
				if err != nil {
					t.Fatal(err)
				}
				start, far := move.Apply(s.ToMachine.Apply(vec(0, 0))), move.Apply(s.ToMachine.Apply(s.At))
				for i, in := range []bool{
					math.Abs(l.AngleRad-move.Angle) <= l.Uncertainty.AngleHalfRad,
					math.Abs(l.Start.Lies.X-start.X) <= l.Start.Half.X, math.Abs(l.Start.Lies.Y-start.Y) <= l.Start.Half.Y,
					math.Abs(l.At.Lies.X-far.X) <= l.At.Half.X, math.Abs(l.At.Lies.Y-far.Y) <= l.At.Half.Y,
				} {
					if in {
						held[i]++
					}
				}
			}
			for i, name := range []string{"angle", "start x", "start y", "far x", "far y"} {
				share := float64(held[i]) / trials
				t.Logf("%s: %.2f %%", name, 100*share)
				if math.Abs(share-0.95) > bound {
					t.Errorf("%s: the interval held the truth in %.2f %% of the trials", name, 100*share)
				}
			}
		})
	}
}

func BenchmarkLocate(b *testing.B) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	r := rand.New(rand.NewPCG(1, 1))
	many := base
	many.Marks = nil
	var names []string
	for i := range 10000 {
		names = append(names, fmt.Sprint("m", i))
		many.Marks = append(many.Marks, Mark{names[i], vec(20*r.Float64(), 478*r.Float64())})
	}
	var cloud []MarkReading
	for i, m := range many.Marks {
		cloud = append(cloud, MarkReading{i + 2, m.Name, m.At.Add(vec(0.02*r.NormFloat64(), 0.02*r.NormFloat64()))})
	}
	small := measure(base, geom.Rigid{Angle: 1e-3}, r, 0.02, namesOf(base.Marks)...)
	for _, c := range []struct {
		name string
		r    []MarkReading
		s    LocateSpec
	}{
		{"eight marks", small, base},
		{"two marks and a touch", append(small[:2:2], touch(base, geom.Rigid{}, OnLeft, 400, 0, 9)), base},
		{"10 000 marks", cloud, many},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Locate(c.r, c.s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
