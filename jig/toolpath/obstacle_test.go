package toolpath

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestTouch has hand-made cases of one move each.
func TestTouch(t *testing.T) {
	pin := Obstacle{ID: "pin P1", Outline: geom.Slot(geom.Vec{X: 20}, 0, 0, 6), TopZ: 8}
	bar := Obstacle{ID: "rail", Outline: geom.Rect(geom.Box{Min: geom.Vec{X: 10, Y: 5}, Max: geom.Vec{X: 30, Y: 9}}),
		TopZ: 4}
	frame := Obstacle{
		ID: "template", TopZ: 6,
		Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -50, Y: -50}, Max: geom.Vec{X: 50, Y: 50}}),
		Windows: []geom.Loop{geom.Rect(geom.Box{Min: geom.Vec{X: -10, Y: -10}, Max: geom.Vec{X: 10, Y: 10}})},
	}
	ring := frame
	ring.Windows = []geom.Loop{geom.Slot(geom.Vec{}, 0, 0, 20)}
	for _, c := range []struct {
		name   string
		start  Point
		m      Move
		o      Obstacle
		want   *Point
		reason string
	}{
		{"over the pin", Point{0, 0, 9}, Move{Kind: Rapid, To: Point{40, 0, 9}}, pin, nil, "the tip is above its top"},
		{"into the pin", Point{0, 0, 5}, Move{Kind: Rapid, To: Point{40, 0, 5}}, pin, &Point{15, 0, 5},
			"centre 3 + 2 before the pin's"},
		{"beside the pin", Point{0, 5, 5}, Move{Kind: Feed, To: Point{40, 5, 5}}, pin, nil, "just touching is clear"},
		{"a hair nearer", Point{0, 4.99, 5}, Move{Kind: Feed, To: Point{40, 4.99, 5}}, pin,
			&Point{20 - math.Sqrt(25-4.99*4.99), 4.99, 5}, "chord of the circle of 5"},
		{"down onto the pin", Point{21, 0, 12}, Move{Kind: Feed, To: Point{21, 0, 4}}, pin, &Point{21, 0, 8}, "at its top"},
		{"slanted down", Point{0, 0, 12}, Move{Kind: Feed, To: Point{40, 0, 4}}, pin, &Point{20, 0, 8},
			"low enough in the middle only"},
		{"starts inside", Point{20, 0, 1}, Move{Kind: Feed, To: Point{40, 0, 1}}, pin, &Point{20, 0, 1}, "at once"},
		{"along the rail", Point{0, 3, 0}, Move{Kind: Feed, To: Point{40, 3, 0}}, bar, nil, "2 mm from its side"},
		{"into the rail's end", Point{0, 7, 0}, Move{Kind: Feed, To: Point{40, 7, 0}}, bar, &Point{8, 7, 0},
			"2 mm before its end"},
		{"past the rail's corner", Point{8, 3, 0}, Move{Kind: Arc, To: Point{8, 3, 0}, Center: geom.Vec{X: 8, Y: 1}}, bar,
			nil, "2.83 from the corner"},
		{"full turn into the rail", Point{20, -3, 0},
			Move{Kind: Arc, To: Point{20, -3, 0}, Center: geom.Vec{X: 20, Y: 0.5}},
			bar, &Point{20 + math.Sqrt(6), 3, 0}, "radius 3.5 reaches 4; at height 3 it meets"},
		{"in the window", Point{-8, -8, 0}, Move{Kind: Feed, To: Point{8, 8, 0}}, frame, nil, "2 mm from every wall"},
		{"over the window's edge", Point{0, 0, 0}, Move{Kind: Feed, To: Point{20, 0, 0}}, frame, &Point{8, 0, 0},
			"2 mm before the wall"},
		{"out of a round window", Point{0, 0, 0}, Move{Kind: Feed, To: Point{20, 0, 0}}, ring, &Point{8, 0, 0},
			"2 mm before the wall, a concave arc"},
		{"round a round window", Point{8, 0, 0}, Move{Kind: Arc, To: Point{8, 0, 0}}, ring, nil, "along the wall"},
		{"round it off the middle", Point{5, 0, 0}, Move{Kind: Arc, To: Point{5, 0, 0}, Center: geom.Vec{X: 1.5}}, ring,
			nil, "reaches 5"},
		{"outside the frame", Point{-60, 0, 0}, Move{Kind: Feed, To: Point{-53, 0, 0}}, frame, nil, "3 mm before the edge"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, hit := c.o.touch(c.start, c.m, 2)
			switch {
			case hit != (c.want != nil):
				t.Errorf("met: %v; %s", hit, c.reason)
			case hit:
				// A cutter enters by touchMM at a slant before it counts: near a grazing
				// touch that is sqrt(2 * 5 * 1e-6) along the way.
				if got := c.m.at(c.start, f); got.XY().Dist(c.want.XY()) > 5e-3 || math.Abs(got.Z-c.want.Z) > 5e-3 {
					t.Errorf("met at %v, want %v: %s", got, *c.want, c.reason)
				}
			}
		})
	}
}

