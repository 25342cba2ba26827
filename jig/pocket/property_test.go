package pocket

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// inlays draws diameters within 0.1 mm of each other.
func inlays(t *rapid.T) []float64 {
	d := rapid.Float64Range(2, 12).Draw(t, "d")
	return rapid.SliceOfN(rapid.Float64Range(d-0.05, d+0.05), 1, 8).Draw(t, "inlays")
}

func anySpec(t *rapid.T) Spec {
	b := Board{
		LengthMM:      480,
		WidthStartMM:  rapid.Float64Range(30, 60).Draw(t, "w0"),
		WidthEndMM:    rapid.Float64Range(30, 60).Draw(t, "w1"),
		ThicknessMM:   rapid.Float64Range(4, 12).Draw(t, "T"),
		CrownRadiusMM: rapid.SampledFrom([]float64{0, 180, 254, 400}).Draw(t, "R"),
		FinalRadiusMM: rapid.SampledFrom([]float64{0, 180, 300}).Draw(t, "Rf"),
		SandMM:        rapid.Float64Range(0, 0.4).Draw(t, "sand"),
	}
	f := Feature{
		Name: "p", UMM: rapid.Float64Range(0, 480).Draw(t, "u"), VMM: rapid.Float64Range(-30, 30).Draw(t, "v"),
		InlaysMM: inlays(t), InlayThicknessMM: rapid.Float64Range(0.5, 3).Draw(t, "t"),
		ProudMM: rapid.Float64Range(0, 0.4).Draw(t, "proud"),
	}
	if rapid.Bool().Draw(t, "depth") {
		f.DepthMM = rapid.Float64Range(0.5, 3).Draw(t, "given")
	}
	return Spec{
		Board: b, Features: []Feature{f}, CutterMM: 1.5, GlueGapMM: rapid.Float64Range(0, 0.1).Draw(t, "gap"),
		UndersizeMM: rapid.Float64Range(0, 0.5).Draw(t, "under"), StepMM: rapid.Float64Range(0.01, 0.3).Draw(t, "step"),
	}
}

// Cuts grow by no more than the step, none is larger than the finished diameter,
// the last is that, and every measured inlay enters it with the gap.
func TestCutsNeverTooLarge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpec(t)
		s.Features[0].InlayThicknessMM, s.Features[0].ProudMM, s.Features[0].DepthMM = 0, 0, 1
		p, err := NewPlan(s)
		if err != nil {
			t.Fatal(err)
		}
		k := p.Pockets[0]
		final := k.Size.BoreMM
		for _, d := range s.Features[0].InlaysMM {
			if final < d+s.GlueGapMM-exactly {
				t.Fatalf("inlay %g does not enter %g", d, final)
			}
		}
		last := max(final-s.UndersizeMM, s.CutterMM+2*leastHelixMM) - exactly
		for i, c := range k.Cuts {
			if c.BoreMM > final || c.BoreMM < s.CutterMM+2*leastHelixMM {
				t.Fatalf("cut %+v of %g", c, final)
			}
			if i > 0 && c.BoreMM <= last || c.BoreMM > last+s.StepMM+mergeMM+exactly {
				t.Fatalf("cut %+v after %g, step %g", c, last, s.StepMM)
			}
			last = c.BoreMM
		}
		if last != final {
			t.Fatalf("ends at %g, not %g", last, final)
		}
	})
}

