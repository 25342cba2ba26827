package minimax_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
	"reseat/jig/minimax"
)

// Two pins 400 mm apart and a third beside them, the second 0.1 mm too far out: how
// much too small are holes with 0.02 mm of room round each pin?
func ExampleProblem_Solve() {
	plate, err := minimax.NewPlate([]geom.Vec{{}, {X: 400}, {X: 200, Y: 80}})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := minimax.Problem{
		Pins: plate.Pins, Off: []geom.Vec{{}, {X: 0.1}, {X: 0.02}}, Room: []float64{0.02, 0.02, 0.25},
		Reach: 1, Enough: math.Inf(-1), Gap: 1e-9,
	}
	unmoved, _, _, _ := p.Worst(r3.Vec{})
	basis := plate.Balanced()
	best := p.Solve(&basis, minimax.Bounds{Low: -0.02, High: unmoved})
	fmt.Printf("unmoved %.3f mm, moved %.3f mm\n", unmoved, best.High)
	fmt.Printf("without error the plate can move along by %.3f mm\n",
		plate.MostMove(p.Room, geom.Vec{X: 200}, geom.Vec{X: 1}, 1e-9))
	// Output:
	// unmoved 0.080 mm, moved 0.030 mm
	// without error the plate can move along by 0.020 mm
}
