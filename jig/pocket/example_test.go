package pocket_test

import (
	"fmt"

	"reseat/jig/pocket"
)

// A dot beside the datum line of a crowned board, its inlays measured.
func ExampleNewPlan() {
	p, err := pocket.NewPlan(pocket.Spec{
		Board: pocket.Board{LengthMM: 480, WidthStartMM: 42, WidthEndMM: 56, ThicknessMM: 6, CrownRadiusMM: 300},
		Features: []pocket.Feature{{
			Name: "dot 12", UMM: 300, VMM: 11,
			InlaysMM: []float64{6.02, 5.99, 6.00}, InlayThicknessMM: 1.3, ProudMM: 0.3,
		}},
		CutterMM: 3, GlueGapMM: 0.04, UndersizeMM: 0.15, StepMM: 0.1, OpaqueMM: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, c := range p.Pockets[0].Cuts {
		fmt.Printf("%d: %.3f mm, helix %.3f mm\n", i+1, c.BoreMM, c.HelixMM)
	}
	fmt.Printf("depth %.3f mm under the datum line\n", p.Pockets[0].Seat.DepthMM)
	for _, f := range p.Findings {
		fmt.Println(f.Rule+",", f.Says)
	}
	// Output:
	// 1: 5.910 mm, helix 1.455 mm
	// 2: 6.010 mm, helix 1.505 mm
	// 3: 6.060 mm, helix 1.530 mm
	// depth 1.106 mm under the datum line
	// opaque, dot 12: 0.778 mm of inlay is left at its thinnest place, 14.030 mm from the datum line. Under 1 mm the floor may show
}
