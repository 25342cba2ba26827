package toolpath

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// roundErr is what a few dozen float64 operations on lengths below a metre, and
// sums over a few hundred moves, can lose in mm.
const roundErr = 1e-7

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// feedLength sums the way at a feed.
func feedLength(moves []Move) float64 {
	from, sum := moves[0].To, 0.0
	for _, m := range moves {
		if m.Kind != Rapid {
			sum += m.Length(from)
		}
		from = m.To
	}
	return sum
}

// TestBoreLength holds the length of the cut against the closed form: out to the
// circle and back, a helix of n turns, a flat turn.
//
//	L = 2 r + sqrt((2 pi r n)^2 + H^2) + 2 pi r
func TestBoreLength(t *testing.T) {
	tool := Tool{DiameterMM: 4}
	for _, c := range []struct {
		name         string
		hole, depth  float64
		pitch        float64
		turns        int // of the helix
		reason       string
		conventional bool
	}{
		{"whole turns", 6, 11, 0.5, 24, "1 mm of air and 11 of wood at half a millimetre", false},
		{"rounded up", 6, 11, 0.7, 18, "12/0.7 = 17.1: turns are whole and equal", false},
		{"clockwise", 6, 11, 0.5, 24, "the direction changes no length", true},
		{"widest without rings", 4 + 2*0.48*4, 2, 1, 3, "radius 0.48 tools", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Settings{PitchMM: c.pitch, NoFinish: true, RampRad: 0.5, Conventional: c.conventional}
			cut, err := Bore(Hole{DiameterMM: c.hole, FloorZ: -c.depth}, tool, s)
			if err != nil {
				t.Fatal(err)
			}
			r, n := (c.hole-4)/2, float64(c.turns)
			near(t, c.reason, feedLength(cut.Moves), 2*r+math.Hypot(2*math.Pi*r*n, c.depth+1)+2*math.Pi*r, roundErr)
			if cut.Turns != c.turns+1 {
				t.Errorf("%d turns, want %d: %s", cut.Turns, c.turns+1, c.reason)
			}
			near(t, "depth of a turn", cut.PerTurnMM, (c.depth+1)/n, roundErr)
			for i, m := range cut.Moves {
				if m.Kind.IsArc() && (m.Kind == ArcCW) != c.conventional {
					t.Errorf("move %d is a %v", i, m.Kind)
				}
			}
		})
	}
}

