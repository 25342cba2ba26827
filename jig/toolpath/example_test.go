package toolpath_test

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// A pin hole and a slot in one program, how long it runs, and whether a pin of 6 mm that
// stands 6 mm proud is in the way.
func ExampleRouter_Program() {
	r := toolpath.Router{Tool: toolpath.Tool{Name: "end mill", DiameterMM: 3.175}}.Filled()
	hole, _ := r.Bore(toolpath.Hole{ID: "P1", DiameterMM: 6.1, DepthMM: 12})
	slot, _ := r.Slot(toolpath.Slot{ID: "P2", At: geom.Vec{X: 150}, WidthMM: 6.1, TravelMM: 1, DepthMM: 12})
	p, err := r.Program(toolpath.Head{File: "bores.nc"}, []*toolpath.Cut{slot, hole})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range p.Cuts {
		fmt.Println(c.Says)
	}
	fmt.Printf("X to %.2f, deepest %.1f, %.0f s\n", p.Run.Max.X, p.Run.DeepestMM(), math.Ceil(p.Run.TimeS))
	fmt.Println(p.Collisions([]toolpath.Obstacle{{ID: "pin P4", Outline: geom.Slot(geom.Vec{X: 60, Y: 4}, 0, 0, 6),
		TopZ: 6}}))
	// Output:
	// P1: bore 6.100 to Z-12.000, 23 passes, at most 0.619 deep
	// P2: slot 6.100 wide, travel 1.000 to Z-12.000, 23 passes, at most 0.619 deep
	// X to 151.96, deepest 12.0, 104 s
	// [the cutter meets pin P4 with the tip at X57.754 Y0.000 Z5.000]
}

func ExampleRouter_Drill() {
	r := toolpath.Router{Tool: toolpath.Tool{DiameterMM: 5.8}}.Filled()
	c, err := r.Drill(toolpath.Hole{ID: "P1", DiameterMM: 5.8, DepthMM: 12})
	fmt.Println(c.Says, err)
	// Output:
	// P1: drill 5.800, full diameter to Z-12.000, point to Z-13.742, 5 pecks of 2.748 <nil>
}
