package seat

import (
	"math"
	"testing"

	"pgregory.net/rapid"
	"reseat/jig/geom"
)

// propertyTol is what two computations of one float may differ by, relative:
// WorstTolerance and some rounding.
const propertyTol = 2 * WorstTolerance

// floor lets floats of nothing compare, mm: planeEps of a 1.5 m board is 6e-9,
// and sharp corners of the pose set carry it a little further. Clearances below a
// micrometre are left to TestNestShortfall.
const floor = 1e-7

func atMost(a, b float64) bool { return a <= b*(1+propertyTol)+floor }
func alikeTo(a, b float64) bool {
	return math.Abs(a-b) <= propertyTol*math.Max(math.Abs(a), math.Abs(b))+floor
}

func drawPair(t *rapid.T) PinPair {
	c := rapid.Float64Range(0, 0.5)
	x := rapid.Float64Range(-300, 300)
	return PinPair{
		Round: vec(x.Draw(t, "u1"), x.Draw(t, "v1")), Slot: vec(400+x.Draw(t, "u2"), x.Draw(t, "v2")),
		RoundClearance: c.Draw(t, "round"), SlotClearance: c.Draw(t, "slot"),
	}
}

func drawFeatures(t *rapid.T) []geom.Vec {
	u, v := rapid.Float64Range(-50, 700), rapid.Float64Range(-60, 60)
	return []geom.Vec{vec(u.Draw(t, "u"), v.Draw(t, "v")), {}}
}

// drawNest returns a tapered board in a window that stands off by a clearance of
// its own at every side.
func drawNest(t *rapid.T) Nest {
	w := rapid.Float64Range(20, 120)
	board := geom.Taper(rapid.Float64Range(60, 1500).Draw(t, "length"), w.Draw(t, "start"), w.Draw(t, "far")).Corners()
	c := rapid.Float64Range(1e-3, 1)
	return Nest{Window: standOff(board, func() float64 { return c.Draw(t, "clearance") }), Board: board}
}

func mustSeat(t *rapid.T, p PinPair, n *Nest, at []geom.Vec) Float {
	f, err := SeatFloat(p, n, at)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range append(f.At, Motion{f.ThetaMax, 0, 0}) {
		for _, x := range []float64{m.Along, m.Across, m.Worst} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
				t.Fatalf("float %+v", f)
			}
		}
	}
	return f
}

func compare(t *rapid.T, what string, holds func(a, b float64) bool, a, b Float) {
	const shortest = 60 // mm, the shortest board drawn: turns floor into an angle
	if !holds(a.ThetaMax*shortest, b.ThetaMax*shortest) {
		t.Fatalf("%s: theta %g and %g", what, a.ThetaMax, b.ThetaMax)
	}
	for i := range a.At {
		x, y := a.At[i], b.At[i]
		if !holds(x.Along, y.Along) || !holds(x.Across, y.Across) || !holds(x.Worst, y.Worst) {
			t.Fatalf("%s: feature %d: %+v and %+v", what, i, x, y)
		}
	}
}

func TestFloatProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, n, at := drawPair(t), drawNest(t), drawFeatures(t)
		seat := &n
		if rapid.Bool().Draw(t, "on its own pins") {
			seat = nil
		}
		f := mustSeat(t, p, seat, at)

		for i, m := range f.At {
			if !atMost(math.Max(m.Along, m.Across), m.Worst) || !atMost(m.Worst, math.Hypot(m.Along, m.Across)) {
				t.Fatalf("feature %d: worst does not lie between the parts and their sum: %+v", i, m)
			}
		}

		looser := p
		looser.RoundClearance += rapid.Float64Range(0, 0.2).Draw(t, "looser round")
		looser.SlotClearance += rapid.Float64Range(0, 0.2).Draw(t, "looser slot")
		compare(t, "a larger pin clearance made a smaller float", atMost, f, mustSeat(t, looser, seat, at))

		if seat != nil {
			c := rapid.Float64Range(0, 0.3)
			wider := n
			wider.Window = standOff(n.Window, func() float64 { return c.Draw(t, "wider") })
			compare(t, "a larger window made a smaller float", atMost, f, mustSeat(t, p, &wider, at))
		}

		longer := p
		longer.Slot = p.Round.Lerp(p.Slot, rapid.Float64Range(1, 3).Draw(t, "longer"))
		if g := mustSeat(t, longer, seat, at); !atMost(g.ThetaMax, f.ThetaMax) {
			t.Fatalf("a longer baseline made a larger rotation: %g, %g", f.ThetaMax, g.ThetaMax)
		}

		// A quarter turn of everything swaps along and across.
		q := geom.Rigid{Angle: math.Pi / 2}
		g := mustSeat(t, moved(p, q), movedNest(seat, q), movedPoints(at, q))
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = g.At[i].Across, g.At[i].Along
		}
		compare(t, "a quarter turn of the frame", alikeTo, f, g)

		// Any other rigid move leaves rotation and worst move alone.
		q = geom.Rigid{Angle: rapid.Float64Range(-3, 3).Draw(t, "angle"), Shift: vec(200, -70)}
		g = mustSeat(t, moved(p, q), movedNest(seat, q), movedPoints(at, q))
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = f.At[i].Along, f.At[i].Across
		}
		compare(t, "a move of the frame", alikeTo, f, g)
	})
}

func TestFloatScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, n, at := drawPair(t), drawNest(t), drawFeatures(t)
		k := rapid.Float64Range(0.1, 10).Draw(t, "scale")
		scale := func(pts []geom.Vec) []geom.Vec {
			out := make([]geom.Vec, len(pts))
			for i, x := range pts {
				out[i] = x.Scale(k)
			}
			return out
		}
		f := mustSeat(t, p, &n, at)
		big := Nest{Window: scale(n.Window), Board: scale(n.Board)}
		g := mustSeat(t, PinPair{p.Round.Scale(k), p.Slot.Scale(k), k * p.RoundClearance, k * p.SlotClearance}, &big, scale(at))
		for i := range f.At {
			m := &f.At[i]
			m.Along, m.Across, m.Worst = k*m.Along, k*m.Across, k*m.Worst
		}
		compare(t, "all lengths scaled", alikeTo, f, g)
	})
}

func moved(p PinPair, m geom.Rigid) PinPair {
	p.Round, p.Slot = m.Apply(p.Round), m.Apply(p.Slot)
	return p
}

func movedPoints(pts []geom.Vec, m geom.Rigid) []geom.Vec {
	out := make([]geom.Vec, len(pts))
	for i, p := range pts {
		out[i] = m.Apply(p)
	}
	return out
}

func movedNest(n *Nest, m geom.Rigid) *Nest {
	if n == nil {
		return nil
	}
	return &Nest{Window: movedPoints(n.Window, m), Board: movedPoints(n.Board, m), Push: n.Push}
}
