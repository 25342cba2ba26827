package measure_test

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/measure"
)

// A hole touched at four places with a probe of 2 mm.
func ExampleZeroCircle() {
	z, err := measure.ZeroCircle([]geom.Vec{{X: 102.01, Y: 50}, {X: 100, Y: 52}, {X: 98, Y: 50.01}, {X: 100.01, Y: 48}},
		measure.RimSpec{ProbeRadiusMM: 1, DiameterMM: 6, Precision: measure.Precision{ErrorMM: 0.02}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("X%.3f +-%.3f Y%.3f +-%.3f, %.2f mm wide\n", z.Center.X, z.Uncertainty.Half.X, z.Center.Y, z.Uncertainty.Half.Y, z.DiameterMM)
	// Output:
	// X100.005 +-0.014 Y50.000 +-0.014, 6.01 mm wide
}

// A tapered board along the machine's Y axis, touched at four places from a file.
func ExampleZeroEdges() {
	touches, err := measure.ReadZero("zero.csv", []byte(`kind,x_mm,y_mm
left,96.31,100
right,143.55,100
start,120,57.9
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	z, err := measure.ZeroEdges(touches, measure.EdgeZeroSpec{
		LengthMM: 480, WidthStartMM: 42, WidthEndMM: 56, ProbeRadiusMM: 2,
		ToMachine:     geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: 120, Y: 60}},
		AngleErrorRad: 0.0002, Precision: measure.Precision{ErrorMM: 0.03},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("X%.2f +-%.3f Y%.2f, %.2f mm wider than drawn\n", z.Start.X, z.Uncertainty.AcrossHalfMM, z.Start.Y, z.WidthOffMM)
	for _, n := range z.Notes {
		fmt.Println(n.Says)
	}
	// Output:
	// X119.93 +-0.023 Y59.90, 0.07 mm wider than drawn
	// no long edge was touched at two places 10 mm apart: the board is taken to lie as straight as drawn
}

// Z over paper, beside the datum line of a crowned board, under a cutter of 6 mm.
func ExampleZeroZ() {
	z, err := measure.ZeroZ([]measure.ZeroTouch{{Kind: measure.TouchTop, At: geom.Vec{X: 200, Y: 12}, ZMM: -20, FeelerMM: 0.1}},
		measure.TopSpec{CrownRadiusMM: 300, FlatMM: 6, FeelerErrorMM: 0.01, AcrossErrorMM: 0.2, Precision: measure.Precision{ErrorMM: 0.02}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the datum line is at Z%.3f +-%.3f, %.3f mm above the touch\n", z.ZMM, z.Uncertainty.HalfMM, z.Touches[0].RiseMM)
	// Output:
	// the datum line is at Z-19.965 +-0.023, 0.135 mm above the touch
}