// TestTouchAgainstSampling walks random moves past random obstacles in small
// steps: nothing that sampling meets may be missed or met later, and what is met
// must be a first touch.
func TestTouchAgainstSampling(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		c := geom.Vec{X: f("cx", -10, 10), Y: f("cy", -10, 10)}
		r, phi := f("r", 0.5, 12), f("phi", -3, 3)
		from := at(c.Add(geom.Polar(r, phi)), f("z0", -2, 2))
		end := c.Add(geom.Polar(r, f("end", -3, 3)))
		if rapid.Bool().Draw(rt, "full") {
			end = from.XY()
		}
		m := Move{Kind: rapid.SampledFrom([]Kind{Feed, Arc}).Draw(rt, "kind"), Center: c, To: at(end, f("z1", -2, 2))}
		r0 := f("tool", 0.5, 6) / 2
		o := Obstacle{TopZ: 0}
		switch rapid.IntRange(0, 3).Draw(rt, "shape") {
		case 0:
			o.Outline = geom.Slot(geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}, 0, 0, 2*f("or", 0.5, 5))
		case 1:
			at := geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}
			o.Outline = geom.Slot(at, f("oa", -3, 3), f("ot", 0.5, 9), f("ow", 0.5, 5))
		case 2:
			o.Outline = geom.Rect(geom.Box{Min: geom.Vec{X: -3, Y: -12}, Max: geom.Vec{X: 28, Y: 12}})
			o.Windows = []geom.Loop{geom.RoundCorners(geom.Taper(25, 8, 14), f("corner", 0.2, 3.9))}
		case 3:
			at := geom.Rigid{Angle: f("oa", -3, 3), Shift: geom.Vec{X: f("ox", -10, 10), Y: f("oy", -10, 10)}}
			o.Outline = at.Loop(geom.Taper(f("ol", 1, 12), f("ow", 1, 6), f("oe", 1, 6)))
		}
		const steps = 4000
		gap := func(p geom.Vec) float64 {
			g := math.Inf(1)
			if o.Outline.Contains(p) && (len(o.Windows) == 0 || !o.Windows[0].Contains(p)) {
				g = 0
			}
			for _, l := range append([]geom.Loop{o.Outline}, o.Windows...) {
				if e := l.Distance(p); g > 0 {
					g = math.Min(g, e)
				}
			}
			return g
		}
		first := math.Inf(1)
		for k := 0; k <= steps; k++ {
			p := m.at(from, float64(k)/steps)
			// Twice the depth that counts, so that rounding cannot decide.
			if p.Z < -2*touchMM && gap(p.XY()) < r0-2*touchMM {
				first = float64(k) / steps
				break
			}
		}
		got, ok := o.touch(from, m, r0)
		if !ok {
			if first <= 1 {
				rt.Fatalf("sampling meets at %g, gap %g, touch never", first, gap(m.at(from, first).XY()))
			}
			return
		}
		if got > first {
			rt.Fatalf("sampling meets at %g, touch later, at %g", first, got)
		}
		// The place must be a first touch: on the surface at the tool's radius, or on
		// the top, or at the very start.
		p := m.at(from, got)
		if got > 0 && math.Abs(p.Z) > 2*touchMM && math.Abs(gap(p.XY())-r0) > 2*touchMM {
			rt.Fatalf("met at %v, gap %g, tool radius %g", p, gap(p.XY()), r0)
		}
		if p.Z > 2*touchMM || gap(p.XY()) > r0+2*touchMM {
			rt.Fatalf("met at %v where nothing touches: gap %g, tool radius %g", p, gap(p.XY()), r0)
		}
	})
}

// TestCollisions: a program among pins tells each first touch, in the order of the moves.
func TestCollisions(t *testing.T) {
	pin := func(id string, x, y, d, top float64) Obstacle {
		return Obstacle{ID: id, Outline: geom.Slot(geom.Vec{X: x, Y: y}, 0, 0, d), TopZ: top}
	}
	got := oneBore(t).Collisions([]Obstacle{
		pin("near", 36, 40, 6.2, 0.5), pin("on the way", 15, 20, 6, 20), pin("low", 15, 20, 6, 4),
		pin("clear", 36, 40, 6, 0.5),
	})
	if len(got) != 2 || got[0].ID != "on the way" || got[1].ID != "near" {
		t.Errorf("got %v", got)
	}
	if want := "the cutter meets near with the tip at X3"; !strings.HasPrefix(got[1].String(), want) {
		t.Errorf("says %q, want %q", got[1], want)
	}
}

// TestCollet: the collet of 20, 15 above the tip, bores 11 deep at (30, 40): its rim passes
// within 10 + 1 of the centre, down to 15 - 11 = 4 above Z0. It comes down on what is higher
// than that and nearer; the cutter, of 4, touches none of it.
func TestCollet(t *testing.T) {
	for _, c := range []struct {
		name         string
		fromMM, topZ float64 // of the bar's edge from the hole's centre; its height
		collet       float64
		part         string // that touches; "": none
	}{
		{"beside and too high", 10.5, 4.1, 20, "collet"},
		{"beside, low enough", 10.5, 3.9, 20, ""},
		{"farther than its rim", 11.1, 30, 20, ""},
		{"no collet known", 10.5, 30, 0, ""},
		{"in the cutter's way", 2.5, 1, 0, "cutter"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := oneBore(t)
			p.ColletMM, p.BelowMM = c.collet, 15
			bar := geom.Rect(geom.Box{Min: geom.Vec{X: 30 + c.fromMM}, Max: geom.Vec{X: 90, Y: 80}})
			got := p.Collisions([]Obstacle{{ID: "bar", Outline: bar, TopZ: c.topZ}})
			if c.part == "" && got != nil || c.part != "" && (len(got) != 1 || got[0].Part != c.part) {
				t.Errorf("got %v, want %q", got, c.part)
			}
		})
	}
}