// Dense sampling of every place that the inlay can take in its bore: the disc of
// the bore, 60 rings of 240 points, the surface by the circle's equation as it is
// written in textbooks.
func TestSeatAgainstSampling(t *testing.T) {
	planned, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := anySpec(t)
		b, f := s.Board, s.Features[0]
		size := f.size(s.GlueGapMM)
		seat := f.seat(b, size.BoreMM)
		circle := func(r, v float64) float64 {
			if r == 0 {
				return 0
			}
			return r - math.Sqrt(r*r-v*v)
		}
		rf := b.FinalRadiusMM
		if rf == 0 {
			rf = b.CrownRadiusMM
		}
		floor := b.ThicknessMM - seat.DepthMM
		proud, left, depth := math.Inf(1), f.InlayThicknessMM, math.Inf(1)
		for i := 0; i <= 60; i++ {
			for j := range 240 {
				v := f.VMM + size.BoreMM/2*float64(i)/60*math.Sin(2*math.Pi*float64(j)/240)
				top := b.ThicknessMM - circle(b.CrownRadiusMM, v)
				after := min(top, b.ThicknessMM-b.SandMM-circle(rf, v))
				proud = min(proud, floor+f.InlayThicknessMM-top)
				left = min(left, after-floor)
				depth = min(depth, top-floor)
			}
		}
		// The samples hold the points nearest to and farthest from the datum line
		// unless the disc crosses it, and then miss it by a ring's spacing at most.
		const sampling = 1e-4
		for _, c := range []struct {
			what      string
			got, want float64
		}{{"least proud", seat.LeastProudMM, proud}, {"left", seat.LeftMM, left},
			{"least depth", seat.LeastDepthMM, depth}} {
			if math.Abs(c.got-c.want) > sampling {
				t.Fatalf("%s %g, sampled %g", c.what, c.got, c.want)
			}
		}
		if seat.LeastProudMM > proud+exactly || seat.LeftMM > left+exactly {
			t.Fatal("a sample is worse than the worst")
		}
		if f.DepthMM == 0 && math.Abs(seat.LeastProudMM-f.ProudMM) > exactly {
			t.Fatalf("proud %g, wanted %g", seat.LeastProudMM, f.ProudMM)
		}
		// New refuses exactly what the samples show to be cut through, but for figures
		// too near to nothing for them to tell.
		_, err := NewPlan(s)
		through := left < 0 || floor < 0
		if math.Min(math.Abs(left), math.Abs(floor)) > sampling && (err != nil) != through {
			t.Fatalf("left %g, floor %g: %v", left, floor, err)
		}
		if err == nil {
			planned++
			return
		}
		refused++
		if !strings.Contains(err.Error(), "nothing is left") && !strings.Contains(err.Error(), "breaks through") {
			t.Fatal(err)
		}
	})
	if planned == 0 || refused == 0 {
		t.Fatalf("%d planned, %d refused: one of them was not tried", planned, refused)
	}
}

// The distance to the board's edge against 4000 points on every edge.
func TestEdgeAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpec(t)
		b, f := s.Board, s.Features[0]
		got := b.toEdge(f.UMM, f.VMM, 5).mm
		corners := [][2]float64{{0, b.WidthStartMM / 2}, {b.LengthMM, b.WidthEndMM / 2}, {b.LengthMM, -b.WidthEndMM / 2},
			{0, -b.WidthStartMM / 2}}
		// A foot between two samples lies half their spacing from the nearer one at most,
		// square to the distance.
		want, spacing := math.Inf(1), 481.0/4000
		for i, p := range corners {
			q := corners[(i+1)%4]
			for j := range 4000 {
				x := float64(j) / 4000
				want = min(want, math.Hypot(p[0]+(q[0]-p[0])*x-f.UMM, p[1]+(q[1]-p[1])*x-f.VMM))
			}
		}
		inside := f.UMM >= 0 && f.UMM <= b.LengthMM &&
			math.Abs(f.VMM) <= b.WidthStartMM/2+(b.WidthEndMM-b.WidthStartMM)*f.UMM/b.LengthMM/2
		switch {
		case !inside && got > -2.5+exactly:
			t.Fatalf("outside, %g", got)
		case inside && (got > want-2.5+exactly || want > math.Hypot(got+2.5, spacing/2)+exactly):
			t.Fatalf("%g, sampled %g", got, want-2.5)
		}
	})
}

// The largest of five leaves one more to enter in 5 of 6: the same for every continuous
// distribution (order statistics). The average of the stated probabilities must come near
// it over 5000 seeded batches, whose spread is far above the micrometer's floor.
func TestOneMoreCoverage(t *testing.T) {
	const trials = 5000
	r := rand.New(rand.NewPCG(11, 1))
	odds := 0.0
	for range trials {
		f := Feature{InlaysMM: make([]float64, 5)}
		for i := range f.InlaysMM {
			f.InlaysMM[i] = 6 + 0.03*r.NormFloat64()
		}
		odds += f.size(0).OneMore.Odds
	}
	if avg := odds / trials; math.Abs(avg-5.0/6) > 0.02 {
		t.Errorf("stated odds %.4f on average, want near %.4f", avg, 5.0/6)
	}
}
