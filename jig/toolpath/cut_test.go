package toolpath

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
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

func must(t *testing.T) func(*Cut, error) *Cut {
	return func(c *Cut, err error) *Cut {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
}

// feedLength sums the way at a feed.
func feedLength(c *Cut) float64 {
	var from Point
	sum := 0.0
	for m := range c.Moves() {
		if m.Kind != Rapid {
			sum += m.length(from)
		}
		from = m.To
	}
	return sum
}

// TestBoreLength holds the length of the cut against the closed form, with a finishing
// pass of 0.2: out to the first circle, a helix of n turns with the depth bound by the pass
// or by the slope, a flat turn, in to the centre, two half circles and the finished wall.
//
//	L = r + sqrt((2 pi r n)^2 + H^2) + 2 pi r + r + 2 pi R/2 + 2 pi R,  r = R - 0.2
func TestBoreLength(t *testing.T) {
	for _, c := range []struct {
		name        string
		hole, depth float64
		pass        float64
		turns       int // of the helix
		reason      string
	}{
		{"whole turns", 6, 11, 0.4, 30, "1 mm of air and 11 of wood by 0.4; the slope allows 0.8 x 2 pi tan 5 deg = 0.4398"},
		{"rounded up", 6, 11, 0.43, 28, "12/0.43 = 27.9: turns are whole and equal"},
		{"slope", 5, 11, 1, 73, "0.3 x 2 pi tan 5 deg = 0.1649 a turn: 72.8"},
		{"widest without rings", 4 + 2*(0.479*4+0.2), 2, 1, 3, "radius just below 0.48 tools"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Router{Tool: Tool{DiameterMM: 4}, PassMM: c.pass, FinishMM: 0.2}.Filled()
			cut := must(t)(r.Bore(Hole{DiameterMM: c.hole, DepthMM: c.depth}))
			wall, n := (c.hole-4)/2, float64(c.turns)
			rough := wall - 0.2
			want := 2*rough + math.Hypot(2*math.Pi*rough*n, c.depth+1) + 2*math.Pi*rough + 3*math.Pi*wall
			near(t, c.reason, feedLength(cut), want, roundErr)
			if cut.Passes != c.turns+2 {
				t.Errorf("%d passes, want %d: %s", cut.Passes, c.turns+2, c.reason)
			}
			near(t, "depth of a pass", cut.PassMM, (c.depth+1)/n, roundErr)
		})
	}
}

// TestRings: a hole of 20 with a cutter of 4: centre radius 8, less 0.1 for the finishing
// pass, in 5 rings of 1.58, three levels of 0.8.
func TestRings(t *testing.T) {
	cut := must(t)(Router{Tool: Tool{DiameterMM: 4}}.Filled().Bore(Hole{DiameterMM: 20, DepthMM: 2.4}))
	const step = 7.9 / 5
	rings := 2 * math.Pi * step * (1 + 2 + 3 + 4 + 5)
	// From 1 above to -0.8 in three turns, then a turn to each level below.
	helix := math.Hypot(2*math.Pi*step*3, 1.8) + 2*math.Hypot(2*math.Pi*step, 0.8)
	// Out to 7.9, twice back to the first ring and out again, home from the outermost.
	radial := 7.9 + 4*(7.9-step) + 7.9
	finish := 2*math.Pi*8 + 2*math.Pi*4
	near(t, "way", feedLength(cut), 3*rings+helix+radial+finish, roundErr)
	if cut.Passes != 5+15+1 {
		t.Errorf("%d passes, want 21", cut.Passes)
	}
}

// TestSlotLength holds a slot against the closed form: one way round is 2 pi r + 2 travel,
// sloped evenly.
func TestSlotLength(t *testing.T) {
	// width 5.8, cutter 3; 1 mm of air and 4 of wood by half a millimetre
	const wall, rough, travel, n = 1.4, 1.3, 5.0, 10
	r := Router{Tool: Tool{DiameterMM: 3}, PassMM: 0.5}.Filled()
	cut := must(t)(r.Slot(Slot{WidthMM: 5.8, TravelMM: travel, DepthMM: 4}))
	around := func(r float64) float64 { return 2*math.Pi*r + 2*travel }
	want := 2*rough + math.Hypot(n*around(rough), 5) + around(rough) + math.Pi*wall + around(wall)
	near(t, "way", feedLength(cut), want, roundErr)
	if cut.Passes != n+2 {
		t.Errorf("%d passes", cut.Passes)
	}
}

