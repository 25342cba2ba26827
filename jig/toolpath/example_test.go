package toolpath_test

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

func ExampleBore() {
	tool := toolpath.Tool{DiameterMM: 3.175}
	c, err := toolpath.Bore(toolpath.Hole{ID: "P1", DiameterMM: 6.1, FloorZ: -12}, tool, toolpath.Settings{})
	fmt.Println(c.Says, err)
	_, err = toolpath.Bore(toolpath.Hole{ID: "P1", DiameterMM: 3, FloorZ: -12}, tool, toolpath.Settings{})
	fmt.Println(err)
	// Output:
	// P1: bore 6.100 to Z-12.000, 23 turns, at most 0.619 deep <nil>
	// toolpath: P1: tool of 3.175 mm for a width of 3 mm: the tool must be smaller; take a smaller one, or drill the hole
}

func ExampleSlotHole() {
	c, err := toolpath.SlotHole(toolpath.Slot{ID: "P2", WidthMM: 6.1, TravelMM: 1, FloorZ: -12}, toolpath.Tool{DiameterMM: 3.175}, toolpath.Settings{})
	fmt.Println(c.Says, err)
	// Output:
	// P2: slot 6.100 wide, travel 1.000, to Z-12.000, 23 turns, at most 0.619 deep <nil>
}

func ExampleDrill() {
	c, err := toolpath.Drill(toolpath.Hole{ID: "P1", DiameterMM: 5.8, FloorZ: -12}, toolpath.Tool{DiameterMM: 5.8}, toolpath.Settings{})
	fmt.Println(c.Says, err)
	// Output:
	// P1: drill 5.800, full diameter to Z-12.000, point to Z-13.742, 5 pecks of 2.748 <nil>
}

// A board that lies turned by 0.4 mrad and shifted: its program, how long it
// runs, and whether a pin of 6 mm that stands 3 mm proud is in the way.
func ExampleProgram_Transform() {
	tool, s := toolpath.Tool{DiameterMM: 3.175}, toolpath.Settings{SafeMM: 2}
	c, _ := toolpath.Bore(toolpath.Hole{ID: "dot 5", At: geom.Vec{X: 150}, DiameterMM: 6, FloorZ: -2}, tool, s)
	p, err := toolpath.Assemble(toolpath.Head{File: "pockets.nc"}, tool, s, []*toolpath.Cut{c})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err = p.Transform(geom.Rigid{Angle: 0.0004, Shift: geom.Vec{X: 0.1, Y: -0.2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	sum, err := p.DryRun(0)
	fmt.Printf("X to %.2f, deepest %.1f, %d turns of %.2f, %.0f s, %v\n", sum.Max.X, sum.DeepestMM, sum.Turns, sum.PerTurnMM, math.Ceil(sum.TimeS()), err)
	from, moves := p.Path()
	hits, err := toolpath.Clear(from, moves, tool, []toolpath.Obstacle{{ID: "pin P4", At: geom.Vec{X: 60, Y: 4}, RadiusMM: 3, TopZ: 3}})
	fmt.Println(hits, err)
	// Output:
	// X to 151.51, deepest 2.0, 7 turns of 0.60, 24 s, <nil>
	// [move 0: the cutter meets pin P4 at X57.853 Y-0.054 Z2.000] <nil>
}
