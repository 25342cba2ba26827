package dxf

import (
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

var plateLayers = []jig.Layer{
	{Name: "HOLE-ROUND", Colour: 5, Cut: true},
	{Name: "HOLE-SLOT", Colour: 6, Cut: true},
	{Name: "WINDOW", Colour: 2, Cut: true},
	{Name: "EDGE", Colour: 1, Cut: true},
	{Name: "GUIDE", Colour: 4},
	{Name: "MARK-ID", Colour: 3},
}

// plate is a nest template as the design makes it: six pin holes, one of them a
// slot, a tapered window with corner reliefs, a rounded edge, a guide and a mark.
// Figures are our own.
func plate(kerf float64) *jig.CutSheet {
	const d = 6.1
	r := (d - kerf) / 2
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	shapes := []jig.Shape{
		{Layer: "HOLE-ROUND", Center: at(60, 15), R: r},
		{Layer: "HOLE-SLOT", Loop: geom.Slot(at(460, 15), math.Atan2(1, 400), 0.5, d-kerf)},
		{Layer: "HOLE-ROUND", Center: at(60, 95), R: r + 0.2},
		{Layer: "HOLE-ROUND", Center: at(460, 95), R: r + 0.2},
		{Layer: "HOLE-ROUND", Center: at(260, 15), R: r + 0.2},
		{Layer: "HOLE-ROUND", Center: at(1.0/3+260, 95), R: r + 0.2},
	}
	board := geom.Rigid{Shift: at(24, 55)}.Loop(geom.Taper(478, 41.5, 55))
	window := geom.Relieve(board.Offset(0.1), 1.6).Offset(0)
	edge := geom.RoundCorners(geom.Rect(geom.Box{Max: at(526+kerf, 110+kerf)}), 4)
	return &jig.CutSheet{
		File: "template.dxf", Size: at(526+kerf, 110+kerf), Origin: at(24, 55), KerfMM: kerf,
		Layers: plateLayers,
		Shapes: append(shapes,
			jig.Shape{Layer: "WINDOW", Loop: window},
			jig.Shape{Layer: "EDGE", Loop: edge},
			jig.Shape{Layer: "GUIDE", Loop: board},
			jig.Shape{Layer: "MARK-ID", Open: true, Loop: geom.FromPoints([]geom.Vec{at(24, 55), at(502, 55)})},
		),
	}
}