// TestRings: a hole of 20 with a cutter of 4: centre radius 8, less 0.1 for the
// finishing turn, in 5 rings of 1.58, two levels of 1 mm.
func TestRings(t *testing.T) {
	cut, err := Bore(Hole{DiameterMM: 20, FloorZ: -2}, Tool{DiameterMM: 4}, Settings{PitchMM: 1, RampRad: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	const step = 7.9 / 5
	rings := 2 * math.Pi * step * (1 + 2 + 3 + 4 + 5)
	helix := math.Hypot(2*math.Pi*step*2, 2) + math.Hypot(2*math.Pi*step, 1) // from 1 above to -1, then to -2
	// Out to 7.9, back to the first ring, out again, home from the outermost ring.
	radial := 7.9 + (7.9 - step) + (7.9 - step) + 7.9
	finish := 2*math.Pi*8 + 2*math.Pi*4
	near(t, "way", feedLength(cut.Moves), 2*rings+helix+radial+finish, roundErr)
	if cut.Turns != 3+10+1 {
		t.Errorf("%d turns, want 14", cut.Turns)
	}
}

// anySettings draws settings that check accepts.
func anySettings(rt *rapid.T, d float64) Settings {
	return Settings{
		PitchMM:      rapid.Float64Range(0.3, 2).Draw(rt, "pitch"),
		RampRad:      rapid.SampledFrom([]float64{0, 0.3, 0.7}).Draw(rt, "ramp"),
		StepoverMM:   d * rapid.Float64Range(0.15, 0.48).Draw(rt, "stepover"),
		FinishMM:     rapid.SampledFrom([]float64{0, 0.05, 0.3}).Draw(rt, "finish"),
		NoFinish:     rapid.Bool().Draw(rt, "no finish"),
		Conventional: rapid.Bool().Draw(rt, "conventional"),
		TopZ:         rapid.SampledFrom([]float64{0, 0, 3}).Draw(rt, "top"),
	}
}

// sampled calls f with places at most step apart along every move.
func sampled(moves []Move, step float64, f func(m Move, p Point)) {
	from := moves[0].To
	for _, m := range moves {
		n := 1 + int(m.Length(from)/step)
		for k := 0; k <= n; k++ {
			f(m, m.At(from, float64(k)/float64(n)))
		}
		from = m.To
	}
}

// safe holds a cut against the rules of motion: no sideways rapid below the safe
// height, no rapid into the stock, no straight plunge into it, the way down never
// steeper than one turn's depth.
func safe(rt *rapid.T, cut *Cut, holeTop, floor float64) {
	from := cut.Moves[0].To
	if from.Z != cut.SafeZ || cut.Moves[len(cut.Moves)-1].To.Z != cut.SafeZ {
		rt.Fatalf("begins at Z%g, ends at Z%g, safe height %g", from.Z, cut.Moves[len(cut.Moves)-1].To.Z, cut.SafeZ)
	}
	lowest := math.Inf(1)
	for i, m := range cut.Moves {
		switch {
		case m.Kind == Rapid && m.To.XY() != from.XY() && (m.To.Z < cut.SafeZ || from.Z < cut.SafeZ):
			rt.Fatalf("move %d is a sideways rapid at %v", i, m.To)
		case m.Kind == Rapid && m.To.Z < cut.TopZ:
			rt.Fatalf("move %d is a rapid into the stock, %v", i, m.To)
		case m.Kind == Feed && m.To.XY() == from.XY() && m.To.Z < from.Z && m.To.Z < holeTop:
			rt.Fatalf("move %d plunges to %v", i, m.To)
		case m.Kind != Rapid && m.FeedMMmin < leastFeed:
			rt.Fatalf("move %d has feed %g", i, m.FeedMMmin)
		}
		if m.Kind.IsArc() {
			r0, r1 := from.XY().Dist(m.Center), m.To.XY().Dist(m.Center)
			if math.Abs(r0-r1) > 1e-9 { // a few roundings of coordinates below a metre
				rt.Fatalf("move %d: radii %.12g and %.12g", i, r0, r1)
			}
		}
		from, lowest = m.To, math.Min(lowest, m.To.Z)
	}
	if lowest != floor {
		rt.Fatalf("reaches Z%.9f, floor %.9f", lowest, floor)
	}
}

// TestBoreProperties: for any hole the tool's circle never leaves it, touches its
// wall at the floor, and leaves nothing standing on the floor.
func TestBoreProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.Float64Range(1, 6).Draw(rt, "tool")
		hole := d * rapid.Float64Range(1.02, 6).Draw(rt, "ratio")
		s := anySettings(rt, d)
		h := Hole{
			ID: "P1", At: geom.Vec{X: rapid.Float64Range(-300, 300).Draw(rt, "x"), Y: rapid.Float64Range(-300, 300).Draw(rt, "y")},
			DiameterMM: hole, TopZ: s.TopZ - rapid.SampledFrom([]float64{0, 0.4}).Draw(rt, "lower"),
		}
		h.FloorZ = h.TopZ - rapid.Float64Range(0.2, 8).Draw(rt, "depth")
		cut, err := Bore(h, Tool{DiameterMM: d}, s)
		if err != nil {
			rt.Fatal(err)
		}
		safe(rt, cut, h.TopZ, h.FloorZ)
		R := (hole - d) / 2
		wall, flat := 0.0, []float64{} // radii of the flat circles on the floor
		from := cut.Moves[0].To
		for _, m := range cut.Moves {
			if m.Kind.IsArc() && m.To == from && m.To.Z == h.FloorZ {
				if c := m.Center.Dist(h.At); c > roundErr {
					rt.Fatalf("a full turn is %g off the centre", c)
				}
				flat = append(flat, m.To.XY().Dist(h.At))
			}
			from = m.To
		}
		sampled(cut.Moves, 0.3, func(m Move, p Point) {
			r := p.XY().Dist(h.At)
			if p.Z < h.TopZ && r > R+roundErr {
				rt.Fatalf("tool centre at radius %.9f beyond %.9f", r, R)
			}
			if p.Z == h.FloorZ {
				wall = math.Max(wall, r)
			}
		})
		near2 := math.Abs(wall-R) <= roundErr
		if !near2 {
			rt.Fatalf("the floor's widest path is %.9f, want %.9f", wall, R)
		}
		for k := 0; k <= 200; k++ {
			r := hole / 2 * float64(k) / 200
			covered := false
			for _, c := range flat {
				covered = covered || math.Abs(r-c) <= d/2+roundErr
			}
			if !covered {
				rt.Fatalf("the floor stands at radius %.4f; flat turns at %v, tool %.4f", r, flat, d)
			}
		}
	})
}

