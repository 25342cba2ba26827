package toolpath

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// oneBore is a bore of 6 at (30, 40), 11 deep, with a cutter of 4: its finished circle has
// radius 1.
func oneBore(t *testing.T) *Program {
	t.Helper()
	r := Router{Tool: Tool{DiameterMM: 4}, PassMM: 0.4, FinishMM: 0.2}.Filled()
	cut := must(t)(r.Bore(Hole{ID: "P1", At: geom.Vec{X: 30, Y: 40}, DiameterMM: 6, DepthMM: 11}))
	p, err := r.Program(Head{File: "bores.nc"}, []*Cut{cut})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestDryRun works out one bore by hand: 50 mm out and back, up and down between 5 and 1
// and from the floor at -11, all by rapid; 1.6 mm in and out at 600; the roughing circle of
// 0.8 at 600 x 0.8/2.8 = 171.4, written 171, which sinks 12 mm in 30 turns far slower than
// the bound of 150; the finishing one of 1 at 200, met and left on half circles of 0.5 at
// 600 x 0.5/2.5 = 120.
func TestDryRun(t *testing.T) {
	p := oneBore(t)
	rough := math.Hypot(2*math.Pi*0.8*30, 12) + 2*math.Pi*0.8
	near(t, "time", p.Run.TimeS, 60*(120./2000+1.6/600+rough/171+2*math.Pi/200+math.Pi/120), roundErr)
	near(t, "depth", p.Run.DeepestMM(), 11, roundErr)
	near(t, "depth of a pass", p.Run.PassMM, 0.4, roundErr)
	if p.Run.Passes != 32 {
		t.Errorf("%d passes", p.Run.Passes)
	}
	lo, hi := p.Run.Min, p.Run.Max
	for _, c := range [][2]float64{{lo.X, 0}, {lo.Y, 0}, {lo.Z, -11}, {hi.X, 31}, {hi.Y, 41}, {hi.Z, 5}} {
		near(t, "extent", c[0], c[1], roundErr)
	}
}

// TestExtents holds the closed-form box against sampling.
func TestExtents(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := geom.Vec{X: rapid.Float64Range(-9, 9).Draw(rt, "cx"), Y: rapid.Float64Range(-9, 9).Draw(rt, "cy")}
		r, phi := rapid.Float64Range(0.1, 9).Draw(rt, "r"), rapid.Float64Range(-4, 4).Draw(rt, "phi")
		from := at(c.Add(geom.Polar(r, phi)), 0)
		m := Move{
			Kind: rapid.SampledFrom([]Kind{Feed, Arc}).Draw(rt, "kind"), Center: c,
			To: at(c.Add(geom.Polar(r, rapid.Float64Range(-4, 4).Draw(rt, "end"))), -1),
		}
		got, want := m.bounds(from), geom.EmptyBox()
		for k := 0; k <= 2000; k++ {
			want = want.Include(m.at(from, float64(k)/2000).XY())
		}
		// A chord of 1/2000 of a full turn of 9 mm leaves 1e-5 mm of sagitta.
		const chord = 2e-5
		if got.Min.Dist(want.Min) > chord || got.Max.Dist(want.Max) > chord {
			rt.Fatalf("%v: got %v, want %v", m.Kind, got, want)
		}
	})
}

// TestSweep tells a full turn from none, and the long way from the short one.
func TestSweep(t *testing.T) {
	for _, c := range []struct {
		to   Point
		want float64
	}{{Point{1, 0, -1}, 2 * math.Pi}, {Point{0, 1, 0}, math.Pi / 2}, {Point{0, -1, 0}, 1.5 * math.Pi}} {
		near(t, "sweep", Move{Kind: Arc, To: c.to}.sweep(Point{1, 0, 0}), c.want, 1e-12)
	}
}

