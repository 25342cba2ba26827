package pocket

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// byHand is the agreement asked of worked examples that are rounded to 1e-5.
const byHand = 1.1e-5

// exactly is what a few additions of lengths under 1000 mm lose.
const exactly = 1e-9

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.7f, want %.7f", what, got, want)
	}
}

// board is a tapered board with a crown of 300 mm, 6 mm thick.
func board() Board {
	return Board{LengthMM: 480, WidthStartMM: 42, WidthEndMM: 56, ThicknessMM: 6, CrownRadiusMM: 300}
}

func spec(f ...Feature) Spec {
	for i := range f {
		f[i].Name = fmt.Sprint("dot ", i+1)
	}
	return Spec{Board: board(), Features: f, CutterMM: 3, GlueGapMM: 0.04, UndersizeMM: 0.2, StepMM: 0.08, OpaqueMM: 1}
}

func plan(t *testing.T, s Spec) Plan {
	t.Helper()
	p, err := NewPlan(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Worked by hand. Bore: the largest of 6.02, 5.99, 6.00, 5.97, 6.02 is 6.02, and
// 0.04 makes 6.06. Cuts 5.86, 5.94, 6.02, 6.06.
//
// Seat at v = 11: near 11 - 3.03 = 7.97, far 14.03. On 300 mm:
// sqrt(90000 - 63.5209) = 299.894113, drop 0.105887 at 7.97;
// sqrt(90000 - 196.8409) = 299.671752, drop 0.328248 at 14.03.
// With t = 1.9, proud 0.3: floor = 6 - 0.105887 + 0.3 - 1.9 = 4.294113, depth
// 1.705887. Left 6 - 0.328248 - 4.294113 = 1.377639.
func TestByHand(t *testing.T) {
	p := plan(t, spec(Feature{UMM: 200, VMM: 11, InlaysMM: []float64{6.02, 5.99, 6.00, 5.97, 6.02},
		InlayThicknessMM: 1.9, ProudMM: 0.3}))
	k := p.Pockets[0]
	near(t, "bore", k.Size.BoreMM, 6.06, exactly)
	near(t, "loosest gap", k.Size.LoosestGapMM, 0.09, exactly)
	wantCuts := []float64{5.86, 5.94, 6.02, 6.06}
	if len(k.Cuts) != len(wantCuts) || p.Steps != len(wantCuts) {
		t.Fatalf("cuts %+v", k.Cuts)
	}
	for i, c := range k.Cuts {
		near(t, "cut", c.BoreMM, wantCuts[i], exactly)
		near(t, "helix", c.HelixMM, (wantCuts[i]-3)/2, exactly)
	}
	near(t, "depth", k.Seat.DepthMM, 1.705887, byHand)
	near(t, "left", k.Seat.LeftMM, 1.377639, byHand)
	near(t, "least proud", k.Seat.LeastProudMM, 0.3, exactly)
	near(t, "under", k.Seat.UnderMM, 4.294113, byHand)
	if len(p.Findings) != 0 {
		t.Errorf("findings %+v", p.Findings)
	}
}

// A pocket over the datum line: the rim crosses it, so that near is 0 and the least
// proud height is at the crest. v = 1, bore 6: near 0, far 4; drop(4) on 300 mm =
// 300 - sqrt(89984) = 0.026668, drop(1) = 0.001667. Depth of 1.5 below the face at v = 1
// is 1.501667 below the datum line; t = 1.6: proud 0.098333, left 1.501667 - 0.026668 =
// 1.474999.
func TestOverTheDatumLine(t *testing.T) {
	k := plan(t, spec(Feature{UMM: 200, VMM: -1, BoreMM: 6, InlayThicknessMM: 1.6, DepthMM: 1.5,
		ProudMM: 0.1})).Pockets[0]
	near(t, "depth", k.Seat.DepthMM, 1.501667, byHand)
	near(t, "depth at the feature", k.Seat.AtFeatureMM, 1.5, exactly)
	near(t, "proud", k.Seat.LeastProudMM, 0.098333, byHand)
	near(t, "left", k.Seat.LeftMM, 1.474999, byHand)
}

// A flat board that is radiused to 300 mm after the inlays are in, with 0.2 mm off
// its datum line: at v = 11, bore 6, far 14 has drop 300 - sqrt(89804) = 0.326845.
// Depth 1.6, t = 1.6, so flush; left 1.6 - 0.2 - 0.326845 = 1.073155.
func TestRadiusedAfterwards(t *testing.T) {
	s := spec(Feature{UMM: 200, VMM: 11, BoreMM: 6, InlayThicknessMM: 1.6})
	s.Board.CrownRadiusMM, s.Board.FinalRadiusMM, s.Board.SandMM = 0, 300, 0.2
	k := plan(t, s).Pockets[0]
	near(t, "depth", k.Seat.DepthMM, 1.6, exactly)
	near(t, "proud", k.Seat.LeastProudMM, 0, exactly)
	near(t, "left", k.Seat.LeftMM, 1.073155, byHand)
}

// rules asks for exactly the rules of the findings, in order.
func rules(t *testing.T, p Plan, want ...string) {
	t.Helper()
	var got []string
	for _, f := range p.Findings {
		got = append(got, f.Rule)
		if f.Says == "" || !strings.HasPrefix(f.Says, f.Feature+": ") {
			t.Errorf("finding says %q", f.Says)
		}
	}
	if strings.Join(got, ",") != strings.Join(want, ",") {
		t.Errorf("findings %q, want %q", got, want)
	}
}

func TestFindings(t *testing.T) {
	for _, c := range []struct {
		name, reason string
		s            Spec
		want         []string
		value        float64 // of the first
	}{
		{"good", "nothing to say", spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 1.5}), nil, 0},
		{"fret", "slot 0.6 wide at 203.1: 3.1 - 0.3 - 3 = -0.2", func() Spec {
			s := spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 1.5})
			s.Board.Frets = []Fret{{"7", 203.1, 0.6}, {"6", 190, 0.6}}
			return s
		}(), []string{"fret"}, -0.2},
		{"fret, thin", "slot 0.6 wide at 203.5: 0.2 left", func() Spec {
			s := spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 1.5})
			s.Board.Frets = []Fret{{"7", 203.5, 0.6}}
			return s
		}(), []string{"fret"}, 0.2},
		{"start end", "u = 2.5: the rim reaches 0.5 out", spec(Feature{UMM: 2.5, BoreMM: 6, DepthMM: 1.5}),
			[]string{"edge"}, -0.5},
		{"pair", "two of 6 mm 5.5 apart", spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 1.5},
			Feature{UMM: 205.5, BoreMM: 6, DepthMM: 1.5}), []string{"web", "web"}, -0.5},
		{"proud", "1.4 deep for 1.5 thick on the crest: 0.1",
			spec(Feature{UMM: 200, BoreMM: 6, InlayThicknessMM: 1.5, DepthMM: 1.4, ProudMM: 0.3}), []string{"proud"}, 0.1},
		{"opaque", "0.9 thick and flush over the datum line; far 3: 0.9 - 0.015",
			spec(Feature{UMM: 200, BoreMM: 6, InlayThicknessMM: 0.9}), []string{"opaque"}, 0.9 - (300 - math.Sqrt(90000-9))},
		{"floor", "4.8 of 6", spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 4.8}), []string{"floor"}, 1.2},
		{"not a pocket", "0.1 deep at v = 10, and the crown falls 0.115 more to v = 13",
			spec(Feature{UMM: 200, VMM: 10, BoreMM: 6, DepthMM: 0.1}), []string{"depth"}, 0.1 - (math.Sqrt(90000-100) - math.Sqrt(90000-169))},
		{"glue line", "5.8 in a bore of 6.04", spec(Feature{UMM: 200, InlaysMM: []float64{5.8, 6}, InlayThicknessMM: 2}),
			[]string{"glue line"}, 0.24},
		{"loose", "discs of 5.08 in the bore of 5.4 that is there",
			spec(Feature{UMM: 200, InlaysMM: []float64{5.08, 5.12}, InlayThicknessMM: 2, ThereMM: 5.4, ThereDeepMM: 1.5}),
			[]string{"loose"}, 0.32},
		{"loose by a hair", "5.21 in 5.42",
			spec(Feature{UMM: 200, InlaysMM: []float64{5.21}, InlayThicknessMM: 2, ThereMM: 5.42}), []string{"loose"}, 0.21},
		{"fills what is there", "5.22 in 5.42",
			spec(Feature{UMM: 200, InlaysMM: []float64{5.22}, InlayThicknessMM: 2, ThereMM: 5.42}), nil, 0},
		{"too deep", "2.5 deep where 2 less 0.2 serves",
			spec(Feature{UMM: 200, InlaysMM: []float64{6}, InlayThicknessMM: 2, ProudMM: 0.2, ThereMM: 6, ThereDeepMM: 2.5}),
			[]string{"too deep"}, 0.7},
		{"first cut", "a cutter of 5.9 bores no 5.8", func() Spec {
			s := spec(Feature{UMM: 200, BoreMM: 6, DepthMM: 1.5})
			s.CutterMM = 5.9
			return s
		}(), []string{"first cut"}, 5.96},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(t, c.s)
			rules(t, p, c.want...)
			if len(p.Findings) > 0 {
				near(t, c.reason, p.Findings[0].Value, c.value, exactly)
				followed(t, c.s, p.Findings[0])
			}
		})
	}
}