// anyRouter draws what a job can ask for.
func anyRouter(rt *rapid.T) Router {
	return Router{
		Tool:     Tool{DiameterMM: rapid.Float64Range(1, 6).Draw(rt, "tool")},
		PassMM:   rapid.Float64Range(0.3, 2).Draw(rt, "pass"),
		FinishMM: rapid.SampledFrom([]float64{0.05, 0.3, 2}).Draw(rt, "finish"),
		SafeMM:   rapid.Float64Range(2, 9).Draw(rt, "safe"),
	}.Filled()
}

// sampled calls f with places at most step apart along every move, and 24 on every arc.
func sampled(c *Cut, step float64, f func(p Point)) {
	from := Point{X: c.At.X, Y: c.At.Y, Z: math.Inf(1)}
	for m := range c.Moves() {
		if math.IsInf(from.Z, 1) {
			from = m.To
		}
		n := 1 + int(m.length(from)/step)
		if m.Kind == Arc {
			n = max(n, 24)
		}
		for k := 0; k <= n; k++ {
			f(m.at(from, float64(k)/float64(n)))
		}
		from = m.To
	}
}

// safe holds a cut against the rules of motion: no sideways rapid below the safe height, no
// rapid into the stock, no straight plunge into it, no more moves than were announced.
func safe(rt *rapid.T, c *Cut, safeMM, depth float64) {
	all := slices.Collect(c.Moves())
	from := all[0].To
	if from != at(c.At, safeMM) || all[len(all)-1].To.Z != safeMM || len(all) > c.most {
		rt.Fatalf("begins at %v, ends at %v, %d moves of at most %d", from, all[len(all)-1].To, len(all), c.most)
	}
	lowest := math.Inf(1)
	for i, m := range all {
		switch {
		case m.Kind == Rapid && m.To.XY() != from.XY():
			rt.Fatalf("move %d is a sideways rapid to %v", i, m.To)
		case m.Kind == Rapid && m.To.Z < 0:
			rt.Fatalf("move %d is a rapid into the stock, %v", i, m.To)
		case m.Kind == Feed && m.To.XY() == from.XY() && m.To.Z < from.Z && m.To.Z < 0:
			rt.Fatalf("move %d plunges to %v", i, m.To)
		case m.Kind != Rapid && m.FeedMMmin < leastFeed:
			rt.Fatalf("move %d has feed %g", i, m.FeedMMmin)
		}
		if m.Kind == Arc {
			r0, r1 := from.XY().Dist(m.Center), m.To.XY().Dist(m.Center)
			if math.Abs(r0-r1) > 1e-9 { // a few roundings of coordinates below a metre
				rt.Fatalf("move %d: radii %.12g and %.12g", i, r0, r1)
			}
		}
		from, lowest = m.To, math.Min(lowest, m.To.Z)
	}
	if lowest != -depth {
		rt.Fatalf("reaches Z%.9f, depth %.9f", lowest, depth)
	}
}

