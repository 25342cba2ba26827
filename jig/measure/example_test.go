package measure_test

import (
	"fmt"

	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/reading"
)

// Four edge points of a board whose far end lies to the left.
func ExampleCheckDatum() {
	readings, err := reading.Datum("touched.csv", []byte(`on,x_mm,y_mm
left,-20.99,10
left,-27.57,460
right,20.84,10
right,26.92,460
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := measure.CheckDatum(readings, measure.Spec{
		LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ToleranceMM: 0.1,
		ToMachine: geom.Rigid{Angle: 1.5707963267948966}, // long axis y
		Precision: measure.Precision{ErrorMM: 0.03},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, the far end %.2f +-%.2f mm: tap it towards %s\n", report.Verdict, report.RunoutMM,
		*report.RunoutHalf, report.Far.Direction)
	// Output:
	// out of tolerance, the far end 0.27 +-0.03 mm: tap it towards +X
}

// Three dots of a board that was put back a little askew, measured with the
// machine's own axes.
func ExampleLocate() {
	readings, err := reading.Marks("dots.csv", []byte(`name,x_mm,y_mm
dot 3,0.12,87.21
dot 9,-0.28,277.22
dot 15,-0.47,382.19
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	where, err := measure.Locate(readings, measure.Spec{
		Marks: []measure.Mark{{Name: "dot 3", At: geom.Vec{Y: 87}}, {Name: "dot 9", At: geom.Vec{Y: 277}}, {Name: "dot 15",
			At: geom.Vec{Y: 382}}},
		At: []geom.Vec{{}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	start := where.Places[0]
	fmt.Printf("turned by %.2e +-%.1e rad\n", where.AngleRad, *where.AngleHalf)
	fmt.Printf("datum start at X %.2f Y %.2f +-%.2f mm\n", start.Lies.X, start.Lies.Y, start.Half.X)
	// Output:
	// turned by 2.01e-03 +-2.3e-04 rad
	// datum start at X 0.29 Y 0.21 +-0.06 mm
}

// A hole, an edge and the crowned top, touched with a probe of 2 mm and a cutter of 6 mm.
func ExampleZeroRim() {
	touches, err := reading.Touches("zero.csv", []byte(`kind,x_mm,y_mm,z_mm,feeler_mm
rim,102.01,50,,
rim,100,52,,
rim,98,50.01,,
rim,100.01,48,,
left,96.31,100,,
right,143.55,100,,
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	spec := measure.Spec{
		LengthMM: 480, WidthStartMM: 42, WidthEndMM: 56, CrownRadiusMM: 300, ProbeRadiusMM: 1, DiameterMM: 6, FlatMM: 6,
		ToMachine: geom.Rigid{Angle: 1.5707963267948966, Shift: geom.Vec{X: 120, Y: 60}},
		Precision: measure.Precision{ErrorMM: 0.02},
	}
	hole, _ := measure.ZeroRim(touches, spec)
	edges, _ := measure.ZeroEdges(touches, spec)
	fmt.Printf("hole at X%.3f Y%.3f +-%.3f, %.2f mm wide\n", hole.XMM, hole.YMM, *hole.WorstHalf, hole.DiameterMM)
	fmt.Printf("datum line at X%.2f +-%.3f\n", *edges.XMM, *edges.XHalf)
	// Output:
	// hole at X100.005 Y50.000 +-0.014, 6.01 mm wide
	// datum line at X119.93 +-0.014
}
