package budget

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// finiteBudget fails unless every figure is finite and, biases apart, not
// negative.
func finiteBudget(t rapid.TB, b Budget) {
	t.Helper()
	ok := func(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
	for _, f := range b.Features {
		good := ok(f.WorstMM) && ok(f.AlongWorstMM) && ok(f.AcrossWorstMM) && ok(f.P95MM) && ok(f.P95AlongMM) && ok(f.P95AcrossMM)
		for _, x := range f.Terms {
			good = good && ok(x.WorstMM) && ok(x.AlongWorstMM) && ok(x.AcrossWorstMM) && ok(x.SDMM) && ok(x.AlongSDMM) && ok(x.AcrossSDMM) &&
				ok(math.Abs(x.AlongBiasMM)) && ok(math.Abs(x.AcrossBiasMM))
			good = good && x.WorstMM >= max(x.AlongWorstMM, x.AcrossWorstMM) && x.WorstMM <= math.Hypot(x.AlongWorstMM, x.AcrossWorstMM)*(1+roundTol)
		}
		for _, x := range f.Shares() {
			good = good && ok(math.Abs(x))
		}
		if !good {
			t.Fatalf("feature %+v, shares %v", f, f.Shares())
		}
	}
}

// vanishing is a length whose square is zero in float64, mm.
const vanishing = 1e-161

// drawSpec returns a spec of few trials with causes of the given laws.
func drawSpec(t *rapid.T, laws ...Law) Spec {
	x := rapid.Float64Range(-1, 1)
	half := rapid.Float64Range(0, 0.3)
	s := Spec{Trials: rapid.IntRange(leastTrials, 3000).Draw(t, "trials"), Seed: rapid.Uint64().Draw(t, "seed")}
	for i := range rapid.IntRange(0, 4).Draw(t, "sources") {
		src := Source{Name: fmt.Sprint("source ", i)}
		for range rapid.IntRange(0, 4).Draw(t, "causes") {
			src.Vars = append(src.Vars, Var{
				Field{geom.Vec{X: x.Draw(t, "shift u"), Y: x.Draw(t, "shift v")}, 1e-3 * x.Draw(t, "uu"), 1e-3 * x.Draw(t, "uv"), 1e-3 * x.Draw(t, "vu"), 1e-3 * x.Draw(t, "vv")},
				half.Draw(t, "half"), rapid.SampledFrom(laws).Draw(t, "law"),
			})
		}
		if rapid.Bool().Draw(t, "play") {
			// No move belongs to the play: the middle is within half of it.
			h := pose(half.Draw(t, "play du"), half.Draw(t, "play dv"), 1e-3*half.Draw(t, "play theta"))
			k := x.Draw(t, "off centre")
			src.Play = boxPlay{pose(k*h.DU, k*h.DV, k*h.Theta), h}
			if rapid.Bool().Draw(t, "share") {
				src.PlayScale = Scale{rapid.Float64Range(0, 1).Draw(t, "mean"), rapid.Float64Range(0, 1).Draw(t, "sd")}
			}
		}
		s.Sources = append(s.Sources, src)
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "features") {
		s.Features = append(s.Features, Feature{fmt.Sprint("dot ", i), geom.Vec{X: 500 * x.Draw(t, "u"), Y: 60 * x.Draw(t, "v")}})
	}
	return s
}

func mustCompute(t *rapid.T, s Spec) Budget {
	b, err := Compute(s)
	if err != nil {
		t.Fatal(err)
	}
	finiteBudget(t, b)
	return b
}

// TestNoTrialBeyondWorst: when every law is bounded, so is the simulation.
func TestNoTrialBeyondWorst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, f := range mustCompute(t, drawSpec(t, Uniform, Sign, Known)).Features {
			const rel = 2*worstTolerance + roundTol
			if f.P95MM > f.WorstMM*(1+rel) || f.P95AlongMM > f.AlongWorstMM*(1+rel) || f.P95AcrossMM > f.AcrossWorstMM*(1+rel) {
				t.Fatalf("95 %% above the worst: %+v", f)
			}
			if f.P95MM < max(f.P95AlongMM, f.P95AcrossMM)*(1-roundTol)-vanishing {
				t.Fatalf("95 %% below its own coordinates: %+v", f)
			}
		}
	})
}