// TestMillProperties: for any bore and slot the tool's circle never leaves it, touches its
// wall at the floor, and leaves nothing standing on the floor.
func TestMillProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := anyRouter(rt)
		d := r.DiameterMM
		h := Slot{
			At:       geom.Vec{X: rapid.Float64Range(-300, 300).Draw(rt, "x"), Y: rapid.Float64Range(-300, 300).Draw(rt, "y")},
			AngleRad: rapid.Float64Range(-3.2, 3.2).Draw(rt, "angle"),
			TravelMM: rapid.SampledFrom([]float64{0, 0, 0.1, 3, 15}).Draw(rt, "travel"),
			WidthMM:  d * rapid.Float64Range(1.03, 5).Draw(rt, "ratio"),
			DepthMM:  rapid.Float64Range(0.2, 8).Draw(rt, "depth"),
		}
		c, err := r.Slot(h)
		if h.TravelMM == 0 {
			c, err = r.Bore(Hole{At: h.At, DiameterMM: h.WidthMM, DepthMM: h.DepthMM})
		}
		if err != nil {
			rt.Fatal(err)
		}
		safe(rt, c, r.SafeMM, h.DepthMM)
		// The region that the centre may visit: all that is deep enough in the slot.
		walls := geom.Slot(h.At, h.AngleRad, h.TravelMM, h.WidthMM)
		onWall := false
		var floor []geom.Vec
		sampled(c, d/20, func(p Point) {
			depth := walls.Depth(p.XY())
			if p.Z < 0 && depth < d/2-roundErr {
				rt.Fatalf("at %v the tool reaches %.9f over the wall", p, d/2-depth)
			}
			if p.Z == -h.DepthMM {
				onWall = onWall || depth < d/2+roundErr
				floor = append(floor, p.XY())
			}
		})
		if !onWall {
			rt.Fatal("the floor's path never touches the wall")
		}
		// What is within a sample's distance of the wall is left to the exact test above.
		u := geom.Polar(1, h.AngleRad)
		for i := -6; i <= 6; i++ {
			for j := -4; j <= 4; j++ {
				along, across := float64(i)/6*(h.TravelMM+h.WidthMM)/2, float64(j)/4*h.WidthMM/2
				v := h.At.Add(u.Scale(along)).Add(u.Left().Scale(across))
				if walls.Depth(v) >= d/100 && !slices.ContainsFunc(floor, func(p geom.Vec) bool { return p.Dist(v) <= d/2 }) {
					rt.Fatalf("the floor stands at %v, %.4f inside the wall", v, walls.Depth(v))
				}
			}
		}
	})
}

// TestDepthOfCut: seen at any place of the hole, the floor is never lowered by more than
// one pass's depth plus what the helix falls while the tool passes.
func TestDepthOfCut(t *testing.T) {
	for _, hole := range []float64{6, 12} { // one ring, three rings
		r := Router{Tool: Tool{DiameterMM: 3.175}, PassMM: 0.5}.Filled()
		cut := must(t)(r.Bore(Hole{DiameterMM: hole, DepthMM: 4}))
		// Height of the wood at sample places; the tool lowers what it covers. The ring of
		// the finishing pass is taken at full depth.
		var cells []geom.Vec
		for x := -hole / 2; x <= hole/2; x += 0.25 {
			for y := -hole / 2; y <= hole/2; y += 0.25 {
				if v := (geom.Vec{X: x, Y: y}); v.Norm() < hole/2-r.FinishMM {
					cells = append(cells, v)
				}
			}
		}
		wood, worst := make([]float64, len(cells)), 0.0
		sampled(cut, 0.02, func(p Point) {
			for i, v := range cells {
				if v.Dist(p.XY()) <= r.DiameterMM/2 && p.Z < wood[i] {
					worst = math.Max(worst, wood[i]-p.Z)
					wood[i] = p.Z
				}
			}
		})
		if worst > 0.5+1e-9 {
			t.Errorf("hole of %g: takes %.4f at once, set 0.5", hole, worst)
		}
		if i := slices.IndexFunc(wood, func(z float64) bool { return z != -4 }); i >= 0 {
			t.Errorf("hole of %g: wood stands at %v: %.4f", hole, cells[i], wood[i])
		}
	}
}

// TestWallFeed: a hole twice the tool halves the feed of the centre: 600 x (6-3)/6.
func TestWallFeed(t *testing.T) {
	r := Router{Tool: Tool{DiameterMM: 3}, FeedMMmin: 600, PlungeMMmin: 100}
	near(t, "feed", r.wallFeed(1.5), 300, 1e-9)
	near(t, "sinking bounds it", r.sinkFeed(600, 3, 4), 100*5./3, 1e-9)
}

