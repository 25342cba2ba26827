package toolpath

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// anyProgram draws a program of bores and a slot.
func anyProgram(rt *rapid.T) *Program {
	tool := Tool{DiameterMM: 3.175}
	s := Settings{PitchMM: 1}
	var cuts []*Cut
	for i := range rapid.IntRange(1, 4).Draw(rt, "holes") {
		c, err := Bore(Hole{
			At:         geom.Vec{X: float64(i)*20 + rapid.Float64Range(0, 5).Draw(rt, "x"), Y: rapid.Float64Range(-50, 50).Draw(rt, "y")},
			DiameterMM: rapid.Float64Range(4, 9).Draw(rt, "d"), FloorZ: -rapid.Float64Range(0.5, 4).Draw(rt, "depth"),
		}, tool, s)
		if err != nil {
			rt.Fatal(err)
		}
		cuts = append(cuts, c)
	}
	c, err := SlotHole(Slot{At: geom.Vec{X: -30}, TravelMM: 2, WidthMM: 6, FloorZ: -2, AngleRad: rapid.Float64Range(-3, 3).Draw(rt, "angle")}, tool, s)
	if err != nil {
		rt.Fatal(err)
	}
	p, err := Assemble(Head{File: "bores.nc", Title: "t"}, tool, s, append(cuts, c))
	if err != nil {
		rt.Fatal(err)
	}
	return p
}

// TestOrder: nearest first, the first of equals, every place once.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		places []geom.Vec
		want   []int
		reason string
	}{
		{"none", nil, []int{}, "nothing to visit"},
		{"line", []geom.Vec{{X: 30}, {X: 10}, {X: 20}}, []int{1, 2, 0}, "along the line"},
		{"equals", []geom.Vec{{X: 10}, {X: -10}, {Y: 10}}, []int{0, 2, 1}, "the first of equals, then the nearer of two"},
		{"same place twice", []geom.Vec{{X: 5}, {X: 5}}, []int{0, 1}, "kept in order"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Order(c.places, geom.Vec{}); !reflect.DeepEqual(got, c.want) {
				t.Errorf("got %v, want %v: %s", got, c.want, c.reason)
			}
		})
	}
}

// TestTransformKeeps: lengths, radii, heights, feeds and direction survive a move,
// and the move back gives the program again.
func TestTransformKeeps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := anyProgram(rt)
		m := geom.Rigid{
			Angle: rapid.Float64Range(-3.2, 3.2).Draw(rt, "angle"),
			Shift: geom.Vec{X: rapid.Float64Range(-99, 99).Draw(rt, "dx"), Y: rapid.Float64Range(-99, 99).Draw(rt, "dy")},
		}
		q, err := p.Transform(m)
		if err != nil {
			rt.Fatal(err)
		}
		a, b := p.Moves[0].To, q.Moves[0].To
		for i := range p.Moves {
			v, w := p.Moves[i], q.Moves[i]
			if math.Abs(v.Length(a)-w.Length(b)) > roundErr || math.Abs(v.Sweep(a)-w.Sweep(b)) > roundErr ||
				v.Kind != w.Kind || v.FeedMMmin != w.FeedMMmin || v.To.Z != w.To.Z {
				rt.Fatalf("move %d changed: %+v %+v", i, v, w)
			}
			if d := m.Apply(v.At(a, 0.3).XY()).Dist(w.At(b, 0.3).XY()); d > roundErr {
				rt.Fatalf("move %d lies %g off", i, d)
			}
			a, b = v.To, w.To
		}
		back, err := q.Transform(m.Inverse())
		if err != nil {
			rt.Fatal(err)
		}
		if d := cmp.Diff(p, back, cmpopts.EquateApprox(0, roundErr)); d != "" {
			rt.Fatal(d)
		}
	})
}

