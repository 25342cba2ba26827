package dxf_test

import (
	"bytes"
	"fmt"

	"reseat/export/dxf"
	"reseat/jig"
	"reseat/jig/geom"
)

// A washer: one hole, one outline, the cutter's kerf taken out already.
func ExampleWrite() {
	sheet := &jig.CutSheet{
		File:   "washer.dxf",
		KerfMM: 0.2,
		Layers: []jig.Layer{
			{Name: "HOLE-ROUND", Colour: 5, Cut: true},
			{Name: "EDGE", Colour: 1, Cut: true},
		},
		Shapes: []jig.Shape{
			{Layer: "HOLE-ROUND", Center: geom.Vec{X: 10.1, Y: 10.1}, R: 3.1 - 0.1},
			{Layer: "EDGE", Center: geom.Vec{X: 10.1, Y: 10.1}, R: 10 + 0.1},
		},
	}
	var file bytes.Buffer
	if err := dxf.Write(&file, sheet); err != nil {
		fmt.Println(err)
		return
	}
	back, err := dxf.Read(&file)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range back.Comments {
		fmt.Println(c)
	}
	for _, s := range back.Shapes {
		fmt.Printf("%s: circle of %.3f mm\n", s.Layer, 2*s.R)
	}
	// Output:
	// made by reseat: washer.dxf
	// units: mm, one drawing unit is one millimetre
	// overall size of what is cut: 20.200 mm along X, 20.200 mm along Y
	// kerf 0.200 mm applied: holes drawn smaller, outlines larger; do not compensate again
	// HOLE-ROUND: circle of 6.000 mm
	// EDGE: circle of 20.200 mm
}

// A stroke that does not close would leave the part in the sheet.
func ExampleSheetError() {
	sheet := &jig.CutSheet{
		File:   "strap.dxf",
		Layers: []jig.Layer{{Name: "EDGE", Colour: 1, Cut: true}},
		Shapes: []jig.Shape{{Layer: "EDGE", Open: true, Loop: geom.FromPoints([]geom.Vec{{X: 0, Y: 0}, {X: 40, Y: 0}})}},
	}
	fmt.Println(dxf.Write(&bytes.Buffer{}, sheet))
	// Output:
	// dxf: strap.dxf: shape 0 on layer "EDGE": an open stroke on a layer that is cut
}
