package seat_test

import (
	"fmt"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Two 6 mm pins 400 mm apart, one in a round hole, one in a slot, and on them a
// template with a window for a tapered board, 0.1 mm larger on every side.
func ExampleSeries() {
	pins, err := seat.PinPair{
		Round: geom.Vec{X: 0}, Slot: geom.Vec{X: 400},
		RoundClearance: 0.03, SlotClearance: 0.05,
	}.Seat()
	if err != nil {
		fmt.Println(err)
		return
	}
	board := geom.Taper(478, 41.5, 55)
	nest := seat.Nest{Window: board.Offset(0.1).Corners(), Board: board.Corners()}
	free, err := nest.Seat()
	if err != nil {
		fmt.Println(err)
		return
	}
	nest.Push = []seat.Wall{nest.WallToward(geom.Vec{Y: 1}), nest.WallToward(geom.Vec{X: -1})}
	pushed, err := nest.Seat()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, seats := range [][]seat.Seat{{pins}, {pins, free}, {pins, pushed}} {
		f, err := seat.Series([]geom.Vec{{X: 200}}, seats...)
		if err != nil {
			fmt.Println(err)
			return
		}
		m := f.At[0]
		fmt.Printf("theta %.4e rad, along %.4f, across %.4f, worst %.4f mm\n", f.ThetaMax, m.Along, m.Across, m.Worst)
	}
	// Output:
	// theta 1.0000e-04 rad, along 0.0150, across 0.0200, worst 0.0208 mm
	// theta 5.2359e-04 rad, along 0.1150, across 0.1214, worst 0.1631 mm
	// theta 1.0000e-04 rad, along 0.0150, across 0.0200, worst 0.0208 mm
}
