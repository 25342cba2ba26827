package toolpath

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestClear has hand-made cases of one move each.
func TestClear(t *testing.T) {
	pin := Obstacle{ID: "pin P1", At: geom.Vec{X: 20}, RadiusMM: 3, TopZ: 8}
	bar := Obstacle{ID: "rail", Outline: geom.Rect(geom.Box{Min: geom.Vec{X: 10, Y: 5}, Max: geom.Vec{X: 30, Y: 9}}), TopZ: 4}
	frame := Obstacle{
		ID: "template", TopZ: 6,
		Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -50, Y: -50}, Max: geom.Vec{X: 50, Y: 50}}),
		Windows: []geom.Loop{geom.Rect(geom.Box{Min: geom.Vec{X: -10, Y: -10}, Max: geom.Vec{X: 10, Y: 10}})},
	}
	ring := frame
	ring.Windows = []geom.Loop{geom.Slot(geom.Vec{}, 0, 0, 20)}
	tool := Tool{DiameterMM: 4}
	for _, c := range []struct {
		name   string
		start  Point
		m      Move
		tool   Tool
		o      Obstacle
		want   *Point
		reason string
	}{
		{"over the pin", Point{0, 0, 9}, Move{Kind: Rapid, To: Point{40, 0, 9}}, tool, pin, nil, "the tip is above its top"},
		{"into the pin", Point{0, 0, 5}, Move{Kind: Rapid, To: Point{40, 0, 5}}, tool, pin, &Point{15, 0, 5}, "centre 3 + 2 before the pin's"},
		{"beside the pin", Point{0, 5, 5}, Move{Kind: Feed, To: Point{40, 5, 5}}, tool, pin, nil, "just touching is clear"},
		{"a hair nearer", Point{0, 4.99, 5}, Move{Kind: Feed, To: Point{40, 4.99, 5}}, tool, pin, &Point{20 - math.Sqrt(25-4.99*4.99), 4.99, 5}, "chord of the circle of 5"},
		{"down onto the pin", Point{21, 0, 12}, Move{Kind: Feed, To: Point{21, 0, 4}}, tool, pin, &Point{21, 0, 8}, "at its top"},
		{"slanted down", Point{0, 0, 12}, Move{Kind: Feed, To: Point{40, 0, 4}}, tool, pin, &Point{20, 0, 8}, "low enough in the middle only"},
		{"starts inside", Point{20, 0, 1}, Move{Kind: Feed, To: Point{40, 0, 1}}, tool, pin, &Point{20, 0, 1}, "at once"},
		{"along the rail", Point{0, 3, 0}, Move{Kind: Feed, To: Point{40, 3, 0}}, tool, bar, nil, "2 mm from its side"},
		{"into the rail's end", Point{0, 7, 0}, Move{Kind: Feed, To: Point{40, 7, 0}}, tool, bar, &Point{8, 7, 0}, "2 mm before its end"},
		{"past the rail's corner", Point{8, 3, 0}, Move{Kind: ArcCCW, To: Point{8, 3, 0}, Center: geom.Vec{X: 8, Y: 1}}, tool, bar, nil, "2.83 from the corner"},
		{"full turn into the rail", Point{20, -3, 0}, Move{Kind: ArcCCW, To: Point{20, -3, 0}, Center: geom.Vec{X: 20, Y: 0.5}}, tool, bar, &Point{20 + math.Sqrt(6), 3, 0}, "radius 3.5 reaches 4; at height 3 it meets"},
		{"in the window", Point{-8, -8, 0}, Move{Kind: Feed, To: Point{8, 8, 0}}, tool, frame, nil, "2 mm from every wall"},
		{"over the window's edge", Point{0, 0, 0}, Move{Kind: Feed, To: Point{20, 0, 0}}, tool, frame, &Point{8, 0, 0}, "2 mm before the wall"},
		{"out of a round window", Point{0, 0, 0}, Move{Kind: Feed, To: Point{20, 0, 0}}, tool, ring, &Point{8, 0, 0}, "2 mm before the wall, a concave arc"},
		{"round a round window", Point{8, 0, 0}, Move{Kind: ArcCCW, To: Point{8, 0, 0}}, tool, ring, nil, "along the wall"},
		{"round it off the middle", Point{5, 0, 0}, Move{Kind: ArcCCW, To: Point{5, 0, 0}, Center: geom.Vec{X: 1.5}}, tool, ring, nil, "reaches 5"},
		{"outside the frame", Point{-60, 0, 0}, Move{Kind: Feed, To: Point{-53, 0, 0}}, tool, frame, nil, "3 mm before the edge"},
		{"collet on the frame", Point{0, 0, 0}, Move{Kind: Feed, To: Point{5, 0, -15}}, Tool{DiameterMM: 4, ColletMM: 20, StickOutMM: 15}, frame, &Point{3, 0, -9}, "wider than the window, 15 above the tip"},
		{"cutter before the collet", Point{21, 0, 12}, Move{Kind: Feed, To: Point{21, 0, -20}}, Tool{DiameterMM: 4, ColletMM: 20, StickOutMM: 15}, pin, &Point{21, 0, 8}, "both meet, the cutter first"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Clear(c.start, []Move{c.m}, c.tool, []Obstacle{c.o})
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case c.want == nil && got != nil:
				t.Errorf("met: %v; %s", got, c.reason)
			case c.want != nil && got == nil:
				t.Errorf("not met; %s", c.reason)
			case c.want != nil:
				// A cutter enters by touchMM at a slant before it counts: near a grazing
				// touch that is sqrt(2 * 5 * 1e-6) along the way.
				if d := got[0].At.Dist(*c.want); d > 5e-3 {
					t.Errorf("met at %v, want %v: %s", got[0].At, *c.want, c.reason)
				}
				if got[0].Collet != strings.HasPrefix(c.name, "collet") || !strings.Contains(got[0].String(), c.o.ID) {
					t.Errorf("says %v", got[0])
				}
			}
		})
	}
}

