package rail_test

import (
	"fmt"

	"reseat/jig/rail"
)

// A fingerboard on a neck, PVA, between printed rails 4.5 mm high.
func ExampleGlue() {
	g, err := rail.Glue(rail.GlueSpec{
		AreaMM2: 478 * (41.5 + 55) / 2, EdgeMM: 956.2,
		Glue: "pva", Wood: rail.HardnessOf("pear", "sapele"), RailHeightMM: 4.5, RailLengthMM: 478,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("spread %v, %v in all; %v runs out\n", g.Spread, g.Mass, g.SqueezeOut)
	fmt.Printf("chamfer %.1f mm along both long sides (%s)\n", g.Chamfer.Most, g.Chamfer.Mark)
	fmt.Printf("press with %v: %v clamps of %v\n", g.Pressure, g.Clamps, g.ClampForce)
	fmt.Printf("a rail bears up to %.0f N and gives way %.4f mm\n", g.SideLoad.Most, g.Deflection.Most)
	fmt.Printf("close within %v\n", g.OpenTime)
	// Output:
	// spread 149 to 224 g/m2, 3.45 to 5.17 g in all; 1.25 to 1.88 ml runs out
	// chamfer 2.0 mm along both long sides (practice)
	// press with 0.689 to 2.07 MPa: 8 to 24 clamps of 2000 N
	// a rail bears up to 1665 N and gives way 0.0093 mm
	// close within 5 to 30 min
}
