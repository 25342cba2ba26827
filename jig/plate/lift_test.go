package plate

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

// TestLifted: a relief in either long wall, opposite each other, as near the middle as is
// clear, that leaves the walls as they were and meets them tangentially.
func TestLifted(t *testing.T) {
	taper := Walls(geom.Taper(478, 41.5, 55), Gaps(0.1, "left"))
	laser, _ := Window(taper, 0, 0, 0.2)
	router, _ := Window(taper, 0, 1.6, 0)
	round, _ := Window(taper, 6, 0, 0.2)
	keep := func(u float64) func(geom.Loop) bool { // nothing within 5 mm of (u, 33)
		return func(l geom.Loop) bool { return -l.Depth(geom.Vec{X: u, Y: 33}) > 5 }
	}
	for _, c := range []struct {
		name   string
		window geom.Loop
		rc     float64
		clear  func(geom.Loop) bool
		want   float64 // station; 0: none
	}{
		{"laser", laser, 0, keep(900), 239.1},
		{"corner reliefs", router, 1.6, keep(900), 239.1},
		{"round corners", round, 0, keep(900), 239.0},
		{"a pin in the middle", laser, 0, keep(239), 254.1},
		{"a pin short of the middle", laser, 0, keep(235), 249.1},
		{"no place", laser, 0, func(geom.Loop) bool { return false }, 0},
		{"cutter too thick", laser, 9.5, keep(900), 0},
		{"too short a wall", geom.Taper(34, 30, 30), 0, keep(900), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, u, ok := Lifted(c.window, c.rc, c.clear)
			if ok != (c.want > 0) || ok && math.Abs(u-c.want) > 0.06 {
				t.Fatalf("station %.3f, %v; want %.1f", u, ok, c.want)
			}
			if !ok {
				return
			}
			for i := range l {
				in, out := l.Edge((i+len(l)-1)%len(l)), l.Edge(i)
				if !in.IsArc() && !out.IsArc() || math.Abs(out.P.X-u) > 12 {
					continue // a corner
				}
				end := tangent(in, 1)
				if d := end.Cross(tangent(out, 0)); math.Abs(d) > 1e-9 {
					t.Errorf("%v: a kink of %.2g", out.P, d)
				}
			}
			deep := 0.0
			for _, p := range l.Flatten(1e-4) {
				out := -c.window.Depth(p)
				if deep = math.Max(deep, out); out > 1e-3 && math.Abs(p.X-u) > fingerRelief.half()+0.2 {
					t.Errorf("%v lies %.3f outside the window", p, out)
				}
				if out < -1e-3 {
					t.Errorf("%v stands %.3f into the window", p, -out)
				}
			}
			if math.Abs(deep-9) > 1e-2 {
				t.Errorf("reliefs %.3f deep", deep)
			}
			// Half a disc on either side, and a little for the lips.
			if more := l.Area() - c.window.Area(); more < math.Pi*81 || more > math.Pi*81+15 {
				t.Errorf("%.1f mm2 more than the window", more)
			}
		})
	}
}

// tangent is the direction of travel at an edge's start (0) or end (1).
func tangent(e geom.Edge, at float64) geom.Vec {
	if !e.IsArc() {
		return e.Q.Sub(e.P).Unit()
	}
	a := e.Arc()
	p := e.P
	if at == 1 {
		p = e.Q
	}
	return p.Sub(a.C).Unit().Left().Scale(math.Copysign(1, a.Sweep))
}
