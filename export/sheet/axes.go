package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// axes draws the directions of u and v and of the machine's X and Y, above the
// view's left end.
func (f *figure) axes(d *jig.Design, all geom.Box) {
	const arm = 14.0
	inv := d.Frame.ToMachine.Inverse()
	zero := inv.Apply(geom.Vec{})
	x := inv.Apply(geom.Vec{X: 1}).Sub(zero)
	y := inv.Apply(geom.Vec{Y: 1}).Sub(zero)
	g := &figure{}
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
	axes[0].name += ", to the far end"
	for _, a := range axes {
		tip := a.dir.Scale(arm)
		g.Line(picture.PenThin, geom.Vec{}, tip)
		g.arrow(tip, a.dir)
		switch {
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y) && a.dir.X > 0:
			g.Text(tip.Add(geom.Vec{X: 1, Y: -middle / 2}), middle, picture.Start, a.name)
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y):
			g.Text(tip.Add(geom.Vec{X: -1, Y: -middle / 2}), middle, picture.End, a.name)
		default:
			g.Text(tip.Add(geom.Vec{X: 1.5, Y: -middle / 2}), middle, picture.Start, a.name)
		}
	}
	g.Circle(picture.PenThin, geom.Vec{}, 1)
	ink := f.ink()
	b := g.ink()
	f.place(g, geom.Vec{X: ink.Min.X - b.Min.X, Y: ink.Max.Y + 3 - b.Min.Y})
}