// TestDepthOfCut: seen at any place of the hole, the floor is never lowered by more
// than one turn's depth plus what the helix falls while the tool passes.
func TestDepthOfCut(t *testing.T) {
	for _, c := range []struct {
		name string
		hole float64
	}{{"one ring", 6}, {"three rings", 12}} {
		t.Run(c.name, func(t *testing.T) {
			tool := Tool{DiameterMM: 3.175}
			cut, err := Bore(Hole{DiameterMM: c.hole, FloorZ: -4}, tool, Settings{PitchMM: 0.5, NoFinish: true, RampRad: 0.6})
			if err != nil {
				t.Fatal(err)
			}
			// Height of the wood at sample places; the tool lowers what it covers.
			var cells []geom.Vec
			for x := -c.hole / 2; x <= c.hole/2; x += 0.25 {
				for y := -c.hole / 2; y <= c.hole/2; y += 0.25 {
					if v := (geom.Vec{X: x, Y: y}); v.Norm() < c.hole/2 {
						cells = append(cells, v)
					}
				}
			}
			wood, worst := make([]float64, len(cells)), 0.0
			sampled(cut.Moves, 0.02, func(m Move, p Point) {
				for i, v := range cells {
					if v.Dist(p.XY()) <= tool.DiameterMM/2 && p.Z < wood[i] {
						worst = math.Max(worst, wood[i]-p.Z)
						wood[i] = p.Z
					}
				}
			})
			if worst > 0.5+1e-9 {
				t.Errorf("takes %.4f at once, set 0.5", worst)
			}
			for i, v := range cells {
				if wood[i] != -4 {
					t.Errorf("wood stands at %v: %.4f", v, wood[i])
					break
				}
			}
		})
	}
}

// TestWallFeed: a hole twice the tool halves the feed of the centre: 600 x (6-3)/6
// (akrivismachine.com, internal arc).
func TestWallFeed(t *testing.T) {
	near(t, "feed", wallFeed(Settings{FeedXYMMmin: 600}, Tool{DiameterMM: 3}, 1.5), 300, 1e-9)
	near(t, "sinking bounds it", sinkFeed(Settings{FeedZMMmin: 100}, 600, 3, 4), 100*5./3, 1e-9)
}

