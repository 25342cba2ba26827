package plate

import (
	"math"
	"os"
	"strconv"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// outlines are boards of all kinds, counter-clockwise.
func outlines() map[string]geom.Loop {
	pts := func(xy ...float64) geom.Loop {
		var l geom.Loop
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Vertex{Vec: geom.Vec{X: xy[i], Y: xy[i+1]}})
		}
		return l
	}
	ell := pts(0, 0, 120, 0, 120, 40, 50, 40, 50, 90, 0, 90)
	tab := pts(0, 0, 100, 0, 100, 40, 62, 40)
	tab = append(tab, geom.Vertex{Vec: geom.Vec{X: 60, Y: 40}, Bulge: 1}, geom.Vertex{Vec: geom.Vec{X: 58, Y: 40}})
	tab = append(tab, pts(0, 40)...)
	wedge := pts(0, 0, 100, 0, 100, 40, 54, 40, 50.5, 55, 49.5, 55, 46, 40, 0, 40)
	saw := pts(0, 0, 100, 0, 100, 40, 90, 45, 80, 40, 70, 55, 60, 40, 50, 65, 40, 40, 0, 40)
	bridge := geom.Loop{
		{Vec: geom.Vec{X: 0, Y: -12}, Bulge: 0.12}, {Vec: geom.Vec{X: 150, Y: -12}},
		{Vec: geom.Vec{X: 150, Y: 10}, Bulge: -0.15}, {Vec: geom.Vec{X: 0, Y: 10}},
	}
	return map[string]geom.Loop{
		"rectangle":           pts(0, 0, 100, 0, 100, 40, 0, 40),
		"rounded 1":           geom.RoundCorners(pts(0, 0, 100, 0, 100, 40, 0, 40), 1),
		"rounded 6":           geom.RoundCorners(pts(0, 0, 100, 0, 100, 40, 0, 40), 6),
		"taper":               geom.Taper(478, 41.5, 55),
		"triangle":            pts(0, 0, 90, 0, 30, 60),
		"sharp triangle":      pts(0, 0, 120, 0, 0, 50),
		"rounded triangle":    geom.RoundCorners(pts(0, 0, 120, 0, 0, 50), 2),
		"ell":                 ell,
		"bridge":              bridge,
		"disc":                geom.Slot(geom.Vec{X: 40}, 0, 0, 80),
		"stadium":             geom.Slot(geom.Vec{X: 60}, 0, 80, 40),
		"half disc":           {{Vec: geom.Vec{X: 50}, Bulge: 1}, {Vec: geom.Vec{X: -50}}},
		"square tab":          pts(0, 0, 60, 0, 60, 40, 31, 40, 31, 50, 29, 50, 29, 40, 0, 40),
		"wedge":               wedge,
		"saw":                 saw,
		"thumb of radius 1":   tab,
		"many-sided":          geom.FromPoints(geom.Slot(geom.Vec{X: 60}, 0, 80, 40).Flatten(0.01)),
		"coarsely many-sided": geom.FromPoints(geom.Slot(geom.Vec{X: 60}, 0, 80, 40).Flatten(0.5)),
	}
}

// reliefs is how many of them a cutter needs at most.
var reliefs = map[string]int{
	"rectangle": 4, "rounded 1": 4, "taper": 4, "triangle": 3, "sharp triangle": 3, "rounded triangle": 3, "ell": 5,
	"bridge": 4, "half disc": 2, "square tab": 6, "wedge": 6, "saw": 7, "thumb of radius 1": 5, "coarsely many-sided": 99,
}

// The board lies in its window with the clearance all round, in what the cutter really
// opens of it, and nothing of it is nearer to the board in a corner than beside a wall.
func TestWindowClears(t *testing.T) {
	for name, board := range outlines() {
		for _, c := range []Cut{
			{ClearanceMM: 0.1, KerfMM: 0.2},
			{ClearanceMM: 0.1, RadiusMM: 1.5},
			{ClearanceMM: 0.1, RadiusMM: 1.5, Relief: OnOneSide},
			{ClearanceMM: 0.25, RadiusMM: 3},
			{ClearanceMM: 0.25, RadiusMM: 3, Relief: OnOneSide},
		} {
			o, ok := WindowOf(board, c)
			if !ok {
				t.Errorf("%s, %+v: no window", name, c)
				continue
			}
			open := []geom.Loop{o.Window}
			if c.RadiusMM > 0 {
				// What the cutter opens: the region's morphological opening by a disc.
				open = offset.Grow(offset.Centres(open, c.RadiusMM), c.RadiusMM, offset.Round)
			}
			least, where := clearance(board, open)
			if least < c.ClearanceMM-shortfallMM {
				t.Errorf("%s, %+v: %.4f mm free at %.2f", name, c, least, where)
			}
			if n := len(o.Reliefs); n > reliefs[name] || c.RadiusMM == 0 && n > 0 {
				t.Errorf("%s, %+v: %d reliefs", name, c, n)
			}
		}
	}
}

