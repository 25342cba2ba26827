package holddown_test

import (
	"fmt"

	"reseat/jig/holddown"
)

// A narrow board on tape, bored with a two-tooth up-cut spiral.
func ExampleCheck() {
	r := holddown.Check(holddown.Spec{
		Wood: holddown.Hardwood, DepthMM: 0.8, FeedMMmin: 1800, RPM: 18000, Teeth: 2,
		Parts: []holddown.Part{{Name: "board", AreaMM2: 12000}},
	})
	fmt.Printf("sideways %.2f N (%s)\n", r.SidewaysN, r.Specific.Mark)
	fmt.Printf("%s: %.0f of %.0f mm2\n", r.Parts[0].Level, r.Parts[0].AvailableMM2, r.NeedLastingMM2)
	// Output:
	// sideways 15.74 N (web)
	// pass: 9600 of 8483 mm2
}
