package sheet

import (
	"reseat/export/picture"
	"reseat/jig/geom"
)

// cuttingPlane draws both ends of section A-A, seen towards the far end.
func (f *figure) cuttingPlane(u float64, all geom.Box) {
	for _, e := range cutEnds(u, all) {
		f.Line(picture.PenOutline, e.from, e.to)
		tip := e.to.Add(geom.Vec{X: cutArrow})
		f.Line(picture.PenThin, e.to, tip)
		f.arrow(tip, geom.Vec{X: 1})
	}
}

// cutLetters names the cutting plane, where no projection line passes.
func (f *figure) cutLetters(u float64, all geom.Box) {
	for _, e := range cutEnds(u, all) {
		best, level := geom.Vec{}, forbidden+1
		for _, dx := range []float64{-1.2 - picture.TextWidth("A", middle), cutArrow + 1.2, 1.2} {
			at := e.to.Add(geom.Vec{X: dx, Y: -middle / 2})
			if dx == 1.2 {
				at.Y = e.to.Y + picture.Descent*middle + 0.3
			}
			if got := hit(f.Items, picture.Text{At: at, Height: middle, S: "A"}.Ink()); got < level {
				best, level = at, got
			}
		}
		f.Text(best, middle, picture.Start, "A")
	}
}

// cutEnd is the wide stroke at one end of a cutting plane, drawn outwards.
type cutEnd struct{ from, to geom.Vec }

func cutEnds(u float64, all geom.Box) [2]cutEnd {
	return [2]cutEnd{
		{geom.Vec{X: u, Y: all.Max.Y + 1}, geom.Vec{X: u, Y: all.Max.Y + 1 + cutStroke}},
		{geom.Vec{X: u, Y: all.Min.Y - 1}, geom.Vec{X: u, Y: all.Min.Y - 1 - cutStroke}},
	}
}
