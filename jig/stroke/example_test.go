package stroke_test

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// The start end's mark, centred on the point (40, 12) of a plate and read from
// the plate's right side.
func ExampleText() {
	mark, width, err := stroke.Text("Start ↑", 5)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d strokes, %.1f mm wide, %.1f mm to cut\n", len(mark), width, stroke.Length(mark))

	centred := stroke.Place(mark, geom.Rigid{Shift: geom.Vec{X: -width / 2, Y: -2.5}})
	b := stroke.Bounds(stroke.Place(centred, geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: 40, Y: 12}}))
	fmt.Printf("on the plate from %.1f, %.1f to %.1f, %.1f\n", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)

	_, _, err = stroke.Text("Größe 5", 5)
	fmt.Println(err)
	// Output:
	// 12 strokes, 29.0 mm wide, 63.4 mm to cut
	// on the plate from 37.5, -1.6 to 42.5, 25.7
	// stroke: no letter for 'ö' (character 3), 'ß' (character 4); there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓
}
