package trace_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"reseat/export/dxf"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/trace"
)

// TestReadsWhatIsWritten: the plates that the examples write are read back, each contour of its layer with the area,
// the length and the place that it was drawn with. Files hold six decimals.
func TestReadsWhatIsWritten(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "jobs", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	if checks, err := strconv.Atoi(os.Getenv("RAPID_CHECKS")); err != nil || checks <= 100 {
		files = files[:1]
	}
	for _, file := range files {
		j, err := job.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := jig.Build(j)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range d.Sheets {
			for _, as := range dxf.Flavours {
				t.Run(fmt.Sprintf("%s %s %s", filepath.Base(file), s.File, as), func(t *testing.T) {
					sheet(t, &s, as)
				})
			}
		}
	}
}

// sheet reads a written sheet back, layer by layer, those of which one contour holds the others.
func sheet(t *testing.T, s *jig.CutSheet, as dxf.Flavour) {
	var out bytes.Buffer
	if err := dxf.Write(&out, s, as); err != nil {
		t.Fatal(err)
	}
	layers := map[string][]geom.Loop{}
	for _, sh := range s.Shapes {
		if !sh.Open && sh.R == 0 {
			layers[sh.Layer] = append(layers[sh.Layer], sh.Loop)
		}
	}
	for layer, want := range layers {
		if len(want) == 1 {
			readBack(t, out.Bytes(), trace.Want{Layer: layer}, want[0])
		}
	}
}

// readBack holds the outline of a drawing against a contour drawn with its datum line along X.
func readBack(t fataler, file []byte, want trace.Want, l geom.Loop) trace.Board {
	box := l.Bounds()
	want.Datum.Points = []geom.Vec{box.Min, {X: box.Max.X, Y: box.Min.Y}}
	b, err := trace.Outline(file, want)
	if err != nil {
		t.Fatalf("layer %s: %v", want.Layer, err)
	}
	got := b.Outline
	const decimals = 2e-6 // mm, of places in the file
	if math.Abs(got.Area()-math.Abs(l.Area())) > decimals*l.Length() || math.Abs(got.Length()-l.Length()) > decimals*100 {
		t.Fatalf("layer %s: area %.6f, length %.6f, want %.6f, %.6f", want.Layer, got.Area(), got.Length(), l.Area(), l.Length())
	}
	for i := range l {
		if p := l[i].Sub(box.Min); got.Distance(p) > decimals {
			t.Fatalf("layer %s: %v lies %g off the contour", want.Layer, p, got.Distance(p))
		}
	}
	return b
}

type fataler interface {
	Fatalf(format string, args ...any)
}

// TestAnyBoard: any star-shaped contour of lines and arcs, with holes and features, written in any flavour.
func TestAnyBoard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		n := rapid.IntRange(3, 12).Draw(t, "corners")
		mid := geom.Vec{X: f("x", -500, 500), Y: f("y", -500, 500)}
		var l geom.Loop
		for i := range n {
			// Corners and arcs stay in their own sector beyond 20 mm, so that nothing crosses.
			bulge := float64(rapid.IntRange(-50, 250).Draw(t, "bulge")) / 1000
			l = append(l, geom.Vertex{Vec: mid.Add(geom.Polar(f("r", 60, 80), 2*math.Pi*float64(i)/float64(n))), Bulge: bulge})
		}
		if n < 6 { // long chords of few corners pass near the middle
			for i := range l {
				l[i].Bulge = math.Abs(l[i].Bulge)
			}
		}
		if rapid.Bool().Draw(t, "clockwise") {
			l = l.Reverse()
		}
		hole := geom.Slot(mid, f("phi", 0, 3), f("travel", 0.5, 10), 6)
		dots := []geom.Vec{mid.Add(geom.Vec{Y: 12}), mid.Add(geom.Vec{X: 5, Y: -12})}
		s := &jig.CutSheet{
			File: "any.dxf", Layers: []jig.Layer{{Name: "EDGE", Cut: true}, {Name: "DOTS"}},
			Shapes: []jig.Shape{{Layer: "EDGE", Loop: hole}, {Layer: "DOTS", Center: dots[0], R: 2}, {Layer: "DOTS", Center: dots[1], R: 1},
				{Layer: "EDGE", Loop: l}},
		}
		var out bytes.Buffer
		if err := dxf.Write(&out, s, rapid.SampledFrom(dxf.Flavours).Draw(t, "flavour")); err != nil {
			t.Fatal(err)
		}
		b := readBack(t, out.Bytes(), trace.Want{Layer: "EDGE", Features: "DOTS"}, l)
		if len(b.Holes) != 1 || math.Abs(b.Holes[0].Area()+hole.Area()) > 1e-4 {
			t.Fatalf("holes %v, want one of %.3f mm2", b.Holes, hole.Area())
		}
		box := l.Bounds()
		for i, d := range dots {
			if !slices.ContainsFunc(b.Features, func(f trace.Feature) bool {
				return f.At.Dist(d.Sub(box.Min)) < 2e-6 && math.Abs(f.DiameterMM-float64(4-2*i)) < 2e-6
			}) {
				t.Fatalf("no feature at %v in %v", d.Sub(box.Min), b.Features)
			}
		}
	})
}