// TestEdgeFeed: on every arc of a bore and a slot the edge at the wall moves at the set feed
// or slower, by less than what writing whole mm/min takes; lead arcs and helices too.
func TestEdgeFeed(t *testing.T) {
	r := Router{Tool: Tool{DiameterMM: 4}, FeedMMmin: 600, PlungeMMmin: 600}.Filled()
	for _, cut := range []*Cut{
		must(t)(r.Bore(Hole{DiameterMM: 7, DepthMM: 3})), must(t)(r.Bore(Hole{DiameterMM: 20, DepthMM: 2})),
		must(t)(r.Slot(Slot{WidthMM: 6, TravelMM: 3, DepthMM: 2})),
	} {
		var from Point
		for m := range cut.Moves() {
			if m.Kind == Arc {
				radius := from.XY().Dist(m.Center)
				edge := m.FeedMMmin * (radius + 2) / radius
				if edge > 600+roundErr || edge < 600-(radius+2)/radius {
					t.Errorf("%s: an arc of radius %.3f moves the edge at %.1f", cut.Says, radius, edge)
				}
			}
			from = m.To
		}
	}
}

// TestDrillPecks writes out one hole by hand: 6 mm deep at the full diameter, a point of
// 0.30043 x 5.8 = 1.742494 mm beyond, in three pecks.
func TestDrillPecks(t *testing.T) {
	c := geom.Vec{X: 10, Y: 20}
	cut := must(t)(Router{Tool: Tool{DiameterMM: 5.8}}.Filled().Drill(Hole{ID: "P1", At: c, DiameterMM: 5.8, DepthMM: 6}))
	const bottom = 7.742494
	want := []Move{
		{Kind: Rapid, To: at(c, 5)},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -bottom/3), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -bottom/3+0.5), FeedMMmin: 600}, // the open hole, half a millimetre short
		{Kind: Feed, To: at(c, -2*bottom/3), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 1)},
		{Kind: Feed, To: at(c, -2*bottom/3+0.5), FeedMMmin: 600},
		{Kind: Feed, To: at(c, -bottom), FeedMMmin: 150},
		{Kind: Rapid, To: at(c, 5)},
	}
	if d := cmp.Diff(want, slices.Collect(cut.Moves()), cmpopts.EquateApprox(0, roundErr)); d != "" {
		t.Error(d)
	}
	if cut.Passes != 3 || cut.most < len(want) {
		t.Errorf("%d pecks, at most %d moves", cut.Passes, cut.most)
	}
}

func TestRefusals(t *testing.T) {
	cutter := Router{Tool: Tool{DiameterMM: 6}}.Filled()
	bore := func(d float64) func() (*Cut, error) {
		return func() (*Cut, error) { return cutter.Bore(Hole{ID: "P7", DiameterMM: d, DepthMM: 5}) }
	}
	for _, c := range []struct {
		name string
		make func() (*Cut, error)
		says string
	}{
		{"tool as wide as the hole", bore(6), "the tool of 6 mm must be smaller than the hole, 6 mm"},
		{"tool wider", bore(5.9), "smaller than the hole, 5.9 mm"},
		{"no number", bore(math.NaN()), "smaller than the hole"},
		{"orbit too fine", bore(6.01), "finer than the machine draws"},
		{"slot as narrow", func() (*Cut, error) { return cutter.Slot(Slot{WidthMM: 6, TravelMM: 2, DepthMM: 3}) },
			"must be smaller"},
		{"another drill", func() (*Cut, error) { return cutter.Drill(Hole{DiameterMM: 6.04, DepthMM: 3}) },
			"a drill of 6 mm does not make a hole of 6.04 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if cut, err := c.make(); cut != nil || err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
	cut := must(t)(bore(6.1)())
	all := strings.Join(cut.Cautions, "\n")
	if !strings.Contains(all, "P7: the tool is only 0.1 mm smaller") ||
		!strings.Contains(all, "no room for a finishing pass") {
		t.Errorf("cautions %q", cut.Cautions)
	}
	if cut := must(t)(bore(9)()); len(cut.Cautions) != 0 {
		t.Errorf("an easy hole is cautioned: %q", cut.Cautions)
	}
}
