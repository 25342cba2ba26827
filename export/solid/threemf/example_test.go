package threemf_test

import (
	"bytes"
	"fmt"

	"reseat/export/solid"
	"reseat/export/solid/threemf"
	"reseat/jig"
	"reseat/jig/geom"
)

func ExampleWrite() {
	s, err := solid.Build(&jig.Print{
		File:        "template.stl",
		Outline:     geom.Rect(geom.Box{Max: geom.Vec{X: 40, Y: 30}}),
		Holes:       []jig.PrintHole{{ID: "P1", Center: geom.Vec{X: 10, Y: 15}, Diameter: 6.1}},
		ThicknessMM: 5,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	var a, b bytes.Buffer
	parts := []threemf.Part{{Name: "template", Mesh: s.Mesh}}
	if err := threemf.Write(&a, parts, "Trial plate"); err != nil {
		fmt.Println(err)
		return
	}
	if err := threemf.Write(&b, parts, "Trial plate"); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("same bytes:", bytes.Equal(a.Bytes(), b.Bytes()))
	// Output: same bytes: true
}
