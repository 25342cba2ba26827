package coupon

import (
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/stroke"
)

// Marks are the name of every feature, in single strokes: of a hole outward of its row, of
// a slot outward of its group, of a bar on itself; and which face is the top, the two
// axes, and which coupon it is.
func (c *Coupon) Marks() []plate.Mark {
	var out []plate.Mark
	middle, h := c.Size.Scale(0.5), c.letterMM()
	add := func(says string, at geom.Vec, turn float64) { out = append(out, c.mark(says, at, turn)) }
	rim := math.Max(c.web(), h+2*markRoomMM)
	aside := geom.Vec{X: -middle.X / 2} // of the middle: between the groups, or where they would be
	for _, f := range c.Features {
		up := geom.Vec{Y: math.Copysign(1, f.At.Y-middle.Y)}
		switch {
		case f.Kind == Hole:
			add(f.ID, geom.Vec{X: f.At.X, Y: middle.Y}.Add(up.Scale(middle.Y-rim/2)), 0)
		case f.Kind == Bar && f.Axis == "x":
			add(f.ID, f.At, math.Pi/2)
		case f.Kind == Bar:
			add(f.ID, f.At, 0)
		case f.Axis == "y":
			add(f.ID, f.At.Add(geom.Vec{X: (f.LongMM + c.nameMM()) / 2}), 0)
		default:
			add(f.ID, f.At.Add(geom.Vec{Y: f.LongMM/2 + markRoomMM + h/2}), 0)
			if f.ID == "S02" {
				aside = geom.Vec{X: f.At.X - middle.X, Y: -(f.LongMM/2 + markRoomMM + h)}
			}
		}
	}
	add("TOP X→ Y↑", middle.Add(aside), 0)
	add(strings.ToUpper(c.Checksum), middle.Add(geom.Vec{X: -aside.X, Y: aside.Y}), 0)
	return out
}

// mark writes a text about a point.
func (c *Coupon) mark(says string, at geom.Vec, turn float64) plate.Mark {
	strokes, err := stroke.Text(says, c.letterMM())
	if err != nil {
		panic(err) // letters and figures alone
	}
	m := geom.Rigid{Angle: turn}
	m.Shift = at.Sub(m.Apply(stroke.Bounds(strokes).Center()))
	return plate.Mark{Says: says, HeightMM: c.letterMM(), Strokes: stroke.Place(strokes, m)}
}