// followed does what a finding's remedy says and asks for a plan without that finding.
func followed(t *testing.T, s Spec, f Finding) {
	t.Helper()
	if f.Remedy.Says == "" {
		t.Errorf("%s has no remedy", f.Rule)
	}
	k := &s.Features[0]
	switch f.Of {
	case "":
		return
	case "bore":
		k.BoreMM = f.ToMM
	case "depth":
		k.DepthMM = f.ToMM
	case "inlay.measured":
		k.InlaysMM = []float64{f.ToMM}
	case "inlay.thickness":
		k.InlayThicknessMM = f.ToMM
	case "cutter":
		s.CutterMM = f.ToMM
	default:
		t.Fatalf("%s changes %q", f.Rule, f.Of)
	}
	for _, g := range plan(t, s).Findings {
		if g.Rule == f.Rule {
			t.Errorf("%s: %s was followed, and still %s", f.Rule, f.Remedy.Says, g.Says)
		}
	}
}

// TestNoAir: cuts that meet no wood are left out: all of a loose disc's, and those within a
// bore that is deep enough already. Above a floor that goes deeper they stay.
func TestNoAir(t *testing.T) {
	for _, c := range []struct {
		name  string
		f     Feature
		first float64
		cuts  int
	}{
		{"nothing there", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2}, 5.84, 4},
		{"shallower", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 5.95, ThereDeepMM: 1.5}, 5.84, 4},
		{"depth not known", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 5.95}, 5.84, 4},
		{"deep enough", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 5.95, ThereDeepMM: 2}, 6, 2},
		{"as it should be", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 6.04, ThereDeepMM: 2}, 0, 0},
		{"loose", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 6.3, ThereDeepMM: 1}, 0, 0},
		{"larger and shallower", Feature{InlaysMM: []float64{6}, InlayThicknessMM: 2, ThereMM: 6.1, ThereDeepMM: 1}, 5.9, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.f.UMM = 200
			p := plan(t, spec(c.f))
			k := p.Pockets[0].Cuts
			if len(k) != c.cuts || p.Steps != c.cuts {
				t.Fatalf("cuts %+v, want %d", k, c.cuts)
			}
			if len(k) > 0 {
				near(t, "first", k[0].BoreMM, c.first, exactly)
			}
		})
	}
}