// TestClearAgainstSampling walks random moves past random obstacles in small
// steps: nothing that sampling meets may be missed or met later, and what is met
// must be a first touch.
func TestClearAgainstSampling(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		c := geom.Vec{X: f("cx", -10, 10), Y: f("cy", -10, 10)}
		r, phi := f("r", 0.5, 12), f("phi", -3, 3)
		from := at(c.Add(geom.Polar(r, phi)), f("z0", -2, 2))
		end := c.Add(geom.Polar(r, f("end", -3, 3)))
		if rapid.Bool().Draw(rt, "full") {
			end = from.XY()
		}
		m := Move{Kind: rapid.SampledFrom([]Kind{Feed, ArcCW, ArcCCW}).Draw(rt, "kind"), Center: c, To: at(end, f("z1", -2, 2))}
		tool := Tool{DiameterMM: f("tool", 0.5, 6)}
		o := Obstacle{TopZ: 0}
		switch rapid.IntRange(0, 3).Draw(rt, "shape") {
		case 0:
			o.At, o.RadiusMM = geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}, f("or", 0.5, 5)
		case 1:
			o.Outline = geom.Slot(geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}, f("oa", -3, 3), f("ot", 0.5, 9), f("ow", 0.5, 5))
		case 2:
			o.Outline = geom.Rect(geom.Box{Min: geom.Vec{X: -3, Y: -12}, Max: geom.Vec{X: 28, Y: 12}})
			o.Windows = []geom.Loop{geom.RoundCorners(geom.Taper(25, 8, 14), f("corner", 0.2, 3.9))}
		case 3:
			o.Outline = geom.Rigid{Angle: f("oa", -3, 3), Shift: geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}}.Loop(geom.Taper(f("ol", 1, 12), f("ow", 1, 6), f("oe", 1, 6)))
		}
		var ff faults
		b := o.body(&ff, 0)
		const steps = 4000
		r0 := tool.DiameterMM / 2
		gap := func(p geom.Vec) float64 {
			g := math.Inf(1)
			if b.outline.Contains(p) && (len(b.windows) == 0 || !b.windows[0].Contains(p)) {
				g = 0
			}
			for _, l := range append([]geom.Loop{b.outline}, b.windows...) {
				if e := l.Distance(p); g > 0 {
					g = math.Min(g, e)
				}
			}
			return g
		}
		first := math.Inf(1)
		for k := 0; k <= steps; k++ {
			p := m.At(from, float64(k)/steps)
			// Twice the depth that counts, so that rounding cannot decide.
			if p.Z < -2*touchMM && gap(p.XY()) < r0-2*touchMM {
				first = float64(k) / steps
				break
			}
		}
		got, ok := touch(from, m, b, cylinder{r: r0})
		all, err := Clear(from, []Move{m}, tool, []Obstacle{o})
		if err != nil {
			rt.Fatal(err)
		}
		if (all != nil) != ok || ok && all[0].At != m.At(from, got) {
			rt.Fatalf("Clear says %v, touch %v at %g", all, ok, got)
		}
		if !ok {
			if first <= 1 {
				rt.Fatalf("sampling meets at %g, gap %g, Clear never", first, gap(m.At(from, first).XY()))
			}
			return
		}
		if got > first {
			rt.Fatalf("sampling meets at %g, Clear later, at %g", first, got)
		}
		// The place must be a first touch: on the surface at the tool's radius, or on
		// the top, or at the very start.
		p := m.At(from, got)
		if got > 0 && math.Abs(p.Z) > 2*touchMM && math.Abs(gap(p.XY())-r0) > 2*touchMM {
			rt.Fatalf("met at %v, gap %g, tool radius %g", p, gap(p.XY()), r0)
		}
		if p.Z > 2*touchMM || gap(p.XY()) > r0+2*touchMM {
			rt.Fatalf("met at %v where nothing touches: gap %g, tool radius %g", p, gap(p.XY()), r0)
		}
	})
}

