package budget

import (
	"errors"
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// TestRefused: every fault has a type, and all are told at once.
func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	dot := []Feature{{"dot", geom.Vec{}}}
	box := boxPlay{half: pose(1, 1, 0)}
	with := func(src Source) Spec { return Spec{Sources: []Source{src}, Features: dot} }
	for _, c := range []struct {
		name string
		s    Spec
		want any
		says string
	}{
		{"nothing", Spec{}, new(*NoFeatureError), "no features"},
		{"nameless feature", Spec{Features: []Feature{{}}}, new(*NameError), "feature 0 has no name"},
		{"feature nowhere", Spec{Features: []Feature{{"dot", geom.Vec{Y: nan}}}}, new(*InputError), `place of feature 0 "dot" (mm) is NaN`},
		{"feature far away", Spec{Features: []Feature{{"dot", geom.Vec{X: 2e5}}}}, new(*InputError), "below 100 m"},
		{"nameless source", with(Source{}), new(*NameError), "source 0 has no name"},
		{"twins", Spec{Features: dot, Sources: []Source{{Name: "a"}, {Name: "a"}}}, new(*NameError), `source 1 has the name of an earlier one, "a"`},
		{"negative half", with(vars("a", along(-1, Uniform))), new(*InputError), `source "a", half width of cause 0 is -1; want zero or more`},
		{"half not a number", with(vars("a", along(nan, Known))), new(*InputError), "is NaN; want a finite number"},
		{"infinite field", with(vars("a", Var{Field{VV: inf}, 1, Sign})), new(*InputError), "field of cause 0"},
		{"no such law", with(vars("a", along(1, 4))), new(*LawError), "law 4; want normal, uniform"},
		{"negative own", with(Source{Name: "a", OwnHalf: -1}), new(*InputError), "own error"},
		{"share above 1", with(Source{Name: "a", Play: box, PlayScale: Scale{Mean: 1.1}}), new(*InputError), "share of the play is 1.1; want 0 to 1"},
		{"negative spread", with(Source{Name: "a", Play: box, PlayScale: Scale{SD: -0.1}}), new(*InputError), "share of the play is -0.1"},
		{"share not a number", with(Source{Name: "a", PlayScale: Scale{Mean: nan}}), new(*InputError), "share of the play is NaN"},
		{"negative trials", Spec{Features: dot, Trials: -1}, new(*InputError), "number of trials is -1; want 100 to 10000000, or 0 for 100000"},
		{"too many trials", Spec{Features: dot, Trials: 10_000_001}, new(*InputError), "number of trials"},
		{"reach not a number", with(Source{Name: "a", Play: badPlay{box, nan}}), new(*PlayError), `source "a": the play's reach is NaN`},
		{"infinite reach", with(Source{Name: "a", Play: badPlay{box, inf}}), new(*PlayError), "reach is +Inf"},
		{"infinite pose", with(Source{Name: "a", Play: boxPlay{half: pose(inf, 0, 0)}}), new(*PlayError), "pose is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := Compute(c.s)
			if err == nil {
				t.Fatalf("accepted: %+v", b)
			}
			if !errors.As(err, c.want) || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "budget: ") {
				t.Errorf("%T %v, want %T that says %q", err, err, c.want, c.says)
			}
			if len(b.Features) > 0 {
				t.Errorf("budget beside the error: %+v", b)
			}
		})
	}

	_, err := Compute(Spec{Trials: 5, Sources: []Source{{Name: "a", OwnHalf: nan, Vars: []Var{along(-1, Sign), along(1, -1)}}, {Name: "a"}}})
	const all = 6 // trials, no features, half, law, own, name
	if n := len(strings.Split(err.Error(), "\n")); n != all {
		t.Errorf("%d faults told, want %d:\n%v", n, all, err)
	}

	_, err = Compute(Spec{Features: dot, Sources: []Source{
		{Name: "a", Play: badPlay{box, nan}}, {Name: "b", Play: boxPlay{half: pose(0, inf, 0)}},
	}})
	if n := len(strings.Split(err.Error(), "\n")); n != 2 {
		t.Errorf("%d plays refused, want 2:\n%v", n, err)
	}
}

