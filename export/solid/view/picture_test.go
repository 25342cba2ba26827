package view

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"reseat/export/solid"
	"reseat/jig"
	"reseat/jig/geom"
)

var pictures = flag.String("pictures", "", "directory to write the test pictures to, to be looked at")

func draw(t testing.TB, name string, o Options, parts ...PlacedMesh) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteParts(&b, parts, o); err != nil {
		t.Fatal(err)
	}
	if *pictures != "" {
		if err := os.WriteFile(filepath.Join(*pictures, name+".svg"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return b.Bytes()
}

// referencePrint is the plate of the project's contract ("Figures that must
// hold"), as in the tests of export/solid.
func referencePrint() *jig.Print {
	shift := geom.Rigid{Shift: geom.Vec{X: 260, Y: 55}}
	rail := []geom.Vec{{X: -235, Y: 21.85}, {X: 235, Y: 28.7}, {X: 235, Y: 32.7}, {X: -235, Y: 25.85}}
	var mirrored []geom.Vec
	for i := range rail {
		p := rail[len(rail)-1-i]
		mirrored = append(mirrored, geom.Vec{X: p.X, Y: -p.Y})
	}
	p := &jig.Print{
		File:        "template.stl",
		Outline:     shift.Loop(geom.RoundCorners(geom.Rect(geom.Box{Min: geom.Vec{X: -260, Y: -55}, Max: geom.Vec{X: 260, Y: 55}}), 4)),
		Window:      shift.Loop(geom.Rigid{Shift: geom.Vec{X: -235}}.Loop(geom.Taper(470, 43.5, 57.2))),
		ThicknessMM: 8,
		Rails: []jig.PrintRail{
			{Outline: shift.Loop(geom.FromPoints(rail)), TopMM: 14},
			{Outline: shift.Loop(geom.FromPoints(mirrored)), TopMM: 14},
		},
	}
	for _, u := range []float64{-225, 10, 225} {
		for _, v := range []float64{-44, 44} {
			p.Holes = append(p.Holes, jig.PrintHole{ID: "p", Center: shift.Apply(geom.Vec{X: u, Y: v}), Diameter: 6.1})
		}
	}
	return p
}

func built(t testing.TB, p *jig.Print) *solid.Mesh {
	t.Helper()
	s, err := solid.Build(p)
	if err != nil {
		t.Fatal(err)
	}
	return s.Mesh
}

func TestReferencePicture(t *testing.T) {
	m := built(t, referencePrint())
	svg := draw(t, "reference", Options{Caption: "template.stl: " + SizeCaption(m)}, PlacedMesh{Mesh: m})
	t.Logf("%d facets, %d bytes", len(m.Facets), len(svg))
}