// A straight board's window is the one that Window draws.
func TestWindowOfStraightBoard(t *testing.T) {
	for _, c := range []struct{ radius, rc, kerf float64 }{{0, 0, 0.2}, {3, 0, 0.2}, {3, 1.5, 0}, {0, 1.5, 0},
		{0, 3.175, 0}} {
		board := geom.Taper(478, 41.5, 55)
		walls := Walls(board, Gaps(0.1, "none"))
		want, relief := Window(walls, c.radius, c.rc, c.kerf)
		o, ok := WindowOf(Board(478, 41.5, 55, c.radius, Key{}), Cut{ClearanceMM: 0.1, RadiusMM: c.rc, KerfMM: c.kerf})
		if !ok || o.ReliefMM != relief || len(o.Walls) != 4 || math.Abs(o.Walls.Area()-walls.Area()) > 1e-9 {
			t.Fatalf("%+v: %+v, want relief %v", c, o, relief)
		}
		// The same area, and every point of the one on the other.
		if math.Abs(o.Window.Area()-want.Area()) > 1e-9 {
			t.Errorf("%+v: area %v, want %v", c, o.Window.Area(), want.Area())
		}
		for _, v := range want {
			if d := o.Window.Distance(v.Vec); d > 1e-8 {
				t.Errorf("%+v: %v is %g off", c, v, d)
			}
		}
	}
}

// Places that are too narrow are told, with their widths.
func TestWindowTight(t *testing.T) {
	type tight struct {
		what  Tightness
		width float64
		at    geom.Vec
	}
	pts := func(xy ...float64) (l geom.Loop) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Vertex{Vec: geom.Vec{X: xy[i], Y: xy[i+1]}})
		}
		return l
	}
	// Two squares joined by a bar 2.4 wide; a square with a slot 5 wide, or 0.1; with a
	// tab 2 wide and 10 long.
	dumbbell := pts(0, 0, 40, 0, 40, 18.8, 60, 18.8, 60, 0, 100, 0, 100, 40, 60, 40, 60, 21.2, 40, 21.2, 40, 40, 0, 40)
	slotted := func(w float64) geom.Loop {
		return pts(0, 0, 60, 0, 60, 40, 30+w/2, 40, 30+w/2, 10, 30-w/2, 10, 30-w/2, 40, 0, 40)
	}
	tab := pts(0, 0, 60, 0, 60, 40, 31, 40, 31, 50, 29, 50, 29, 40, 0, 40)
	for _, c := range []struct {
		name  string
		board geom.Loop
		cut   Cut
		ok    bool
		want  []tight
	}{
		{"rectangle", pts(0, 0, 90, 0, 90, 40, 0, 40), Cut{ClearanceMM: 0.1, RadiusMM: 1.5, WebMM: 6}, true, nil},
		{"neck, laser", dumbbell, Cut{ClearanceMM: 0.1, WebMM: 6}, true, nil},
		{"neck, cutter that passes", dumbbell, Cut{ClearanceMM: 0.1, RadiusMM: 1.25, WebMM: 6}, true, nil},
		{"neck", dumbbell, Cut{ClearanceMM: 0.1, RadiusMM: 1.5, WebMM: 6}, true, []tight{{Neck, 2.6, geom.Vec{X: 50, Y: 20}}}},
		{"tab", tab, Cut{ClearanceMM: 0.1, RadiusMM: 1.5, WebMM: 6}, true, []tight{{Neck, 2.2, geom.Vec{X: 30, Y: 45}}}},
		{"tongue", slotted(5), Cut{ClearanceMM: 0.1, WebMM: 6}, true, []tight{{Tongue, 4.8, geom.Vec{X: 30, Y: 25}}}},
		{"tongue, web holds", slotted(5), Cut{ClearanceMM: 0.1, WebMM: 4.7}, true, nil},
		{"tongue lost", slotted(0.1), Cut{ClearanceMM: 0.1, WebMM: 6}, true, []tight{{Tongue, 0, geom.Vec{X: 30, Y: 25}}}},
		{"cutter too large", slotted(5), Cut{ClearanceMM: 0.1, RadiusMM: 30, WebMM: 3}, false, nil},
	} {
		o, ok := WindowOf(c.board, c.cut)
		if ok != c.ok {
			t.Errorf("%s: ok is %v", c.name, ok)
		}
		if !ok {
			continue
		}
		if len(o.Tight) != len(c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, o.Tight, c.want)
			continue
		}
		for i, w := range c.want {
			g := o.Tight[i]
			if g.What != w.what || math.Abs(g.WidthMM-w.width) > 1e-6 || g.At.Dist(w.at) > 0.5 {
				t.Errorf("%s: %+v, want %+v", c.name, g, w)
			}
		}
	}
}

// clearance is the least distance between the board's contour and the region's, which it
// lies in, by points no farther apart than the step; negative outside.
func clearance(board geom.Loop, open []geom.Loop) (least float64, where geom.Vec) {
	least = math.Inf(1)
	look := func(p geom.Vec, d float64) {
		if d < least {
			least, where = d, p
		}
	}
	for _, p := range sampled(board) {
		_, d := offset.Nearest(open, p)
		in := false
		for _, l := range open {
			in = in != l.Contains(p)
		}
		if !in {
			d = -d
		}
		look(p, d)
	}
	for _, l := range open {
		for _, p := range sampled(l) {
			look(p, -board.Depth(p))
		}
	}
	return least, where
}

// sampled are the vertices of l and points between, 2 mm apart, 0.05 in a deep run.
func sampled(l geom.Loop) []geom.Vec {
	step := 2.0
	if checks, err := strconv.Atoi(os.Getenv("RAPID_CHECKS")); err == nil && checks > 100 {
		step = 0.05
	}
	var out []geom.Vec
	for i := range l {
		e := l.Edge(i)
		n := 2 + 2*int(e.Length()/step/2) // the middle too
		for k := range n {
			out = append(out, e.At(float64(k)/float64(n)))
		}
	}
	return out
}
