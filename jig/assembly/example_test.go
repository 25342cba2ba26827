package assembly_test

import (
	"fmt"

	"reseat/jig/assembly"
	"reseat/jig/geom"
)

// Six 6 mm pins round a board. Both plates were bored on a router that repeats
// a move to 0.03 mm (95 %), so pin and hole differ in place by 0.022 mm (one
// standard deviation) along each axis.
func ExampleSimulate() {
	var joints []assembly.Joint
	for _, u := range []float64{-15, 240, 490} {
		for _, v := range []float64{-45, 45} {
			joints = append(joints, assembly.Joint{
				At: geom.Vec{X: u, Y: v}, ClearMM: 0.08, ClearSDMM: 0.01, PositionSDMM: 0.022,
			})
		}
	}
	r, err := assembly.Simulate(assembly.Spec{Joints: joints, Seed: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("every pin enters in %.0f %% of assemblies\n", 100*r.Odds)
	fmt.Printf("for 99 %%, make every hole %.2f mm larger\n", r.ExtraFor99MM)
	// Output:
	// every pin enters in 76 % of assemblies
	// for 99 %, make every hole 0.03 mm larger
}