// TestScaling: all lengths k times as large, all results k times as large.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t, Normal, Uniform, Sign, Known)
		k := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		for i := range s.Sources {
			s.Sources[i].OwnHalf = 0.1 * float64(i)
		}
		large := s
		large.Sources, large.Features = nil, nil
		for _, f := range s.Features {
			large.Features = append(large.Features, Feature{f.Name, f.At.Scale(k)})
		}
		for _, src := range s.Sources {
			vs := src.Vars
			src.Vars = nil
			for _, v := range vs {
				v.Field.Shift = v.Field.Shift.Scale(k) // strains and turns are ratios
				src.Vars = append(src.Vars, v)
			}
			if b, ok := src.Play.(boxPlay); ok {
				src.Play = boxPlay{pose(k*b.mid.DU, k*b.mid.DV, b.mid.Theta), pose(k*b.half.DU, k*b.half.DV, b.half.Theta)}
			}
			src.OwnHalf *= k
			large.Sources = append(large.Sources, src)
		}
		a, b := mustCompute(t, s), mustCompute(t, large)
		for i := range a.Features {
			compareFeatures(t, a.Features[i], b.Features[i], k, false)
		}
	})
}

// TestQuarterTurn: a frame turned by a quarter turn changes along and across and
// nothing else.
func TestQuarterTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t, Normal, Uniform, Sign, Known)
		turned := s
		turned.Sources, turned.Features = nil, nil
		for _, f := range s.Features {
			turned.Features = append(turned.Features, Feature{f.Name, f.At.Left()})
		}
		for _, src := range s.Sources {
			vs := src.Vars
			src.Vars = nil
			for _, v := range vs {
				// R M R^-1 with R = (0 -1; 1 0).
				f := v.Field
				v.Field = Field{f.Shift.Left(), f.VV, -f.VU, -f.UV, f.UU}
				src.Vars = append(src.Vars, v)
			}
			if src.Play != nil {
				src.Play = turnedPlay{src.Play}
			}
			turned.Sources = append(turned.Sources, src)
		}
		a, b := mustCompute(t, s), mustCompute(t, turned)
		for i := range a.Features {
			compareFeatures(t, a.Features[i], b.Features[i], 1, true)
		}
	})
}

// turnedPlay is a play in a frame turned by a quarter turn.
type turnedPlay struct{ Play }

func (p turnedPlay) Reach(at, dir geom.Vec) float64 {
	return p.Play.Reach(at.Left().Scale(-1), dir.Left().Scale(-1))
}

func (p turnedPlay) Place(u [3]float64) (q seat.Pose) {
	q = p.Play.Place(u)
	q.DU, q.DV = -q.DV, q.DU
	return q
}

// turnedTol, a share of the worst case, is more than two simulations of as few trials
// as these differ by: with leastTrials the 95 % figure's own deviation is about a
// tenth of it.
const turnedTol = 0.4

