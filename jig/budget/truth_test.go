package budget

import (
	"math"
	"testing"

	"reseat/fit"
	"reseat/jig/geom"
)

// samplingTol is what a simulated 95 % figure may be off, relative: within 1 % is
// promised.
const samplingTol = 0.01

// roundTol is what two exact computations of one figure may differ by, relative:
// a few hundred roundings.
const roundTol = 1e-13

func near(got, want, rel float64) bool {
	return math.Abs(got-want) <= rel*math.Abs(want)
}

func along(half float64, l Law) Var  { return Var{Shift(geom.Vec{X: 1}), half, l} }
func across(half float64, l Law) Var { return Var{Shift(geom.Vec{Y: 1}), half, l} }

func vars(name string, vs ...Var) Source { return Source{Name: name, Vars: vs} }

// one computes the budget of one feature.
func one(t testing.TB, at geom.Vec, sources ...Source) FeatureBudget {
	t.Helper()
	b, err := Compute(Spec{Sources: sources, Features: []Feature{{"dot", at}}, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	return b.Features[0]
}

// TestDistributions holds the simulated figures against closed forms.
func TestDistributions(t *testing.T) {
	const sd = 0.03
	rayleigh := sd * math.Sqrt(-2*math.Log(0.05))
	// Half width of a normal with part of the variance's root.
	n := func(part float64) float64 { return part * sd * fit.Normal95 }
	for _, c := range []struct {
		name, why                string
		sources                  []Source
		radial, along, acrossP95 float64 // negative: not looked at
	}{
		{
			"one normal", "JCGM 100 (GUM) 4.3.4: the stated half width is the 95 % figure",
			[]Source{vars("a", along(0.1, Normal))},
			0.1, 0.1, 0,
		},
		{
			"normal both ways", "Rayleigh distribution, sd sqrt(-2 ln 0.05), any textbook of statistics",
			[]Source{vars("a", along(n(1), Normal)), vars("b", across(n(1), Normal))},
			rayleigh, n(1), n(1),
		},
		{
			"normals in parts", "3-4-5: variances add, so five parts make the same Rayleigh",
			[]Source{vars("a", along(n(0.6), Normal), across(n(1), Normal)), vars("b", along(n(0.8), Normal))},
			rayleigh, n(1), n(1),
		},
		{
			"own errors alone", "two independent normals again",
			[]Source{{Name: "a", OwnHalf: n(0.6)}, {Name: "b", OwnHalf: n(0.8)}},
			rayleigh, n(1), n(1),
		},
		{
			"own and shared", "and mixed",
			[]Source{{Name: "a", OwnHalf: n(0.6)}, vars("b", along(n(0.8), Normal), across(n(0.8), Normal))},
			rayleigh, n(1), n(1),
		},
		{
			"one uniform", "|x| is uniform over 0..a",
			[]Source{vars("a", along(0.1, Uniform))},
			0.095, 0.095, 0,
		},
		{
			"two equal uniforms", "triangular over +-2a: P(|x| <= q) = 1 - (1 - q/2a)^2, so q = 2a (1 - sqrt 0.05)",
			[]Source{vars("a", along(0.1, Uniform)), vars("b", along(0.1, Uniform))},
			-1, 0.2 * (1 - math.Sqrt(0.05)), 0,
		},
		{
			"uniform square",
			"area of the disc inside the square +-a, q > a: 4 (q^2 (pi/4 - arccos(a/q)) + a sqrt(q^2 - a^2)) = 0.95 (2a)^2",
			[]Source{vars("a", along(0.1, Uniform)), vars("b", across(0.1, Uniform))},
			0.1 * squareFigure(), 0.095, 0.095,
		},
		{
			"signs", "always the same distance: 3-4-5",
			[]Source{vars("a", along(0.3, Sign)), vars("b", across(0.4, Sign))},
			0.5, 0.3, 0.4,
		},
		{
			"four signs", "|sum| is 4 in 2 of 16 cases, 2 in 8 of 16: the 95 % figure is 4",
			[]Source{vars("a", along(1, Sign), along(1, Sign), along(1, Sign), along(1, Sign))},
			4, 4, 0,
		},
		{
			"six signs", "|sum| is 6 in 2 of 64 cases, 3.1 %, and 4 in 12 of 64: the 95 % figure is 4",
			[]Source{vars("a", along(1, Sign), along(1, Sign), along(1, Sign), along(1, Sign), along(1, Sign), along(1, Sign))},
			4, 4, 0,
		},
		{
			"known", "no spread; signs kept, so they set each other off",
			[]Source{vars("a", along(0.5, Fixed)), vars("b", along(-0.2, Fixed), across(-0.4, Fixed))},
			0.5, 0.3, 0.4,
		},
		{
			"play in a box", "uniform over the box, as two uniforms",
			[]Source{{Name: "a", Play: boxPlay{half: pose(0.1, 0.1, 0)}}},
			0.1 * squareFigure(), 0.095, 0.095,
		},
		{
			"part of the play", "0.6 of it, always",
			[]Source{{Name: "a", Play: boxPlay{half: pose(0.1, 0, 0)}, PlayScale: ClearanceShare{Mean: 0.6}}},
			0.057, 0.057, 0,
		},
		{
			"varying part of the play", "|x| = k y, y uniform: P(k y <= q) is the mean of min(1, q/k)",
			[]Source{{Name: "a", Play: boxPlay{half: pose(0.1, 0, 0)}, PlayScale: ClearanceShare{0.3, 0.3}}},
			0.1 * partFigure(0.3, 0.3), 0.1 * partFigure(0.3, 0.3), 0,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, geom.Vec{X: 10, Y: 3}, c.sources...)
			for _, q := range []struct {
				name      string
				got, want float64
			}{{"radial", f.P95MM, c.radial}, {"along", f.P95AlongMM, c.along}, {"across", f.P95AcrossMM, c.acrossP95}} {
				if q.want >= 0 && !near(q.got, q.want, samplingTol) {
					t.Errorf("%s: %.6f, want %.6f (%s)", q.name, q.got, q.want, c.why)
				}
			}
		})
	}
}

// squareFigure is the radius about the middle of the square +-1 that takes in
// 95 % of its area, by halving.
func squareFigure() float64 {
	lo, hi := 1.0, math.Sqrt2
	for range 60 {
		q := (lo + hi) / 2
		if q*q*(math.Pi/4-math.Acos(1/q))+math.Sqrt(q*q-1) < 0.95 {
			lo = q
		} else {
			hi = q
		}
	}
	return lo
}

// partFigure is the 95 % figure of k y, y uniform over 0..1 and k normal but
// clamped to 0..1: by halving, the mean over 10 000 equal parts of k's
// probability.
func partFigure(mean, sd float64) float64 {
	lo, hi := 0.0, 1.0
	for range 30 {
		q, p := (lo+hi)/2, 0.0
		const parts = 10_000
		for i := range parts {
			z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/parts-1)
			p += min(1, q/max(0, min(1, mean+sd*z))) / parts // q/0 is plus infinity
		}
		if p < 0.95 {
			lo = q
		} else {
			hi = q
		}
	}
	return lo
}