func TestBoreRefuses(t *testing.T) {
	good := Hole{ID: "P7", DiameterMM: 6, FloorZ: -5}
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		change func(h *Hole, t *Tool, s *Settings)
		says   []string
	}{
		{"tool as wide as the hole", func(h *Hole, t *Tool, s *Settings) { t.DiameterMM = 6 }, []string{"P7", "tool of 6 mm for a width of 6 mm", "smaller"}},
		{"tool wider", func(h *Hole, t *Tool, s *Settings) { t.DiameterMM = 6.35 }, []string{"6.35", "6 mm"}},
		{"orbit too fine", func(h *Hole, t *Tool, s *Settings) { t.DiameterMM = 5.99 }, []string{"finer than the machine"}},
		{"no tool", func(h *Hole, t *Tool, s *Settings) { t.DiameterMM = 0 }, []string{"tool diameter"}},
		{"not numbers, all at once", func(h *Hole, t *Tool, s *Settings) {
			h.At.X, h.DiameterMM, s.PitchMM, s.SpindleRPM = nan, nan, nan, math.Inf(1)
		}, []string{"X (mm)", "hole diameter", "depth of one turn", "spindle speed"}},
		{"floor above the stock", func(h *Hole, t *Tool, s *Settings) { h.FloorZ = 1 }, []string{"height of the floor"}},
		{"hole above the stock", func(h *Hole, t *Tool, s *Settings) { h.TopZ = 0.5 }, []string{"height of the stock at the hole"}},
		{"safe height too low", func(h *Hole, t *Tool, s *Settings) { s.SafeMM = 1 }, []string{"safe height"}},
		{"approach above safe", func(h *Hole, t *Tool, s *Settings) { s.ApproachMM = 9 }, []string{"approach height"}},
		{"negative pitch", func(h *Hole, t *Tool, s *Settings) { s.PitchMM = -1 }, []string{"depth of one turn"}},
		{"rings too far apart", func(h *Hole, t *Tool, s *Settings) { s.StepoverMM = 2 }, []string{"step from ring to ring"}},
		{"endless helix", func(h *Hole, t *Tool, s *Settings) { s.PitchMM, h.FloorZ = 0.001, -50 }, []string{"beyond reason"}},
		{"huge", func(h *Hole, t *Tool, s *Settings) { h.At.Y = 1e9 }, []string{"Y (mm)"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h, tool, s := good, Tool{DiameterMM: 3.175}, Settings{}
			c.change(&h, &tool, &s)
			cut, err := Bore(h, tool, s)
			var all Faults
			if cut != nil || !errors.As(err, &all) {
				t.Fatalf("got %v, %v", cut, err)
			}
			for _, w := range c.says {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%q does not say %q", err, w)
				}
			}
			if strings.Count(err.Error(), "toolpath:") != 1 {
				t.Errorf("prefix in %q", err)
			}
		})
	}
	var te *ToolError
	if _, err := Bore(good, Tool{DiameterMM: 7}, Settings{}); !errors.As(err, &te) || te.ToolMM != 7 || te.HoleMM != 6 {
		t.Errorf("no ToolError with figures: %v", te)
	}
}

func TestCautions(t *testing.T) {
	cut, err := Bore(Hole{ID: "P1", DiameterMM: 6.1, FloorZ: -5}, Tool{DiameterMM: 6}, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(cut.Cautions, "\n")
	if !strings.Contains(all, "P1: tool 6 is only 0.1 mm smaller") || !strings.Contains(all, "no room for a finishing turn") {
		t.Errorf("cautions %q", cut.Cautions)
	}
	if cut, err = Bore(Hole{DiameterMM: 6.1, FloorZ: -5}, Tool{DiameterMM: 3.175}, Settings{}); err != nil || len(cut.Cautions) != 0 {
		t.Errorf("an easy hole is cautioned: %q, %v", cut.Cautions, err)
	}
}

func TestSameAgain(t *testing.T) {
	h := Hole{ID: "P1", At: geom.Vec{X: 1.0 / 3, Y: 7}, DiameterMM: 14, FloorZ: -6}
	a, err := Bore(h, Tool{DiameterMM: 3.175}, Settings{})
	b, err2 := Bore(h, Tool{DiameterMM: 3.175}, Settings{})
	if err != nil || err2 != nil || !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
}
