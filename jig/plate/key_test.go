package plate

import (
	"math"
	"testing"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

// TestKey: whatever cuts the window, the board that lies right never meets the filled
// corner, pushed home or floating anywhere, and every wrong way it lacks what the key
// promises.
func TestKey(t *testing.T) {
	for _, c := range []struct {
		name                  string
		clearance, radius, rc float64
		start, end            float64
	}{
		{"laser, straight", 0.1, 0, 0, 38, 38},
		{"router, straight", 0.127, 0, 1.5875, 38.1, 38.1},
		{"thick cutter", 0.1, 0, 3, 60, 60},
		{"print, rounded corners", 0.15, 2, 0, 35, 46},
		{"large roundings, router", 0.1, 8, 3, 50, 50},
		{"loose", 0.4, 0, 0, 40, 40},
		{"taper the other way", 0.1, 0, 0, 55, 41},
	} {
		for _, push := range []string{"none", "left", "right"} {
			t.Run(c.name+" "+push, func(t *testing.T) {
				k := NewKey(c.start, c.clearance, c.radius, c.rc, push)
				quad := geom.Taper(300, c.start, c.end)
				walls := Walls(quad, Gaps(c.clearance, push))
				filled := k.Fill(quad, walls)
				board := Board(300, c.start, c.end, c.radius, k)
				window, _ := Window(walls, c.radius, c.rc, 0)
				window = k.Opening(window, filled, c.rc)
				if len(filled) != 5 || window.Area() <= board.Area() {
					t.Fatalf("%d walls, window %.1f mm2, board %.1f", len(filled), window.Area(), board.Area())
				}
				for i := range window { // what a round cutter reaches into
					if e := window.Edge(i); e.IsArc() && e.Arc().R < c.rc-1e-9 {
						t.Errorf("a rounding of %.3f mm", e.Arc().R)
					}
				}
				// To either side and end as far as the walls let it.
				for _, du := range []float64{-1, 0, 1} {
					for _, dv := range []float64{-1, 0, 1} {
						g := Gaps(c.clearance, push)
						at := geom.Vec{X: du * g[Start], Y: dv * g[Right]}
						if du > 0 {
							at.X = g[Far]
						}
						if dv > 0 {
							at.Y = g[Left]
						}
						for _, p := range board.Flatten(1e-3) {
							q := p.Add(at)
							inside := math.Inf(1) // of the walls
							for i := range walls {
								e := walls.Edge(i)
								inside = math.Min(inside, e.Q.Sub(e.P).Unit().Cross(q.Sub(e.P)))
							}
							if inside > -0.01 && window.Depth(q) < math.Min(0, inside)-1e-3 {
								t.Fatalf("moved by %v, %v stands %.4f beyond the window", at, p, -window.Depth(q))
							}
						}
					}
				}
				for turn := foolproof.HalfTurn; turn <= foolproof.FlipShort; turn++ {
					if lack := foolproof.Lack(filled.Corners(), board, turn); lack < keyLackMM-0.05 {
						t.Errorf("turn %d: lacks %.3f", turn, lack)
					}
				}
				if e := filled.Edge(int(k.Wall(Start))); math.Abs(e.Q.X-e.P.X) > 1e-9 || e.Q.Y > e.P.Y {
					t.Errorf("the start wall is edge %d of %v", k.Wall(Start), filled)
				}
			})
		}
	}
}
