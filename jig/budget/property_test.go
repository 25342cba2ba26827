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
		good := ok(f.WorstMM) && ok(f.AlongWorstMM) && ok(f.AcrossWorstMM) && ok(f.P95MM) && ok(f.P95AlongMM) &&
			ok(f.P95AcrossMM)
		for _, x := range f.Contributions {
			good = good && ok(x.WorstMM) && ok(x.AlongWorstMM) && ok(x.AcrossWorstMM) &&
				ok(x.SDMM) && ok(x.AlongSDMM) && ok(x.AcrossSDMM) &&
				ok(math.Abs(x.AlongBiasMM)) &&
				ok(math.Abs(x.AcrossBiasMM))
			good = good && x.WorstMM >= max(x.AlongWorstMM, x.AcrossWorstMM) &&
				x.WorstMM <= math.Hypot(x.AlongWorstMM, x.AcrossWorstMM)*(1+roundTol)
		}
		for _, x := range f.Contributions {
			good = good && ok(math.Abs(x.Share))
		}
		if !good {
			t.Fatalf("feature %+v", f)
		}
	}
}

// drawSpec returns a spec of few trials with causes of the given laws.
func drawSpec(t *rapid.T, laws ...Law) Spec {
	// Whole millionths: what a job can say. TestScalingOfNothing has what it cannot.
	millionths := func(least, most int) *rapid.Generator[float64] {
		return rapid.Map(rapid.IntRange(least, most), func(n int) float64 { return float64(n) / 1e6 })
	}
	x, half := millionths(-1e6, 1e6), millionths(0, 3e5)
	s := Spec{Trials: 256 << rapid.IntRange(0, 4).Draw(t, "trials"), Seed: rapid.Uint64().Draw(t, "seed")}
	for i := range rapid.IntRange(0, 4).Draw(t, "sources") {
		src := Source{Name: fmt.Sprint("source ", i)}
		for range rapid.IntRange(0, 4).Draw(t, "causes") {
			src.Vars = append(src.Vars, Var{
				Field{
					geom.Vec{X: x.Draw(t, "shift u"), Y: x.Draw(t, "shift v")}, 1e-3 * x.Draw(t, "uu"), 1e-3 * x.Draw(t, "uv"),
					1e-3 * x.Draw(t, "vu"), 1e-3 * x.Draw(t, "vv"),
					1e-5 * x.Draw(t, "bow"),
				},
				half.Draw(t, "half"), rapid.SampledFrom(laws).Draw(t, "law"),
			})
		}
		if rapid.Bool().Draw(t, "play") {
			// No move belongs to the play: the middle is within half of it.
			h := pose(half.Draw(t, "play du"), half.Draw(t, "play dv"), 1e-3*half.Draw(t, "play theta"))
			k := x.Draw(t, "off centre")
			src.Play = boxPlay{pose(k*h.DU, k*h.DV, k*h.Theta), h}
			if rapid.Bool().Draw(t, "share") {
				src.PlayScale = ClearanceShare{millionths(0, 1e6).Draw(t, "mean"), millionths(0, 1e6).Draw(t, "sd")}
			}
		}
		s.Sources = append(s.Sources, src)
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "features") {
		s.Features = append(s.Features,
			Feature{fmt.Sprint("dot ", i), geom.Vec{X: 500 * x.Draw(t, "u"), Y: 60 * x.Draw(t, "v")}})
	}
	return s
}

func mustCompute(t rapid.TB, s Spec) Budget {
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
		for _, f := range mustCompute(t, drawSpec(t, Uniform, Sign, Fixed)).Features {
			const rel = 2*seat.WorstTolerance + roundTol
			if f.P95MM > f.WorstMM*(1+rel) || f.P95AlongMM > f.AlongWorstMM*(1+rel) ||
				f.P95AcrossMM > f.AcrossWorstMM*(1+rel) {
				t.Fatalf("95 %% above the worst: %+v", f)
			}
			if f.P95MM < max(f.P95AlongMM, f.P95AcrossMM)*(1-roundTol) {
				t.Fatalf("95 %% below its own coordinates: %+v", f)
			}
		}
	})
}

// TestScaling: all lengths k times as large, all results k times as large.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t, Normal, Uniform, Sign, Fixed)
		for i := range s.Sources {
			s.Sources[i].OwnHalf = 0.1 * float64(i)
		}
		checkScaling(t, s, rapid.Float64Range(0.1, 10).Draw(t, "factor"))
	})
}

// vanishing is a length whose square float64 rounds, or loses, mm.
const vanishing = 1e-140

// TestScalingOfNothing: a half of 7e-156, as once drawn, whose square is not exact in
// float64, and one whose square is nothing.
func TestScalingOfNothing(t *testing.T) {
	for _, half := range []float64{7e-156, 1e-170} {
		for _, law := range []Law{Normal, Uniform, Sign, Fixed} {
			src := vars("a", along(half, law), Var{Field{VU: half}, 1, law}, Var{Strain(1e-3, 0.3, geom.Vec{}), half, law})
			checkScaling(t, Spec{Sources: []Source{src}, Features: []Feature{{"dot", geom.Vec{X: 1, Y: 1}}}}, 3)
		}
	}
}

func checkScaling(t rapid.TB, s Spec, k float64) {
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
			v.Field.Bow /= k
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
		compareFeatures(t, a.Features[i], b.Features[i], k)
	}
}

// compareFeatures fails unless b is k times a. Figures that come out of cancellation
// are compared on the scale of the sum.
func compareFeatures(t rapid.TB, a, b FeatureBudget, k float64) {
	const rel = 3 * seat.WorstTolerance
	alike := func(what string, xs, ys []float64) {
		for i, x := range xs {
			if math.Abs(k*x-ys[i]) > rel*k*(a.WorstMM+math.Abs(x))+vanishing {
				t.Fatalf("%s %d: %v gives %v, factor %v\n%+v\n%+v", what, i, x, ys[i], k, a, b)
			}
		}
	}
	sums := func(f FeatureBudget) []float64 {
		return []float64{f.WorstMM, f.AlongWorstMM, f.AcrossWorstMM, f.P95MM, f.P95AlongMM, f.P95AcrossMM}
	}
	alike("sum", sums(a), sums(b))
	of := func(x Contribution) []float64 {
		return []float64{
			x.WorstMM, x.AlongWorstMM, x.AcrossWorstMM, x.AlongSDMM, x.AcrossSDMM, x.AlongBiasMM, x.AcrossBiasMM,
		}
	}
	for i, x := range a.Contributions {
		alike(x.Source, of(x), of(b.Contributions[i]))
	}
}
