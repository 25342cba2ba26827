package budget

import (
	"math"
	"math/rand"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// placed is a play known by its poses alone.
type placed func(u [3]float64) seat.Pose

func (p placed) Place(u [3]float64) seat.Pose { return p(u) }
func (placed) Reach(_, _ geom.Vec) float64    { return 0 }

// TestLattice holds the lattice's moments against closed forms of bodies, any
// handbook of mechanics: moments of inertia.
func TestLattice(t *testing.T) {
	const (
		box    = 1e-6 // the midpoint rule with N points: 1/(12 N^2), and some rounding
		pieces = 2e-3 // bodies that are no box; seen: a quarter of it
	)
	for _, c := range []struct {
		name, why  string
		play       placed
		mean, diag [3]float64
		off        float64 // each mean of a product of two coordinates
		tol        float64
	}{
		{
			"box", "a^2/3 per axis",
			func(u [3]float64) seat.Pose { return pose(2*u[0]-1, 2*u[1]-1, 2*u[2]-1) },
			[3]float64{},
			[3]float64{1. / 3, 1. / 3, 1. / 3},
			0, box,
		},
		{
			"box from a corner", "mean 1/2, squares 1/3, products 1/4",
			func(u [3]float64) seat.Pose { return pose(u[0], u[1], u[2]) },
			[3]float64{.5, .5, .5},
			[3]float64{1. / 3, 1. / 3, 1. / 3},
			.25, box,
		},
		{
			"cylinder", "disc r^2/4, height a^2/3",
			func(u [3]float64) seat.Pose {
				v := geom.Polar(math.Sqrt(u[0]), 2*math.Pi*u[1])
				return pose(v.X, v.Y, 2*u[2]-1)
			},
			[3]float64{},
			[3]float64{.25, .25, 1. / 3},
			0, pieces,
		},
		{
			"ball", "r^2/5",
			func(u [3]float64) seat.Pose {
				r, z := math.Cbrt(u[0]), 2*u[2]-1
				v := geom.Polar(r*math.Sqrt(1-z*z), 2*math.Pi*u[1])
				return pose(v.X, v.Y, r*z)
			},
			[3]float64{},
			[3]float64{.2, .2, .2},
			0, pieces,
		},
		{
			"box of two pieces", "the first number chooses the piece and is used again; one is denser",
			func(u [3]float64) seat.Pose {
				x := u[0] - 1
				if u[0] >= 0.25 {
					x = (u[0]-0.25)/0.75*1.75 - 0.75
				}
				return pose(x, 2*u[1]-1, 2*u[2]-1)
			},
			[3]float64{twoPieces(1), 0, 0},
			[3]float64{twoPieces(2), 1. / 3, 1. / 3},
			0, pieces,
		},
		{
			"simplex", "mean 1/4, squares 1/10, products 1/20",
			func(u [3]float64) seat.Pose {
				// Sorted coordinates are spread evenly over 0 <= x <= y <= z <= 1;
				// their steps over the simplex.
				a, c := min(u[0], u[1], u[2]), max(u[0], u[1], u[2])
				b := u[0] + u[1] + u[2] - a - c
				return pose(a, b-a, c-b)
			},
			[3]float64{.25, .25, .25},
			[3]float64{.1, .1, .1},
			.05, pieces,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := moments("x", c.play)
			if err != nil {
				t.Fatal(err)
			}
			for i := range 3 {
				if math.Abs(m.mean[i]-c.mean[i]) > c.tol {
					t.Errorf("mean %d: %v, want %v", i, m.mean[i], c.mean[i])
				}
				for j := range 3 {
					want := c.off
					if i == j {
						want = c.diag[i]
					}
					if math.Abs(m.product[i][j]-want) > c.tol {
						t.Errorf("product %d %d: %v, want %v (%s)", i, j, m.product[i][j], want, c.why)
					}
				}
			}
		})
	}
}

// twoPieces is the mean of x^n with weight 1/4 spread over -1..-0.75 and 3/4
// over -0.75..1.
func twoPieces(n float64) float64 {
	over := func(a, b float64) float64 {
		return (math.Pow(b, n+1) - math.Pow(a, n+1)) / ((n + 1) * (b - a))
	}
	return over(-1, -0.75)/4 + over(-0.75, 1)*3/4
}

// TestShareMoments holds the clamped normal against plain summing.
func TestShareMoments(t *testing.T) {
	for _, c := range []struct {
		name string
		s    Scale
	}{
		{"always whole", Scale{}},
		{"always the same", Scale{Mean: 0.4}},
		{"never clamped", Scale{0.5, 0.05}},
		{"half clamped below", Scale{0, 0.3}},
		{"half clamped above", Scale{1, 0.3}},
		{"wide", Scale{0.3, 1}},
		{"hardly any spread", Scale{0.3, 1e-7}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var first, second float64
			const n = 400_000
			for i := range n {
				// Equal parts of probability, each at its middle: the inverse of
				// the normal distribution by the inverse error function.
				z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/n-1)
				x := min(1, max(0, c.s.Mean+c.s.SD*z))
				if c.s == (Scale{}) {
					x = 1
				}
				first += x / n
				second += x * x / n
			}
			const summing = 1e-5 // the tails beyond the last part of 400 000
			m1, m2 := c.s.moments()
			if math.Abs(m1-first) > summing || math.Abs(m2-second) > summing {
				t.Errorf("%v %v, summed %v %v", m1, m2, first, second)
			}
		})
	}
}

