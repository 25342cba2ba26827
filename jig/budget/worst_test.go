package budget

import (
	"math"
	"math/rand"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// TestWorst holds the worst case of causes, a play in a box of poses and an own error
// against every combination of signs: the farthest point is at one of them.
func TestWorst(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for range 200 {
		mid := pose(0.1*r.NormFloat64(), 0.1*r.NormFloat64(), 1e-3*r.NormFloat64())
		half := pose(r.Float64(), r.Float64(), 1e-3*r.Float64())
		at := geom.Vec{X: 500 * r.Float64(), Y: 50 * r.NormFloat64()}
		src := Source{
			Name:    "all",
			Play:    boxPlay{mid, half},
			OwnHalf: 0.1 * float64(r.Intn(2)),
			Vars:    []Var{along(0.2, Fixed)},
		}
		centre := mid.Motion(at).Add(geom.Vec{X: 0.2})
		swings := []geom.Vec{
			{X: half.DU}, {Y: half.DV}, pose(0, 0, half.Theta).Motion(at), {X: src.OwnHalf}, {Y: src.OwnHalf},
		}
		for range r.Intn(5) {
			f := Field{UU: 1e-3 * r.NormFloat64(), VU: 1e-3 * r.NormFloat64()}
			f.Shift.X = float64(r.Intn(2)) // parallel and vanishing ones among them
			src.Vars = append(src.Vars, Var{f, 0.3, Law(r.Intn(3))})
			swings = append(swings, f.At(at).Scale(0.3))
		}
		var worst, most, across float64
		for signs := range 1 << len(swings) {
			p := centre
			for i, g := range swings {
				p = p.Add(g.Scale(float64(2*(signs>>i&1) - 1)))
			}
			worst, most, across = math.Max(worst, p.Norm()), math.Max(most, math.Abs(p.X)), math.Max(across, math.Abs(p.Y))
		}
		var got Contribution
		src.worst(at, &got)
		if !near(got.WorstMM, worst, seat.WorstTolerance) || !near(got.AlongWorstMM, most, roundTol) ||
			!near(got.AcrossWorstMM, across, roundTol) {
			t.Fatalf("%+v: %v along %v across %v, all signs give %v %v %v", src, got.WorstMM, got.AlongWorstMM,
				got.AcrossWorstMM, worst, most, across)
		}
	}
}

// TestSpread holds the deviations of terms against the law of propagation:
// JCGM 100 (GUM), 4.3.7 for the uniform law a/sqrt 3, and 5.1.2 for the sum of
// squares (recalled).
func TestSpread(t *testing.T) {
	at := geom.Vec{X: 300, Y: 20}
	const normal = 1.959963984540054 // of a normal table
	for _, c := range []struct {
		name, why     string
		src           Source
		along, across float64
	}{
		{
			"uniforms in quadrature", "a/sqrt 3, 3-4-5", vars("a", along(0.3, Uniform), along(0.4, Uniform)),
			0.5 / math.Sqrt(3), 0,
		},
		{"normal", "half over 1.95996", vars("a", across(0.2, Normal)), 0, 0.2 / normal},
		{"sign and known", "its own size, and none", vars("a", across(0.2, Sign), along(1, Fixed)), 0, 0.2},
		{"rotation", "arm 300 across, 20 along", vars("a", Var{Rigid(pose(0, 0, 1)), 1e-3, Sign}), 0.02, 0.3},
		{
			"strain", "growth by 1e-3 and 2e-3 from the origin", vars("a", Var{Strain(1e-3, 2e-3, geom.Vec{}), 1, Sign}),
			0.3, 0.04,
		},
		{"strain about the feature", "nothing", vars("a", Var{Strain(1e-3, 2e-3, at), 1, Sign}), 0, 0},
		{"shear", "20 across gives 0.02 along", vars("a", Var{Shear(1e-3, 0, geom.Vec{}), 1, Sign}), 0.02, 0},
		{"own", "per axis", Source{Name: "a", OwnHalf: 0.1}, 0.1 / normal, 0.1 / normal},
		{
			"play", "three uniforms: 0.1, and the rotation's arm",
			Source{Name: "a", Play: boxPlay{half: pose(0.1, 0.1, 1e-3)}},
			math.Hypot(0.1, 0.02) / math.Sqrt(3), math.Hypot(0.1, 0.3) / math.Sqrt(3),
		},
		{
			"half the play", "half the deviation",
			Source{Name: "a", Play: boxPlay{half: pose(0.1, 0.1, 0)}, PlayScale: ClearanceShare{Mean: 0.5}},
			0.05 / math.Sqrt(3), 0.05 / math.Sqrt(3),
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			const tol = 1e-4 // a play's is drawn; seen: a tenth of it
			got := one(t, at, c.src).Contributions[0]
			if !near(got.AlongSDMM, c.along, tol) || !near(got.AcrossSDMM, c.across, tol) ||
				!near(got.SDMM, math.Hypot(c.along, c.across), tol) {
				t.Errorf("along %v across %v both %v, want %v %v (%s)", got.AlongSDMM, got.AcrossSDMM, got.SDMM, c.along,
					c.across, c.why)
			}
		})
	}
}