// Of 5.9, 6.0 and 6.0, mean 5.96667 and s 0.0577, one more enters 6.0 with
// P(t < 0.03333/(0.0577 x 1.1547)) = P(t(2) < 0.5) = 0.6667 (1/2 + t/(2 sqrt(2 + t^2)),
// the distribution with two degrees of freedom). Of three alike, the micrometer's half
// error of 0.001 spreads them: the gap of 0.04 is beyond doubt.
func TestOneMore(t *testing.T) {
	s := spec(Feature{UMM: 200, InlaysMM: []float64{5.9, 6, 6}, InlayThicknessMM: 1.9})
	s.GlueGapMM = 0
	p := plan(t, s)
	near(t, "enters", p.Pockets[0].Size.OneMore.Odds, 0.5+0.5/(2*1.5), 1e-3)
	rules(t, p, "one more")
	rules(t, plan(t, spec(Feature{UMM: 200, InlaysMM: []float64{6, 6, 6}, InlayThicknessMM: 1.9})))
}

// TestRefused: what cannot be meant, then what cannot be cut, each all at once.
func TestRefused(t *testing.T) {
	slips := spec(
		Feature{UMM: 100, InlaysMM: []float64{6, 6.01, 6.9}, InlayThicknessMM: 2},
		Feature{UMM: 200, InlaysMM: []float64{6, 6.01, 5.2}, InlayThicknessMM: 2},
	)
	slips.StepMM = 0.0005
	for _, c := range []struct {
		s    Spec
		says []string
	}{
		{slips, []string{"more than 200 cuts", "dot 1: inlay 3 measures 6.9", "dot 2: inlay 3 measures 5.2"}},
		{spec(
			Feature{UMM: 50, BoreMM: 2.9, DepthMM: 1},
			Feature{UMM: 100, BoreMM: 6, DepthMM: 6.1},
			Feature{UMM: 200, VMM: 18, InlaysMM: []float64{6}, InlayThicknessMM: 0.5, ProudMM: 0.45},
		), []string{"dot 1: a cutter of 3 mm cannot bore 2.9 mm", "dot 2: breaks through", "dot 3: nothing is left of the " +
			"inlay at v = 21.02"}},
	} {
		_, err := NewPlan(c.s)
		if err == nil {
			t.Fatalf("no error; want %q", c.says)
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(c.says) {
			t.Errorf("%d faults, want %d:\n%v", len(lines), len(c.says), err)
		}
		for i, l := range lines {
			if !strings.HasPrefix(l, "dot ") && i > 0 || !strings.Contains(l, c.says[i]) {
				t.Errorf("%q, want %q", l, c.says[i])
			}
		}
	}
}