// TestClearWhole: a program among pins tells each first touch, in order.
func TestClearWhole(t *testing.T) {
	p := oneBore(t)
	from, moves := p.Path()
	obstacles := []Obstacle{
		{ID: "home", At: geom.Vec{X: 15, Y: 20}, RadiusMM: 3, TopZ: 20},
		{ID: "low", At: geom.Vec{X: 15, Y: 20}, RadiusMM: 3, TopZ: 4},
		{ID: "near", At: geom.Vec{X: 36, Y: 40}, RadiusMM: 3.1, TopZ: 0.5},
		{ID: "clear", At: geom.Vec{X: 36, Y: 40}, RadiusMM: 3, TopZ: 0.5},
	}
	got, err := Clear(from, moves, p.Tool, obstacles)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 2 || got[0].ID != "home" || got[0].Move != 0 || got[1].ID != "near" {
		t.Errorf("got %v", got)
	}
}

func TestClearRefuses(t *testing.T) {
	nan := math.NaN()
	moves := []Move{{Kind: Feed, To: Point{1, 1, 1}}}
	for _, c := range []struct {
		name  string
		moves []Move
		tool  Tool
		o     Obstacle
		says  string
	}{
		{"no tool", moves, Tool{}, Obstacle{RadiusMM: 1}, "tool diameter"},
		{"no shape", moves, Tool{DiameterMM: 3}, Obstacle{ID: "pin"}, "pin: radius"},
		{"two shapes", moves, Tool{DiameterMM: 3}, Obstacle{RadiusMM: 1, Outline: geom.Rect(geom.Box{Max: geom.Vec{X: 1, Y: 1}})}, "one of the two"},
		{"height", moves, Tool{DiameterMM: 3}, Obstacle{RadiusMM: 1, TopZ: nan}, "height"},
		{"outline", moves, Tool{DiameterMM: 3}, Obstacle{Outline: geom.Loop{{Vec: geom.Vec{X: nan}}}}, "outline"},
		{"window outside", moves, Tool{DiameterMM: 3}, Obstacle{
			Outline: geom.Rect(geom.Box{Max: geom.Vec{X: 9, Y: 9}}), Windows: []geom.Loop{geom.Rect(geom.Box{Max: geom.Vec{X: 5, Y: 10}})},
		}, "windows inside"},
		{"move", []Move{{To: Point{nan, 0, 0}}}, Tool{DiameterMM: 3}, Obstacle{RadiusMM: 1}, "move 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Clear(Point{}, c.moves, c.tool, []Obstacle{c.o}); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}
