package dxf_test

import (
	"bytes"
	"fmt"
	"strings"

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
	if err := dxf.Write(&file, sheet, dxf.R2000); err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range strings.Split(file.String(), "\n")[:10] {
		fmt.Println(line)
	}
	// Output:
	// 999
	// made by reseat: washer.dxf
	// 999
	// units: mm, one drawing unit is one millimetre
	// 999
	// overall size of what is cut: 20.200 mm along X, 20.200 mm along Y
	// 999
	// 1 hole 6, as drawn
	// 999
	// kerf 0.200 mm applied: holes drawn smaller, outlines larger; do not compensate again
}
