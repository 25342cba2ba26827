package budget_test

import (
	"fmt"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// A board in a window 0.1 mm larger on every side, cut by a machine that repeats
// to 0.03 mm, in wood that has grown across by one part in a thousand.
func ExampleCompute() {
	board := geom.Taper(478, 41.5, 55)
	window, err := seat.Nest{Window: board.Offset(0.1).Corners(), Board: board.Corners()}.Seat()
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := budget.Compute(budget.Spec{
		Sources: []budget.Source{
			{
				Name: "window clearance", Play: window,
				Remedy: "Push the board to two stops.",
			},
			{
				Name: "machine", OwnHalf: 0.03,
				Vars: []budget.Var{
					{Field: budget.Shift(geom.Vec{X: 1}), Half: 0.03},
					{Field: budget.Shift(geom.Vec{Y: 1}), Half: 0.03},
				},
				Remedy: "Find zero with an edge finder.",
			},
			{
				Name:   "moisture",
				Vars:   []budget.Var{{Field: budget.Strain(0, 1e-3, geom.Vec{}), Half: 1, Law: budget.Fixed}},
				Remedy: "Let the board lie in the shop for a week.",
			},
		},
		Features: []budget.Feature{
			{Name: "dot 3", At: geom.Vec{X: 88}},
			{Name: "dot 12", At: geom.Vec{X: 320, Y: 11}},
		},
		Seed: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range b.Features {
		fmt.Printf("%s: worst %.3f mm, 95 %% %.2f mm\n", f.Name, f.WorstMM, f.P95MM)
		for _, t := range f.Contributions {
			fmt.Printf("  %-16s worst %.3f, deviation along %.3f, across %.3f mm\n",
				t.Source, t.WorstMM, t.AlongSDMM, t.AcrossSDMM)
		}
	}
	f := b.Features[b.Worst()]
	fmt.Printf("%s: %s makes up %.0f %%. %s\n", f.Name, f.Largest, 100*f.LargestShare, f.Remedy)
	// Output:
	// dot 3: worst 0.227 mm, 95 % 0.13 mm
	//   window clearance worst 0.142, deviation along 0.056, across 0.048 mm
	//   machine          worst 0.085, deviation along 0.022, across 0.022 mm
	//   moisture         worst 0.000, deviation along 0.000, across 0.000 mm
	// dot 12: worst 0.238 mm, 95 % 0.12 mm
	//   window clearance worst 0.142, deviation along 0.056, across 0.043 mm
	//   machine          worst 0.085, deviation along 0.022, across 0.022 mm
	//   moisture         worst 0.011, deviation along 0.000, across 0.000 mm
	// dot 3: window clearance makes up 85 %. Push the board to two stops.
}
