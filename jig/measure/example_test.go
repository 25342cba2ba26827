package measure_test

import (
	"fmt"

	"reseat/jig/geom"
	"reseat/jig/measure"
)

// Four edge points of a board whose far end lies to the left.
func ExampleCheckDatum() {
	readings, err := measure.ReadReadings("touched.csv", []byte(`on,x_mm,y_mm
left,-20.99,10
left,-27.57,460
right,20.84,10
right,26.92,460
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := measure.CheckDatum(readings, measure.DatumSpec{
		LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ToleranceMM: 0.1,
		ToMachine: geom.Rigid{Angle: 1.5707963267948966}, // long axis y
		Precision: measure.Precision{ErrorMM: 0.03},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Says)
	// Output:
	// tap the far end 0.27 mm towards +X (to its right, looking from the start end) and keep the start end where it is; or the start end 0.27 mm towards -X
}

// Three dots of a board that was put back a little askew, measured with the
// machine's own axes.
func ExampleLocate() {
	readings, err := measure.ReadMarks("dots.csv", []byte(`name,x_mm,y_mm
dot 3,0.12,87.21
dot 9,-0.28,277.22
dot 15,-0.47,382.19
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	where, err := measure.Locate(readings, measure.LocateSpec{
		Marks: []measure.Mark{{Name: "dot 3", At: geom.Vec{Y: 87}}, {Name: "dot 9", At: geom.Vec{Y: 277}}, {Name: "dot 15", At: geom.Vec{Y: 382}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("turned by %.2e rad, give or take %.1e\n", where.AngleRad, where.Uncertainty.AngleHalfRad)
	fmt.Printf("datum start at X %.2f Y %.2f, give or take %.2f mm\n", where.Start.Lies.X, where.Start.Lies.Y, where.Start.Half.X)
	// Output:
	// turned by 2.01e-03 rad, give or take 2.3e-04
	// datum start at X 0.29 Y 0.21, give or take 0.06 mm
}
