package gcode_test

import (
	"fmt"
	"os"

	"reseat/export/gcode"
	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// A pin hole of 5.8 mm, to be reamed later, milled 2 mm deep with a 4 mm cutter.
func ExampleWrite() {
	r := toolpath.Router{Tool: toolpath.Tool{Name: "end mill", DiameterMM: 4}}.Filled()
	c, err := r.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: 30, Y: 40}, DiameterMM: 5.8, DepthMM: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := r.Program(toolpath.Head{File: "bores.nc", Title: "Fingerboard",
		Says: []string{"zero: datum corner, top of the bed"}}, []*toolpath.Cut{c})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := gcode.Write(os.Stdout, p, gcode.Plain); err != nil {
		fmt.Println(err)
	}
	// Output:
	// ; bores.nc
	// ; Fingerboard
	// ; all lengths in mm, feeds in mm/min, dialect plain
	// ; tool: end mill, 4 mm, spindle 10000 rpm
	// ; travels X 0.000 to 30.900, Y 0.000 to 40.900, Z -1.000 to 5.000, including the return
	// ; move
	// ; Z0 is the face that is cut, sideways rapids at Z5.000, deepest 1.000 below it
	// ; time 0 min 18 s without acceleration, rapids taken at 2000 mm/min
	// ; zero: datum corner, top of the bed
	// ; CAUTION: zero is G54 as the operator set it, nothing here changes it
	// ; CAUTION: the first move goes straight to Z5.000 from wherever the tool stands
	// ; CAUTION: dry run first: spindle off, Z zero raised above the deepest cut
	// G21
	// G90
	// G17
	// G94
	// G54
	// G0 Z5.000
	// M3 S10000
	// ; P1: bore 5.800 to Z-1.000, 7 passes, at most 0.400 deep
	// G0 X30.000 Y40.000
	// G0 Z1.000
	// G1 X30.000 Y39.200 F600
	// G3 X30.000 Y39.200 Z0.600 I0.000 J0.800 F171
	// G3 X30.000 Y39.200 Z0.200 I0.000 J0.800
	// G3 X30.000 Y39.200 Z-0.200 I0.000 J0.800
	// G3 X30.000 Y39.200 Z-0.600 I0.000 J0.800
	// G3 X30.000 Y39.200 Z-1.000 I0.000 J0.800
	// G3 X30.000 Y39.200 I0.000 J0.800
	// G1 X30.000 Y40.000 F600
	// G3 X30.000 Y39.100 I0.000 J-0.450 F110
	// G3 X30.000 Y39.100 I0.000 J0.900 F186
	// G3 X30.000 Y40.000 I0.000 J0.450 F110
	// G0 Z5.000
	// M5
	// G0 X0.000 Y0.000
	// M2
}
