package seat_test

import (
	"fmt"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Two 6 mm pins 400 mm apart, one in a round hole, one in a slot.
func ExamplePinPair_Float() {
	pins := seat.PinPair{
		Round: geom.Vec{X: 0}, Slot: geom.Vec{X: 400},
		RoundClearance: 0.03, SlotClearance: 0.05,
	}
	f, err := pins.Float([]geom.Vec{{X: 200}, {X: 600}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("theta %.4e rad\n", f.ThetaMax)
	for _, m := range f.At {
		fmt.Printf("along %.4f, across %.4f, worst %.4f mm\n", m.Along, m.Across, m.Worst)
	}
	// Output:
	// theta 1.0000e-04 rad
	// along 0.0150, across 0.0200, worst 0.0208 mm
	// along 0.0150, across 0.0450, worst 0.0450 mm
}

// The same pins with both holes round and a third one beside them: the worst move
// at the middle falls from 0.0208 to 0.0200 mm, the rotation stays.
func ExampleRoundSet_Float() {
	set := seat.RoundSet{
		Holes:      []geom.Vec{{X: 0}, {X: 400}, {X: 200, Y: 90}},
		Clearances: []float64{0.03, 0.05, 0.05},
	}
	f, err := set.Float([]geom.Vec{{X: 200}, {X: 600}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("theta %.4e rad\n", f.ThetaMax)
	for _, m := range f.At {
		fmt.Printf("along %.4f, across %.4f, worst %.4f mm\n", m.Along, m.Across, m.Worst)
	}
	// Output:
	// theta 1.0000e-04 rad
	// along 0.0150, across 0.0200, worst 0.0200 mm
	// along 0.0150, across 0.0450, worst 0.0450 mm
}

// A tapered board in a laser-cut window, free and pushed to two stops.
func ExampleNest_Float() {
	board := geom.Taper(478, 41.5, 55)
	nest := seat.Nest{Window: board.Offset(0.1).Corners(), Board: board.Corners()}
	middle := []geom.Vec{{X: 239}}
	free, err := nest.Float(middle)
	if err != nil {
		fmt.Println(err)
		return
	}
	nest.Push = []seat.Wall{nest.WallToward(geom.Vec{Y: 1}), nest.WallToward(geom.Vec{X: -1})}
	pushed, err := nest.Float(middle)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("free: across %.4f mm\n", free.At[0].Across)
	fmt.Printf("pushed: across %.4f mm, resting at (%.4f, %.4f)\n", pushed.At[0].Across, pushed.Rest.DU, pushed.Rest.DV)
	// Output:
	// free: across 0.1014 mm
	// pushed: across 0.0000 mm, resting at (-0.1000, 0.0986)
}
