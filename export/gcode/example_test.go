package gcode_test

import (
	"fmt"
	"os"
	"strings"

	"reseat/export/gcode"
	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// A pin hole of 5.8 mm, to be reamed later, milled 2 mm deep with a 4 mm cutter.
func ExampleWrite() {
	tool := toolpath.Tool{Name: "end mill", DiameterMM: 4}
	s := toolpath.Settings{NoFinish: true}
	c, err := toolpath.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: 30, Y: 40}, DiameterMM: 5.8, FloorZ: -2}, tool, s)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := toolpath.Assemble(toolpath.Head{File: "bores.nc", Title: "Fingerboard", Says: []string{"zero: datum corner, top of the bed"}}, tool, s, []*toolpath.Cut{c})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := gcode.Write(os.Stdout, p, gcode.Options{}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// ; bores.nc
	// ; Fingerboard
	// ; all lengths in mm, feeds in mm/min, dialect plain
	// ; tool: end mill, 4 mm, spindle 10000 rpm
	// ; reaches X 0.000 to 30.900, Y 0.000 to 40.900, Z -2.000 to 5.000, way home included
	// ; top of the stock Z0.000, sideways rapids at Z5.000, deepest 2.000 below the top
	// ; takes 0 min 18 s and more: starts and stops are not counted
	// ; zero: datum corner, top of the bed
	// ; CAUTION: zero is G54 as the operator set it, nothing here changes it
	// ; CAUTION: the first move goes straight to Z5.000 from wherever the tool stands
	// ; CAUTION: run it in the air first, spindle off, Z zero raised above the deepest cut
	// G21
	// G90
	// G17
	// G94
	// G54
	// G0 Z5.000
	// M3 S10000
	// ; P1: bore 5.800 to Z-2.000, 8 turns, at most 0.429 deep
	// G0 X30.000 Y40.000
	// G0 Z1.000
	// G1 X30.000 Y39.100 F600
	// G3 X30.000 Y39.100 Z0.571 I0.000 J0.900 F186
	// G3 X30.000 Y39.100 Z0.143 I0.000 J0.900
	// G3 X30.000 Y39.100 Z-0.286 I0.000 J0.900
	// G3 X30.000 Y39.100 Z-0.714 I0.000 J0.900
	// G3 X30.000 Y39.100 Z-1.143 I0.000 J0.900
	// G3 X30.000 Y39.100 Z-1.571 I0.000 J0.900
	// G3 X30.000 Y39.100 Z-2.000 I0.000 J0.900
	// G3 X30.000 Y39.100 I0.000 J0.900
	// G1 X30.000 Y40.000 F600
	// G0 Z5.000
	// G0 Z5.000
	// M5
	// G0 X0.000 Y0.000
	// M2
}

func ExampleRead() {
	_, _, err := gcode.Read(strings.NewReader("G21\nG91\n"))
	fmt.Println(err)
	// Output: gcode: line 2: got "G91", want G90
}