func TestTransformRefuses(t *testing.T) {
	p := oneBore(t)
	for _, c := range []struct {
		name string
		m    geom.Rigid
		says string
	}{
		{"mirror", geom.Rigid{Mirror: true}, "mirrors"},
		{"no angle", geom.Rigid{Angle: math.NaN()}, "angle of the pose"},
		{"degrees", geom.Rigid{Angle: 45}, "angle of the pose"},
		{"far away", geom.Rigid{Shift: geom.Vec{X: 1e5}}, "shift of the pose along X"},
		{"off the machine", geom.Rigid{Shift: geom.Vec{X: largestMM - 1}}, "no place on a machine"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := p.Transform(c.m); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}

func oneBore(t *testing.T) *Program {
	t.Helper()
	tool, s := Tool{DiameterMM: 4}, Settings{PitchMM: 0.5, NoFinish: true, RampRad: 0.5}
	c, err := Bore(Hole{ID: "P1", At: geom.Vec{X: 30, Y: 40}, DiameterMM: 6, FloorZ: -11}, tool, s)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Assemble(Head{File: "bores.nc"}, tool, s, []*Cut{c})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestDryRun works out one bore by hand: 50 mm out and back, up and down between 5
// and 1 and from the floor at -11; centre feed 600/3 = 200, which sinks 12 mm in
// 24 turns far slower than the bound of 150.
func TestDryRun(t *testing.T) {
	p := oneBore(t)
	s, err := p.DryRun(3000)
	if err != nil {
		t.Fatal(err)
	}
	helix := math.Hypot(2*math.Pi*24, 12)
	near(t, "rapid way", s.RapidMM, 50+4+16+50, roundErr)
	near(t, "rapid time", s.RapidS, 60*120./3000, roundErr)
	near(t, "feed way", s.FeedMM, 2+helix+2*math.Pi, roundErr)
	near(t, "feed time", s.FeedS, 60*(2/600.+(helix+2*math.Pi)/200), roundErr)
	near(t, "whole time", s.TimeS(), s.FeedS+s.RapidS, 0)
	near(t, "depth", s.DeepestMM, 11, roundErr)
	near(t, "depth of a turn", s.PerTurnMM, 0.5, roundErr)
	if s.Cuts != 1 || s.Turns != 25 {
		t.Errorf("%d cuts, %d turns", s.Cuts, s.Turns)
	}
	want := [2]Point{{0, 0, -11}, {31, 41, 5}}
	if got := [2]Point{s.Min, s.Max}; got[0].Dist(want[0])+got[1].Dist(want[1]) > roundErr {
		t.Errorf("extents %v, want %v", got, want)
	}
	if err := s.Within(Point{0, 0, -11}, Point{31, 41, 5}); err != nil {
		t.Error(err)
	}
	err = s.Within(Point{0, 0, -10}, Point{30, 41, 5})
	if err == nil || !strings.Contains(err.Error(), "X runs") || !strings.Contains(err.Error(), "Z runs") || strings.Contains(err.Error(), "Y runs") {
		t.Errorf("got %v", err)
	}
	p.TopZ = 0.75 // the same way in stock that is higher
	if s, err := p.DryRun(0); err != nil || math.Abs(s.DeepestMM-11.75) > roundErr {
		t.Errorf("deepest %g, %v; want 11.75 below the top", s.DeepestMM, err)
	}
	if _, err := p.DryRun(math.NaN()); err == nil {
		t.Error("a rapid rate that is no number passes")
	}
}

// TestExtentsByHand: an arc that passes the top of its circle by little, and one
// that stops short of it.
func TestExtentsByHand(t *testing.T) {
	for _, c := range []struct {
		name       string
		start, end float64 // radians
		kind       Kind
		top        float64
	}{
		{"just past", math.Pi/2 - 0.3, math.Pi/2 + 0.02, ArcCCW, 10},
		{"just short", math.Pi/2 - 0.3, math.Pi/2 - 0.02, ArcCCW, 10 * math.Cos(0.02)},
		{"just past, clockwise", math.Pi/2 + 0.3, math.Pi/2 - 0.02, ArcCW, 10},
		{"the long way", math.Pi/2 - 0.3, math.Pi/2 - 0.02, ArcCW, 10},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := Move{Kind: c.kind, To: at(geom.Polar(10, c.end), 0)}
			b := m.bounds(at(geom.Polar(10, c.start), 0))
			near(t, "top", b.Max.Y, c.top, roundErr)
			if long := c.name == "the long way"; long != (b.Min.Y < -9.99) {
				t.Errorf("bottom %g", b.Min.Y)
			}
		})
	}
}

// TestExtents holds the closed-form box against sampling.
func TestExtents(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := geom.Vec{X: rapid.Float64Range(-9, 9).Draw(rt, "cx"), Y: rapid.Float64Range(-9, 9).Draw(rt, "cy")}
		r, phi := rapid.Float64Range(0.1, 9).Draw(rt, "r"), rapid.Float64Range(-4, 4).Draw(rt, "phi")
		from := at(c.Add(geom.Polar(r, phi)), 0)
		m := Move{
			Kind: rapid.SampledFrom([]Kind{Feed, ArcCW, ArcCCW}).Draw(rt, "kind"), Center: c,
			To: at(c.Add(geom.Polar(r, rapid.Float64Range(-4, 4).Draw(rt, "end"))), -1),
		}
		got, want := m.bounds(from), geom.EmptyBox()
		for k := 0; k <= 2000; k++ {
			want = want.Include(m.At(from, float64(k)/2000).XY())
		}
		// A chord of 1/2000 of a full turn of 9 mm leaves 1e-5 mm of sagitta.
		const chord = 2e-5
		if got.Min.Dist(want.Min) > chord || got.Max.Dist(want.Max) > chord {
			rt.Fatalf("%v: got %v, want %v", m.Kind, got, want)
		}
	})
}