// TestSpread holds the deviations of terms against the law of propagation:
// JCGM 100 (GUM), 4.3.7 for the uniform law a/sqrt 3, and 5.1.2 for the sum of
// squares (recalled, not seen).
func TestSpread(t *testing.T) {
	at := geom.Vec{X: 300, Y: 20}
	for _, c := range []struct {
		name, why     string
		src           Source
		along, across float64
	}{
		{"uniform", "a/sqrt 3", vars("a", along(0.3, Uniform)), 0.3 / math.Sqrt(3), 0},
		{"uniforms in quadrature", "3-4-5", vars("a", along(0.3, Uniform), along(0.4, Uniform)), 0.5 / math.Sqrt(3), 0},
		{"normal", "half over 1.95996, normal table", vars("a", across(0.2, Normal)), 0, 0.2 / 1.959963984540054},
		{"sign", "its own size", vars("a", across(0.2, Sign)), 0, 0.2},
		{"known", "none", vars("a", across(0.2, Known)), 0, 0},
		{"rotation", "arm 300 across, 20 along", vars("a", Var{Rigid(pose(0, 0, 1)), 1e-3, Sign}), 0.02, 0.3},
		{"strain", "growth by 1e-3 and 2e-3 from the origin", vars("a", Var{Strain(1e-3, 2e-3, geom.Vec{}), 1, Sign}), 0.3, 0.04},
		{"strain about the feature", "nothing", vars("a", Var{Strain(1e-3, 2e-3, at), 1, Sign}), 0, 0},
		{"shear", "20 across gives 0.02 along", vars("a", Var{Shear(1e-3, 0, geom.Vec{}), 1, Sign}), 0.02, 0},
		{"own", "per axis", Source{Name: "a", OwnHalf: 0.1}, 0.1 / 1.959963984540054, 0.1 / 1.959963984540054},
		{
			"play", "three uniforms: 0.1, and the rotation's arm",
			Source{Name: "a", Play: boxPlay{half: pose(0.1, 0.1, 1e-3)}},
			math.Hypot(0.1, 0.02) / math.Sqrt(3), math.Hypot(0.1, 0.3) / math.Sqrt(3),
		},
		{
			"half the play", "half the deviation",
			Source{Name: "a", Play: boxPlay{half: pose(0.1, 0.1, 0)}, PlayScale: Scale{Mean: 0.5}},
			0.05 / math.Sqrt(3), 0.05 / math.Sqrt(3),
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			const tol = 1e-6 // a box on the lattice, as in TestLattice
			got := one(t, at, c.src).Terms[0]
			if math.Abs(got.AlongSDMM-c.along) > tol*c.along || math.Abs(got.AcrossSDMM-c.across) > tol*c.across {
				t.Errorf("along %v across %v, want %v %v (%s)", got.AlongSDMM, got.AcrossSDMM, c.along, c.across, c.why)
			}
			if want := math.Hypot(got.AlongSDMM, got.AcrossSDMM); !near(got.SDMM, want, roundTol) {
				t.Errorf("both %v, want %v", got.SDMM, want)
			}
		})
	}
}

// TestPlayOffCentre: poses all to one side, in shares that vary, against plain
// sampling with another generator.
func TestPlayOffCentre(t *testing.T) {
	play, scale := boxPlay{pose(0.1, -0.05, 0), pose(0.1, 0.05, 1e-4)}, Scale{0.6, 0.3}
	at := geom.Vec{X: 100, Y: 10}
	got := one(t, at, Source{Name: "a", Play: play, PlayScale: scale}).Terms[0]
	r := rand.New(rand.NewSource(5))
	const n = 1_000_000
	var su, sv, uu, vv float64
	for range n {
		k := min(1, max(0, scale.Mean+scale.SD*r.NormFloat64()))
		d := play.Place([3]float64{r.Float64(), r.Float64(), r.Float64()}).Motion(at).Scale(k)
		su, sv, uu, vv = su+d.X/n, sv+d.Y/n, uu+d.X*d.X/n, vv+d.Y*d.Y/n
	}
	const sampling = 5e-3 // five standard deviations of a million samples' deviation, 0.1 %
	if !near(got.AlongBiasMM, su, sampling) || !near(got.AcrossBiasMM, sv, sampling) ||
		!near(got.AlongSDMM, math.Sqrt(uu-su*su), sampling) || !near(got.AcrossSDMM, math.Sqrt(vv-sv*sv), sampling) {
		t.Errorf("%+v, sampled bias %v %v, deviation %v %v", got, su, sv, math.Sqrt(uu-su*su), math.Sqrt(vv-sv*sv))
	}
}
