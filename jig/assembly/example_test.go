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
	r, err := assembly.Simulate(assembly.Spec{Joints: joints, Trials: 20_000, Seed: 1})
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

// A pair of plates as measured: the second pin stands 0.1 mm too far out.
func ExampleLay() {
	joints := []assembly.Joint{{}, {At: geom.Vec{X: 400}}, {At: geom.Vec{X: 200, Y: 80}}}
	made := []assembly.Made{
		{ClearMM: 0.04},
		{Off: geom.Vec{X: 0.1}, ClearMM: 0.04},
		{Off: geom.Vec{X: 0.02}, ClearMM: 0.5},
	}
	l, err := assembly.Lay(joints, made)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("enters: %v\n", l.Enters())
	fmt.Printf("each hole %.3f mm larger would do; held up by joints %v\n", l.ExtraMM, l.Binding)
	fmt.Printf("best laid at du = %.3f mm\n", l.DU)
	// Output:
	// enters: false
	// each hole 0.060 mm larger would do; held up by joints [0 1]
	// best laid at du = 0.050 mm
}