// TestOrder: nearest first, the first of equals, every place once.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		places []geom.Vec
		want   []int
		reason string
	}{
		{"line", []geom.Vec{{X: 30}, {X: 10}, {X: 20}}, []int{1, 2, 0}, "along the line"},
		{"equals", []geom.Vec{{X: 10}, {X: -10}, {Y: 10}}, []int{0, 2, 1}, "the first of equals, then the nearer of two"},
		{"same place twice", []geom.Vec{{X: 5}, {X: 5 - 1e-9}}, []int{0, 1}, "a rounding is no nearer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var cuts []*Cut
			for _, p := range c.places {
				cuts = append(cuts, &Cut{At: p})
			}
			if got := nearestFirst(cuts); !reflect.DeepEqual(got, c.want) {
				t.Errorf("got %v, want %v: %s", got, c.want, c.reason)
			}
		})
	}
}

// TestProgramRefuses: no program for nothing, for what no machine ever finishes, and for a
// move that must not be made.
func TestProgramRefuses(t *testing.T) {
	r := Router{Tool: Tool{DiameterMM: 6}}.Filled()
	deep := make([]*Cut, 300)
	for i := range deep {
		deep[i] = must(t)(r.Bore(Hole{DiameterMM: 6.022, DepthMM: 90}))
	}
	spoiled := func(m Move) []*Cut {
		return []*Cut{{make: func(w *writer) {
			w.start(geom.Vec{}, r.SafeMM)
			w.add(m)
			w.lift(r.SafeMM)
		}}}
	}
	for _, c := range []struct {
		name string
		cuts []*Cut
		says string
	}{
		{"nothing", nil, "nothing to cut"},
		{"endless", deep, "million moves, and at most 4 million are written: take a cutter that leaves more room"},
		{"sideways rapid below", spoiled(Move{To: Point{1, 0, 1}}),
			"move 2 of a.nc is a sideways rapid at Z1.000, below the safe height of 5.000"},
		{"slanted rapid", spoiled(Move{To: Point{1, 0, 5}}), "sideways rapid"},
		{"rapid into stock", spoiled(Move{To: Point{0, 0, -0.5}}), "rapid to Z-0.500, into the stock"},
		{"no feed", spoiled(Move{Kind: Feed, To: Point{1, 0, 0}}), "feed of 0"},
		{"feed not a number", spoiled(Move{Kind: Feed, FeedMMmin: math.NaN()}), "feed of NaN"},
		{"not a place", spoiled(Move{Kind: Feed, To: Point{0, 0, math.NaN()}, FeedMMmin: 1}), "no place on a machine"},
		{"centre not a place", spoiled(Move{Kind: Arc, Center: geom.Vec{Y: math.Inf(1)}, FeedMMmin: 1}),
			"no place on a machine"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := r.Program(Head{File: "a.nc"}, c.cuts); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}

// deepPockets are two hundred tight and deep bores: a helix that falls 6 um in a turn.
func deepPockets(t testing.TB) *Program {
	t.Helper()
	r := Router{Tool: Tool{DiameterMM: 6}}.Filled()
	var cuts []*Cut
	for i := range 200 {
		c, err := r.Bore(Hole{At: geom.Vec{X: float64(i%20) * 24, Y: float64(i/20) * 24}, DiameterMM: 6.022, DepthMM: 37})
		if err != nil {
			t.Fatal(err)
		}
		cuts = append(cuts, c)
	}
	p, err := r.Program(Head{}, cuts)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestDeepPockets: more than a million moves are a program, and reading them takes no
// memory that grows with their number.
func TestDeepPockets(t *testing.T) {
	p := deepPockets(t)
	n := 0
	allocs := testing.AllocsPerRun(1, func() { // after a run to warm up
		for range p.Cuts[0].Moves() {
			n++
		}
	})
	if n/2 < 6000 || p.Run.Passes < 1<<20 || allocs > 20 {
		t.Errorf("%d passes, of them %d moves in the first cut with %.0f allocations", p.Run.Passes, n/2, allocs)
	}
}

// BenchmarkDeepPockets plans them and passes them by thirty pins.
func BenchmarkDeepPockets(b *testing.B) {
	var pins []Obstacle
	for i := range 30 {
		pins = append(pins, Obstacle{Outline: geom.Slot(geom.Vec{X: float64(i) * 24, Y: 12}, 0, 0, 6), TopZ: 3})
	}
	b.ReportAllocs()
	for b.Loop() {
		if met := deepPockets(b).Collisions(pins); met != nil {
			b.Fatal(met)
		}
	}
}
