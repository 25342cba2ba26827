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
		"thumb of radius 1":   tab,
		"many-sided":          geom.FromPoints(geom.Slot(geom.Vec{X: 60}, 0, 80, 40).Flatten(0.01)),
		"coarsely many-sided": geom.FromPoints(geom.Slot(geom.Vec{X: 60}, 0, 80, 40).Flatten(0.5)),
	}
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
				open = offset.Reach(open, c.RadiusMM)
			}
			least, where := clearance(board, open)
			if least < c.ClearanceMM-shortfallMM {
				t.Errorf("%s, %+v: %.4f mm free at %.2f", name, c, least, where)
			}
			// Of a cutter that does not reach, the relief says so.
			if c.RadiusMM == 0 && o.ReliefMM != 0 {
				t.Errorf("%s: reliefs for a beam", name)
			}
		}
	}
}

// A straight board's window is the one that Window draws.
func TestWindowOfStraightBoard(t *testing.T) {
	for _, c := range []struct{ radius, rc, kerf float64 }{{0, 0, 0.2}, {3, 0, 0.2}, {3, 1.5, 0}, {0, 1.5, 0}, {0, 3.175, 0}} {
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
			f := float64(k) / float64(n)
			if e.IsArc() {
				out = append(out, e.Arc().At(f))
			} else {
				out = append(out, e.P.Lerp(e.Q, f))
			}
		}
	}
	return out
}
