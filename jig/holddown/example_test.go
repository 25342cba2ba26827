package holddown_test

import (
	"fmt"

	"reseat/jig/holddown"
)

// A narrow board on tape, bored with a two-tooth up-cut spiral.
func ExampleCheck() {
	r, err := holddown.Check(holddown.Spec{
		DepthMM: 0.8, FeedMMmin: 1800, RPM: 18000, Teeth: 2,
		Parts: []holddown.Part{{Name: "board", AreaMM2: 12000}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("sideways", r.Sideways, "-", r.Sideways.Basis)
	fmt.Println(r.Parts[0].Level, r.Parts[0].Says)
	// Output:
	// sideways 3.01 N - common practice, no source
	// warn board: 9600 mm2 of tape holds for a short time only (1210 mm2); for good 11612 mm2: press it down well, cut without a pause, or take turns of 0.66 mm
}
