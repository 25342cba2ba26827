package assembly

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

// TestPairAgreesWithSolver: the closed form of a round hole and a slot against the
// general solver, either one first, at any angle, errors up to beyond the travel.
func TestPairAgreesWithSolver(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 0))
	closed, worst := 0, 0.0
	for range 20_000 {
		a := geom.Vec{X: 600 * rng.Float64(), Y: 200 * rng.Float64()}
		b := a.Add(geom.Polar(20+500*rng.Float64(), 7*rng.Float64()))
		joints := []Joint{{At: a}, {At: b, TravelMM: 0.5 + rng.Float64()}}
		d := b.Sub(a)
		joints[1].AngleRad = math.Atan2(d.Y, d.X)
		if rng.IntN(2) == 0 {
			joints[0], joints[1] = joints[1], joints[0]
		}
		p := newPlate(joints)
		if !p.pair {
			t.Fatalf("%+v is not taken for a round hole and a slot along their line", joints)
		}
		var e [mostJoints]geom.Vec
		var r [mostJoints]float64
		for i := range 2 {
			e[i] = geom.Vec{X: 0.3 * rng.NormFloat64(), Y: 0.3 * rng.NormFloat64()}
			r[i] = 0.05 * rng.NormFloat64()
		}
		s, ok := p.solvePair(&e, &r)
		if !ok {
			continue
		}
		closed++
		want := p.solve(&e, &r)
		worst = math.Max(worst, math.Max(want.low-s.high, s.high-want.high))
		if want.high-want.low <= SolveTolerance && s.binding != want.binding {
			t.Errorf("binding %b, solver %b", s.binding, want.binding)
		}
	}
	if closed < 10_000 || worst > SolveTolerance {
		t.Errorf("%d closed, off by %g mm at most", closed, worst)
	}
	for _, joints := range [][]Joint{
		{{At: geom.Vec{}}, {At: geom.Vec{X: 100}}},
		{{At: geom.Vec{}}, {At: geom.Vec{X: 100}, TravelMM: 1, AngleRad: 0.01}},
		{{At: geom.Vec{}, TravelMM: 1}, {At: geom.Vec{X: 100}, TravelMM: 1}},
		{{At: geom.Vec{}}, {At: geom.Vec{X: 100}, TravelMM: 1}, {At: geom.Vec{X: 50}}},
	} {
		if newPlate(joints).pair {
			t.Errorf("%+v is taken for a round hole and a slot along their line", joints)
		}
	}
}