// badPlay answers one question badly.
type badPlay struct {
	Play
	reach float64
}

func (p badPlay) Reach(_, _ geom.Vec) float64 { return p.reach }

// TestNoError: without sources, or with sources of nothing, all is zero.
func TestNoError(t *testing.T) {
	for _, c := range []struct {
		name    string
		sources []Source
	}{
		{"no sources", nil},
		{"empty source", []Source{{Name: "a"}}},
		{"zeros of every kind", []Source{
			vars("a", along(0, Normal), along(0, Uniform), along(0, Sign), along(0, Known), Var{Half: 1}),
			{Name: "b", Play: boxPlay{}, PlayScale: Scale{0.5, 0.5}},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, geom.Vec{X: 100, Y: -5}, c.sources...)
			if f.WorstMM != 0 || f.AlongWorstMM != 0 || f.AcrossWorstMM != 0 || f.P95MM != 0 || f.P95AlongMM != 0 || f.P95AcrossMM != 0 {
				t.Errorf("%+v", f)
			}
			if len(f.Terms) != len(c.sources) {
				t.Errorf("%d terms of %d sources", len(f.Terms), len(c.sources))
			}
			for _, x := range f.Terms {
				if x.Source = ""; x != (Term{}) {
					t.Errorf("%+v", x)
				}
			}
			if x, share, ok := f.Largest(); ok || share != 0 || x != (Term{}) {
				t.Errorf("largest %+v", x)
			}
		})
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
		{"spread and bias", "16 : 9", []Source{vars("a", along(4, Sign)), vars("b", along(-3, Known))}, []float64{0.64, 0.36}, "a"},
		{"biases that add", "2 x 3 : 1 x 3", []Source{vars("a", along(2, Known)), vars("b", along(1, Known))}, []float64{2. / 3, 1. / 3}, "a"},
		{"biases that nearly cancel", "B = 1: 5 x 1, -4 x 1, and 1 squared", []Source{vars("a", along(5, Known)), vars("b", along(-4, Known)), vars("c", along(1, Sign))}, []float64{2.5, -2, 0.5}, "a"},
		{"biases that cancel", "only the spread is left", []Source{vars("a", along(5, Known)), vars("b", along(-5, Known)), vars("c", along(1, Sign))}, []float64{0, 0, 1}, "c"},
		{"first of equals", "half each", []Source{vars("a", along(1, Sign)), vars("b", along(1, Sign))}, []float64{0.5, 0.5}, "a"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i := range c.sources {
				c.sources[i].Remedy = "remedy of " + c.sources[i].Name
			}
			f := one(t, geom.Vec{}, c.sources...)
			for i, s := range f.Shares() {
				if math.Abs(s-c.want[i]) > roundTol {
					t.Errorf("share %d: %v, want %v (%s)", i, s, c.want[i], c.why)
				}
			}
			x, share, ok := f.Largest()
			if !ok || x.Source != c.largest || x.Remedy != "remedy of "+c.largest || share <= 0 {
				t.Errorf("largest %+v, share %v, want %s", x, share, c.largest)
			}
		})
	}
}

// TestWorstFeature: the first of those with the largest 95 % error.
func TestWorstFeature(t *testing.T) {
	s := Spec{
		Sources:  []Source{vars("turn", Var{Rigid(pose(0, 0, 1)), 1e-3, Sign})},
		Features: []Feature{{"near", geom.Vec{X: 10}}, {"far", geom.Vec{X: 400}}, {"as far", geom.Vec{X: -400}}},
		Trials:   leastTrials,
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
		{"sum", Shift(geom.Vec{X: 1}).Add(Strain(0.01, 0.1, geom.Vec{})), geom.Vec{X: 4, Y: 2}},
		{"scaled", Shift(geom.Vec{X: 1}).Add(Shear(0.1, 0.01, geom.Vec{})).Scale(-2), geom.Vec{X: -6, Y: -6}},
	} {
		if d := c.f.At(p).Dist(c.want); d > roundTol*p.Norm() {
			t.Errorf("%s: %v, want %v", c.name, c.f.At(p), c.want)
		}
	}
}
