package view_test

import (
	"bytes"
	"fmt"
	"strings"

	"reseat/export/solid"
	"reseat/export/solid/view"
	"reseat/jig"
	"reseat/jig/geom"
)

// Two halves of a split plate, drawn 12 mm apart.
func ExampleWriteParts() {
	half := &jig.Print{
		File:        "template-1.stl",
		Outline:     geom.Rect(geom.Box{Max: geom.Vec{X: 120, Y: 60}}),
		Holes:       []jig.PrintHole{{ID: "P1", Center: geom.Vec{X: 20, Y: 15}, Diameter: 6.1}},
		ThicknessMM: 8,
	}
	s, err := solid.Build(half)
	if err != nil {
		fmt.Println(err)
		return
	}
	var picture bytes.Buffer
	err = view.WriteParts(&picture, []view.PlacedMesh{
		{Mesh: s.Mesh},
		{Mesh: s.Mesh, OffsetMM: [3]float64{120 + 12, 0, 0}},
	}, view.Options{WidthMM: 160, Caption: "template in two parts, each " + view.SizeCaption(s.Mesh)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Split(picture.String(), "\n")[1])
	// Output: <svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="160mm" height="77mm" viewBox="0 0 160 77">
}