func TestAssembleOrder(t *testing.T) {
	tool := Tool{DiameterMM: 3}
	var cuts []*Cut
	for _, x := range []float64{90, 10, 50} {
		c, err := Drill(Hole{ID: "P", At: geom.Vec{X: x}, DiameterMM: 3, FloorZ: -3}, tool, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		cuts = append(cuts, c)
	}
	p, err := Assemble(Head{}, tool, Settings{}, cuts)
	if err != nil {
		t.Fatal(err)
	}
	var xs []float64
	for _, s := range p.Steps {
		xs = append(xs, p.Moves[s.Move].To.X)
	}
	if !reflect.DeepEqual(xs, []float64{10, 50, 90}) {
		t.Errorf("visits %v", xs)
	}
	// A second cut at the same place needs no rapid to it.
	again, err := Assemble(Head{}, tool, Settings{}, []*Cut{cuts[1], cuts[1]})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(cuts[1].Moves); len(again.Moves) != 2*n-1 {
		t.Errorf("%d moves, want %d", len(again.Moves), 2*n-1)
	}
}

func TestAssembleRefuses(t *testing.T) {
	tool := Tool{DiameterMM: 3}
	c, err := Drill(Hole{ID: "P1", DiameterMM: 3, FloorZ: -3}, tool, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []struct {
		name string
		tool Tool
		s    Settings
		cuts []*Cut
		says string
	}{
		{"nothing", tool, Settings{}, nil, "nothing to cut"},
		{"empty cut", tool, Settings{}, []*Cut{nil}, "cut 0 is empty"},
		{"another tool", Tool{DiameterMM: 4}, Settings{}, []*Cut{c}, "P1 was planned for another tool"},
		{"other heights", tool, Settings{SafeMM: 9}, []*Cut{c}, "other heights"},
	} {
		t.Run(k.name, func(t *testing.T) {
			if _, err := Assemble(Head{}, k.tool, k.s, k.cuts); err == nil || !strings.Contains(err.Error(), k.says) {
				t.Errorf("got %v, want %q", err, k.says)
			}
		})
	}
}

// TestCheck breaks a good program in one place each.
func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(p *Program)
		says  string
	}{
		{"sideways rapid below", func(p *Program) { p.Moves[1].To.Z = 1; p.Moves[2].Kind = Rapid }, "sideways rapid at Z1.000"},
		{"rapid into stock", func(p *Program) { p.Moves[1].To.Z = -0.5 }, "rapid to Z-0.500"},
		{"slanted rapid", func(p *Program) { p.Moves[1].To.X++ }, "changes height and place at once"},
		{"no feed", func(p *Program) { p.Moves[3].FeedMMmin = 0 }, "feed of 0"},
		{"feed not a number", func(p *Program) { p.Moves[3].FeedMMmin = math.NaN() }, "feed of NaN"},
		{"centre off", func(p *Program) { p.Moves[3].To.Y -= 0.01 }, "radius"},
		{"no radius", func(p *Program) { p.Moves[3].Center = p.Moves[2].To.XY() }, "without radius"},
		{"not a place", func(p *Program) { p.Moves[3].To.Z = math.NaN() }, "no place on a machine"},
		{"centre not a place", func(p *Program) { p.Moves[3].Center.Y = math.Inf(1) }, "no place on a machine"},
		{"ends in the hole", func(p *Program) { p.Moves = p.Moves[:len(p.Moves)-1] }, "ends the program at Z-11.000"},
		{"low safe height", func(p *Program) { p.SafeZ = 1 }, "safe height"},
		{"spindle still", func(p *Program) { p.SpindleRPM = 0 }, "spindle speed"},
		{"unknown kind", func(p *Program) { p.Moves[3].Kind = 7 }, "kind 7"},
		{"step beyond the end", func(p *Program) { p.Steps[0].Move = 999 }, "out of order"},
		{"nothing", func(p *Program) { p.Moves, p.Steps = nil, nil }, "nothing to cut"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := oneBore(t)
			c.spoil(p)
			err := p.Check()
			var all Faults
			if !errors.As(err, &all) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}

// TestSweep tells a full turn from none and the long way from the short one.
func TestSweep(t *testing.T) {
	from := Point{1, 0, 0}
	for _, c := range []struct {
		name string
		m    Move
		want float64
	}{
		{"full", Move{Kind: ArcCCW, To: Point{1, 0, -1}}, 2 * math.Pi},
		{"full clockwise", Move{Kind: ArcCW, To: Point{1, 0, -1}}, -2 * math.Pi},
		{"quarter", Move{Kind: ArcCCW, To: Point{0, 1, 0}}, math.Pi / 2},
		{"the long way", Move{Kind: ArcCW, To: Point{0, 1, 0}}, -1.5 * math.Pi},
		{"straight", Move{Kind: Feed, To: Point{0, 1, 0}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) { near(t, "sweep", c.m.Sweep(from), c.want, 1e-12) })
	}
}
