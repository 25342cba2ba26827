package budget

import (
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// TestRefused: whatever gives no finite figure is an error that names the source.
func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	box := boxPlay{half: pose(1, 1, 0)}
	for _, c := range []struct {
		name string
		src  Source
	}{
		{"half not a number", vars("bad", along(nan, Fixed))},
		{"infinite half", vars("bad", along(inf, Uniform), along(inf, Normal), across(inf, Normal))},
		{"infinite field", vars("bad", Var{Field{VV: inf}, 1, Sign})},
		{"own error not a number", Source{Name: "bad", OwnHalf: nan}},
		{"share not a number", Source{Name: "bad", Play: box, PlayScale: ClearanceShare{Mean: nan}}},
		{"infinite play", Source{Name: "bad", Play: boxPlay{half: pose(0, inf, 0)}}},
	} {
		b, err := Compute(
			Spec{Sources: []Source{vars("good", along(1, Normal)), c.src}, Features: []Feature{{"dot", geom.Vec{X: 1, Y: 1}}}},
		)
		if err == nil || !strings.Contains(err.Error(), `"bad"`) || len(b.Features) > 0 {
			t.Errorf("%s: %v, %+v", c.name, err, b)
		}
	}
}

// TestNoError: without sources, or with sources of nothing, all is zero.
func TestNoError(t *testing.T) {
	for _, sources := range [][]Source{nil, {{Name: "a"}}, {
		vars("a", along(0, Normal), along(0, Uniform), along(0, Sign), along(0, Fixed), Var{Half: 1}),
		{Name: "b", Play: boxPlay{}, PlayScale: ClearanceShare{0.5, 0.5}},
	}} {
		f := one(t, geom.Vec{X: 100, Y: -5}, sources...)
		if figures(f) != [3]float64{} || f.WorstMM != 0 || len(f.Contributions) != len(sources) || f.Largest != "" ||
			f.LargestShare != 0 {
			t.Errorf("%+v", f)
		}
	}
}

// TestShares: the parts of the mean square error, by hand.
func TestShares(t *testing.T) {
	for _, c := range []struct {
		name, why string
		sources   []Source
		want      []float64
		largest   string
	}{
		{"spreads", "9 : 16", []Source{vars("a", along(3, Sign)), vars("b", across(4, Sign))}, []float64{0.36, 0.64}, "b"},
		{
			"spread and bias", "16 : 9", []Source{vars("a", along(4, Sign)), vars("b", along(-3, Fixed))},
			[]float64{0.64, 0.36}, "a",
		},
		{
			"biases that add", "2 x 3 : 1 x 3", []Source{vars("a", along(2, Fixed)), vars("b", along(1, Fixed))},
			[]float64{2. / 3, 1. / 3}, "a",
		},
		{
			"biases that nearly cancel", "B = 1: 5 x 1, -4 x 1, and 1 squared",
			[]Source{vars("a", along(5, Fixed)), vars("b", along(-4, Fixed)), vars("c", along(1, Sign))},
			[]float64{2.5, -2, 0.5}, "a",
		},
		{
			"biases that cancel", "only the spread is left",
			[]Source{vars("a", along(5, Fixed)), vars("b", along(-5, Fixed)), vars("c", along(1, Sign))},
			[]float64{0, 0, 1}, "c",
		},
		{
			"first of equals", "half each", []Source{vars("a", along(1, Sign)), vars("b", along(1, Sign))},
			[]float64{0.5, 0.5}, "a",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i := range c.sources {
				c.sources[i].Remedy = "remedy of " + c.sources[i].Name
			}
			f := one(t, geom.Vec{}, c.sources...)
			for i, x := range f.Contributions {
				if math.Abs(x.Share-c.want[i]) > roundTol {
					t.Errorf("share %d: %v, want %v (%s)", i, x.Share, c.want[i], c.why)
				}
			}
			if f.Largest != c.largest || f.Remedy != "remedy of "+c.largest || f.LargestShare <= 0 {
				t.Errorf("largest %s, %q, share %v, want %s", f.Largest, f.Remedy, f.LargestShare, c.largest)
			}
		})
	}
}

// TestWorstFeature: the first of those with the largest 95 % error.
func TestWorstFeature(t *testing.T) {
	s := Spec{
		Sources:  []Source{vars("turn", Var{Rigid(pose(0, 0, 1)), 1e-3, Sign})},
		Features: []Feature{{"near", geom.Vec{X: 10}}, {"far", geom.Vec{X: 400}}, {"as far", geom.Vec{X: -400}}},
	}
	b := compute(t, s)
	if w := b.Worst(); w != 1 {
		t.Errorf("worst feature %d, want the first of the two far ones", w)
	}
	if got := b.Features[1].P95MM; !near(got, 0.4, roundTol) {
		t.Errorf("%v, want 0.4", got)
	}
	if w := (Budget{}).Worst(); w != -1 {
		t.Errorf("worst of none: %d", w)
	}
}

// TestFields holds the constructors against moves by hand.
func TestFields(t *testing.T) {
	p := geom.Vec{X: 300, Y: 20}
	for _, c := range []struct {
		name string
		f    Field
		want geom.Vec
	}{
		{"shift", Shift(geom.Vec{X: 1, Y: 2}), geom.Vec{X: 1, Y: 2}},
		{"rigid", Rigid(pose(1, 2, 0.01)), pose(1, 2, 0.01).Motion(p)},
		{"strain", Strain(0.01, 0.1, geom.Vec{X: 100, Y: -10}), geom.Vec{X: 2, Y: 3}},
		{"shear", Shear(0.1, 0.01, geom.Vec{X: 100, Y: -10}), geom.Vec{X: 3, Y: 2}},
		{"bow at its middle", Parabola(100, 500), geom.Vec{Y: 1}},
		{"bow of which it is an eighth", Parabola(200, 280), geom.Vec{Y: -1.25}},
		{"sum", Shift(geom.Vec{X: 1}).Add(Strain(0.01, 0.1, geom.Vec{})), geom.Vec{X: 4, Y: 2}},
		{"scaled", Shift(geom.Vec{X: 1}).Add(Shear(0.1, 0.01, geom.Vec{})).Scale(-2), geom.Vec{X: -6, Y: -6}},
	} {
		if d := c.f.At(p).Dist(c.want); d > roundTol*p.Norm() {
			t.Errorf("%s: %v, want %v", c.name, c.f.At(p), c.want)
		}
	}
}
