package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// axisArm is the length of an axis, mm.
const axisArm = 14.0

// axes draws the directions of u and v and of the machine's X and Y.
func axes(d *jig.Design) *block.Figure {
	inv := d.Frame.ToMachine.Inverse()
	zero := inv.Apply(geom.Vec{})
	x := inv.Apply(geom.Vec{X: 1}).Sub(zero)
	y := inv.Apply(geom.Vec{Y: 1}).Sub(zero)
	g := &block.Figure{}
	const small = block.Small
	type axis struct {
		dir  geom.Vec
		name string
	}
	axes := []axis{{geom.Vec{X: 1}, "u"}, {geom.Vec{Y: 1}, "v"}}
	for _, m := range []axis{{x, "machine X"}, {y, "machine Y"}} {
		merged := false
		for i := range axes {
			if axes[i].dir.Dot(m.dir) > 1-1e-9 { // parallel to rounding: unit vectors
				axes[i].name += " = " + m.name
				merged = true
			}
		}
		if !merged {
			axes = append(axes, m)
		}
	}
	for _, a := range axes {
		tip := a.dir.Scale(axisArm)
		g.Line(picture.PenThin, geom.Vec{}, tip)
		g.Arrow(tip, a.dir)
		switch {
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y) && a.dir.X > 0:
			g.Text(tip.Add(geom.Vec{X: 1, Y: -small / 2}), small, picture.Start, a.name)
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y):
			g.Text(tip.Add(geom.Vec{X: -1, Y: -small / 2}), small, picture.End, a.name)
		default:
			g.Text(tip.Add(geom.Vec{X: 1.5, Y: -small / 2}), small, picture.Start, a.name)
		}
	}
	g.Text(geom.Vec{X: axisArm + 1, Y: -small/2 - small*block.LineGap}, small, picture.Start, "to the far end")
	g.Circle(picture.PenThin, geom.Vec{}, 1)
	return g
}
