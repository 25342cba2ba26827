package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// barMM is the length of the check bars, mm.
const barMM = 100.0

// quarter is a quarter turn, radians: text that reads from the right.
const quarter = math.Pi / 2

// checkBars draws one bar across and one down, with the words how to measure
// them. Printers scale each direction by itself, so one bar is not enough.
func checkBars() *block.Figure {
	f := &block.Figure{}
	const tick, minor = 4.0, 2.0
	f.Heading(geom.Vec{Y: 0}, block.Middle, "Print check")
	// Corner of the two bars.
	c := geom.Vec{X: tick, Y: -barMM - 6}
	for k := 0; k <= 10; k++ {
		t := minor
		if k == 0 || k == 10 {
			t = tick
		}
		p := float64(k) * barMM / 10
		f.Line(picture.PenThin, c.Add(geom.Vec{X: p}), c.Add(geom.Vec{X: p, Y: -t}))
		f.Line(picture.PenThin, c.Add(geom.Vec{Y: p}), c.Add(geom.Vec{X: -t, Y: p}))
	}
	f.Line(picture.PenThin, c, c.Add(geom.Vec{X: barMM}))
	f.Line(picture.PenThin, c, c.Add(geom.Vec{Y: barMM}))
	f.Text(c.Add(geom.Vec{X: barMM / 2, Y: 1.6}), block.Middle, picture.Middle, "100 mm across")
	f.Add(picture.Text{
		At: c.Add(geom.Vec{X: 4.6, Y: barMM / 2}), Height: block.Middle, Anchor: picture.Middle, Angle: quarter, S: "100 mm down",
	})
	y := c.Y + barMM - 6
	for _, s := range []string{
		"Print at 100 % (actual size), never 'fit to page'.",
		"Measure each bar with a steel rule or calipers, from the left edge of its first end line " +
			"to the left edge of its last end line (lower edge to lower edge on the bar that runs down).",
		"Both must read 100.0, +-0.2 mm. If one does not, the view is not to size; the dimensions on it still hold.",
	} {
		for _, l := range picture.Wrap(s, block.Small, barMM-14) {
			f.Text(geom.Vec{X: c.X + 9, Y: y}, block.Small, picture.Start, l)
			y -= block.RowHigh * 0.85
		}
		y -= 2
	}
	return f
}
