package foolproof_test

import (
	"fmt"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

// Six pins in a rectangle with one moved by 5 mm: turned end for end, some pin
// misses its hole by how much at least?
func ExampleLeastMiss() {
	pins := []geom.Vec{{X: 5}, {X: 250}, {X: 500}, {X: 0, Y: 80}, {X: 250, Y: 80}, {X: 500, Y: 80}}
	holes := make([]foolproof.HoleAt, len(pins))
	for i, p := range pins {
		holes[i].At = p
	}
	for i, t := range []foolproof.Misplacement{foolproof.HalfTurn, foolproof.FlipLong, foolproof.FlipShort} {
		m, err := foolproof.LeastMiss(pins, holes, t)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.2f mm\n", []string{"half turn", "flip long", "flip short"}[i], m)
	}
	// Output:
	// half turn: 2.50 mm
	// flip long: 4.62 mm
	// flip short: 2.50 mm
}