// compareFeatures fails unless b is k times a, with the axes changed or not.
// Figures that come out of cancellation are compared on the scale of the sum.
func compareFeatures(t *rapid.T, a, b FeatureBudget, k float64, changed bool) {
	const rel = 3 * worstTolerance
	alike := func(what string, x, y float64) {
		if math.Abs(k*x-y) > rel*k*(a.WorstMM+math.Abs(x))+vanishing {
			t.Fatalf("%s: %v gives %v, factor %v\n%+v\n%+v", what, x, y, k, a, b)
		}
	}
	pair := func(what string, a1, a2, b1, b2 float64) {
		if changed {
			b1, b2 = b2, b1
		}
		alike(what, a1, b1)
		alike(what, a2, b2)
	}
	alike("worst", a.WorstMM, b.WorstMM)
	if changed {
		// Normal causes are drawn by their covariance, whose factor is another in
		// another frame: the simulations differ, by chance.
		chance := func(x, y float64) {
			if math.Abs(x-y) > turnedTol*a.WorstMM+vanishing {
				t.Fatalf("95 %%: %v gives %v\n%+v\n%+v", x, y, a, b)
			}
		}
		chance(a.P95MM, b.P95MM)
		chance(a.P95AlongMM, b.P95AcrossMM)
		chance(a.P95AcrossMM, b.P95AlongMM)
	} else {
		alike("95 %", a.P95MM, b.P95MM)
		alike("95 %", a.P95AlongMM, b.P95AlongMM)
		alike("95 %", a.P95AcrossMM, b.P95AcrossMM)
	}
	pair("worst", a.AlongWorstMM, a.AcrossWorstMM, b.AlongWorstMM, b.AcrossWorstMM)
	for i, x := range a.Terms {
		y := b.Terms[i]
		alike("term", x.WorstMM, y.WorstMM)
		pair("term", x.AlongWorstMM, x.AcrossWorstMM, y.AlongWorstMM, y.AcrossWorstMM)
		pair("deviation", x.AlongSDMM, x.AcrossSDMM, y.AlongSDMM, y.AcrossSDMM)
		pair("bias", math.Abs(x.AlongBiasMM), math.Abs(x.AcrossBiasMM), math.Abs(y.AlongBiasMM), math.Abs(y.AcrossBiasMM))
	}
}

// TestAnotherSource: one more never lowers the worst case, and leaves the other
// terms as they are.
func TestAnotherSource(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t, Normal, Uniform, Sign, Known)
		more := mustCompute(t, s)
		if len(s.Sources) == 0 {
			return
		}
		s.Sources = s.Sources[:len(s.Sources)-1]
		less := mustCompute(t, s)
		for i, f := range less.Features {
			g := more.Features[i]
			if f.WorstMM > g.WorstMM || f.AlongWorstMM > g.AlongWorstMM || f.AcrossWorstMM > g.AcrossWorstMM {
				t.Fatalf("lowered: %+v to %+v", f, g)
			}
			for j := range f.Terms {
				if f.Terms[j] != g.Terms[j] {
					t.Fatalf("term %d changed: %+v to %+v", j, f.Terms[j], g.Terms[j])
				}
			}
		}
	})
}

// TestAnyNumbers: whatever the figures, an error or a budget of finite ones.
func TestAnyNumbers(t *testing.T) {
	x := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-largest, largest), rapid.SampledFrom([]float64{0, -1, largest, math.NaN(), math.Inf(1), math.SmallestNonzeroFloat64}))
	good, bad := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string) float64 { return x.Draw(t, name) }
		s := Spec{Trials: leastTrials, Features: []Feature{{"dot", geom.Vec{X: n("u"), Y: n("v")}}}}
		if rapid.Bool().Draw(t, "cause") {
			s.Sources = []Source{{Name: "a", OwnHalf: n("own"), Vars: []Var{{Field{geom.Vec{X: n("du"), Y: n("dv")}, n("uu"), n("uv"), n("vu"), n("vv")}, n("half"), Law(rapid.IntRange(-1, 4).Draw(t, "law"))}}}}
		}
		if rapid.Bool().Draw(t, "play") {
			s.Sources = append(s.Sources, Source{Name: "b", Play: boxPlay{pose(n("du"), n("dv"), n("theta")), pose(n("hu"), n("hv"), n("ht"))}, PlayScale: Scale{n("mean"), n("sd")}})
		}
		b, err := Compute(s)
		if err != nil {
			bad++
			return
		}
		good++
		finiteBudget(t, b)
	})
	if good == 0 || bad == 0 {
		t.Errorf("%d budgets and %d errors: the test looks at one side only", good, bad)
	}
}
