package solid

import (
	"bytes"
	"fmt"

	"reseat/jig"
	"reseat/jig/geom"
)

func ExampleBuild() {
	p := &jig.Print{
		File:        "template.stl",
		Outline:     geom.Rect(geom.Box{Max: geom.Vec{X: 40, Y: 30}}),
		Holes:       []jig.PrintHole{{ID: "p1", Center: geom.Vec{X: 10, Y: 15}, Diameter: 6.1}},
		ThicknessMM: 5,
	}
	s, err := Build(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	if err := WriteSTL(&file, s.Mesh, p.File); err != nil {
		fmt.Println(err)
		return
	}
	h := s.Holes[0]
	fmt.Printf("%d bytes; a %.2f mm pin passes %s: %v\n", file.Len(), h.DrawnMM, h.ID, h.FreeMM >= 6.1)
	// Output: 12884 bytes; a 6.10 mm pin passes p1: true
}
