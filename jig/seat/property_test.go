package seat

import (
	"math"
	"testing"

	"reseat/jig/geom"

	"pgregory.net/rapid"
)

// propertyTol is what two computations of one float may differ by, relative.
const propertyTol = 2 * roundWorstTolerance

// floor lets floats of nothing compare, mm: planeEps of a 1.5 m board is 6e-9,
// and sharp corners of the pose set carry it a little further.
const floor = 1e-7

func atMost(a, b float64) bool { return a <= b*(1+propertyTol)+floor }
func alikeTo(a, b float64) bool {
	return atMost(a, b) && atMost(b, a)
}

// drawn is a board in a window on a template with a slot or round holes.
type drawn struct {
	pins  PinPair
	round RoundSet // in place of pins when it has holes
	nest  Nest
	at    []geom.Vec
}

func draw(t *rapid.T) (d drawn) {
	x, c := rapid.Float64Range(-300, 300), rapid.Float64Range(1e-3, 0.5)
	if rapid.Bool().Draw(t, "round") {
		for i := range rapid.IntRange(2, 6).Draw(t, "pins") {
			// Steps of 700 keep the pins apart.
			d.round.Holes = append(d.round.Holes, vec(700*float64(i)+x.Draw(t, "u"), x.Draw(t, "v")))
			d.round.Clearances = append(d.round.Clearances, c.Draw(t, "clearance"))
		}
	}
	d.pins = PinPair{
		vec(x.Draw(t, "u"), x.Draw(t, "v")), vec(700+x.Draw(t, "u"), x.Draw(t, "v")), c.Draw(t, "round"), c.Draw(t, "slot"),
	}
	w := rapid.Float64Range(20, 120)
	board := geom.Taper(rapid.Float64Range(60, 1500).Draw(t, "length"), w.Draw(t, "start"), w.Draw(t, "far")).Corners()
	d.nest = Nest{Window: standOff(board, func() float64 { return c.Draw(t, "clearance") }), Board: board}
	d.at = []geom.Vec{vec(2*x.Draw(t, "u"), 0.2*x.Draw(t, "v")), {}}
	return d
}

// mapped returns d with its places and its clearances changed.
func (d drawn) mapped(place func(geom.Vec) geom.Vec, clearance func(float64) float64) drawn {
	all := func(pts []geom.Vec) (out []geom.Vec) {
		for _, p := range pts {
			out = append(out, place(p))
		}
		return out
	}
	o := drawn{
		pins: PinPair{
			place(d.pins.Round), place(d.pins.Slot), clearance(d.pins.RoundClearance), clearance(d.pins.SlotClearance),
		},
		nest:  Nest{Window: all(d.nest.Window), Board: all(d.nest.Board)},
		round: RoundSet{Holes: all(d.round.Holes)},
		at:    all(d.at),
	}
	for _, c := range d.round.Clearances {
		o.round.Clearances = append(o.round.Clearances, clearance(c))
	}
	return o
}

func (d drawn) base() maker {
	if len(d.round.Holes) > 0 {
		return d.round
	}
	return d.pins
}

func (d drawn) float(t *rapid.T) Float { return floatOf(t, d.at, d.base(), d.nest) }

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
		d := draw(t)
		f := d.float(t)
		leave := func(c float64) float64 { return c }

		alone, window := floatOf(t, d.at, d.base()), floatOf(t, d.at, d.nest)
		for i, m := range f.At {
			if !atMost(math.Max(m.Along, m.Across), m.Worst) || !atMost(m.Worst, math.Hypot(m.Along, m.Across)) {
				t.Fatalf("feature %d: worst does not lie between the parts and their sum: %+v", i, m)
			}
			a, b := alone.At[i], window.At[i]
			if !alikeTo(m.Along, a.Along+b.Along) || !alikeTo(m.Across, a.Across+b.Across) ||
				!atMost(m.Worst, a.Worst+b.Worst) {
				t.Fatalf("feature %d: %+v is not the sum of %+v and %+v", i, m, a, b)
			}
		}

		more := rapid.Float64Range(0, 0.2)
		looser := d.mapped(func(p geom.Vec) geom.Vec { return p },
			func(c float64) float64 { return c + more.Draw(t, "looser") })
		looser.nest.Window = standOff(d.nest.Window, func() float64 { return more.Draw(t, "wider") })
		compare(t, "more clearance made a smaller float", atMost, f, looser.float(t))

		if n := len(d.round.Holes); n > 2 {
			fewer := d
			fewer.round = RoundSet{d.round.Holes[:n-1], d.round.Clearances[:n-1]}
			compare(t, "a further pin made a larger float", atMost, f, fewer.float(t))
		}

		// A quarter turn of everything swaps along and across; any other rigid move leaves
		// rotation and worst move alone.
		g := d.mapped(geom.Rigid{Angle: math.Pi / 2}.Apply, leave).float(t)
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = g.At[i].Across, g.At[i].Along
		}
		compare(t, "a quarter turn of the frame", alikeTo, f, g)
		g = d.mapped(geom.Rigid{Angle: rapid.Float64Range(-3, 3).Draw(t, "angle"), Shift: vec(200, -70)}.Apply, leave).
			float(t)
		for i := range g.At {
			g.At[i].Along, g.At[i].Across = f.At[i].Along, f.At[i].Across
		}
		compare(t, "a move of the frame", alikeTo, f, g)

		k := rapid.Float64Range(0.1, 10).Draw(t, "scale")
		g = d.mapped(func(p geom.Vec) geom.Vec { return p.Scale(k) }, func(c float64) float64 { return k * c }).float(t)
		for i := range g.At {
			g.At[i] = Motion{g.At[i].Along / k, g.At[i].Across / k, g.At[i].Worst / k}
		}
		compare(t, "all lengths scaled", alikeTo, f, g)
	})
}
