package dxf

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

var update = flag.Bool("update", false, "rewrite golden files")

// readBackMM is how far a shape that is read back may lie from what was written:
// twice the rounding of a coordinate, as the package comment promises.
const readBackMM = 1e-6

func render(t testing.TB, s *jig.CutSheet) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, s); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// TestGolden shows every change of the bytes: they are what a cutter keeps.
func TestGolden(t *testing.T) {
	s := &jig.CutSheet{
		File: "tiny.dxf", Size: geom.Vec{X: 40, Y: 20}, KerfMM: 0.2,
		Layers: []jig.Layer{{Name: "HOLE-ROUND", Colour: 5, Cut: true}, {Name: "EDGE", Colour: 1, Cut: true}},
		Shapes: []jig.Shape{
			{Layer: "HOLE-ROUND", Center: geom.Vec{X: 10, Y: 10}, R: 3},
			{Layer: "EDGE", Loop: geom.RoundCorners(geom.Rect(geom.Box{Max: geom.Vec{X: 40, Y: 20}}), 4)},
		},
	}
	got := render(t, s)
	golden := filepath.Join("testdata", "tiny.dxf")
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); d != "" {
		t.Errorf("golden file (-want +got), -update rewrites it:\n%s", d)
	}
}

// TestSameBytes also runs several writers at once: the library keeps its line
// types and standard layer in package variables.
func TestSameBytes(t *testing.T) {
	want := map[float64][]byte{0: render(t, plate(0)), 0.2: render(t, plate(0.2))}
	var wg sync.WaitGroup
	for range 8 {
		for kerf, bytesWant := range want {
			wg.Go(func() {
				var buf bytes.Buffer
				if err := Write(&buf, plate(kerf)); err != nil || !bytes.Equal(buf.Bytes(), bytesWant) {
					t.Errorf("kerf %g: another run gives other bytes (%v)", kerf, err)
				}
			})
		}
	}
	wg.Wait()
}

func TestWords(t *testing.T) {
	for _, tc := range []struct {
		name string
		kerf float64
		want []string
		note string
	}{
		{"true size", 0, []string{"units: mm", "526.000 mm along X, 110.000 mm along Y", "true size: no kerf applied"}, noteTrueSize},
		{"kerf applied", 0.2, []string{"526.200 mm along X", "kerf 0.200 mm applied", "do not compensate again"}, noteKerf},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d, err := Read(bytes.NewReader(render(t, plate(tc.kerf))))
			if err != nil {
				t.Fatal(err)
			}
			all := strings.Join(d.Comments, "\n")
			for _, w := range tc.want {
				if !strings.Contains(all, w) {
					t.Errorf("the comments do not say %q:\n%s", w, all)
				}
			}
			if d.KerfApplied != (tc.kerf > 0) || !strings.Contains(string(render(t, plate(tc.kerf))), "\n2\n"+tc.note+"\n") {
				t.Errorf("the note layer does not say it")
			}
		})
	}
}

// TestReadBack: whatever can be written comes back the same, within a millionth.
func TestReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySheet(t)
		var buf bytes.Buffer
		if err := Write(&buf, s); err != nil {
			t.Fatal(err)
		}
		d, err := Read(&buf)
		if err != nil {
			t.Fatal(err)
		}
		near := cmpopts.EquateApprox(0, readBackMM)
		if diff := cmp.Diff(s.Layers, d.Layers); diff != "" {
			t.Fatalf("layers (-written +read):\n%s", diff)
		}
		if diff := cmp.Diff(s.Shapes, d.Shapes, near, cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("shapes (-written +read):\n%s", diff)
		}
		// Extents against the slow way: every shape as a fine polygon.
		const chord = 1e-4
		slow := geom.EmptyBox()
		for _, sh := range s.Shapes {
			pts := sh.Loop.Flatten(chord)
			if sh.R > 0 {
				pts = geom.Slot(sh.Center, 0, 0, 2*sh.R).Flatten(chord)
			} else if sh.Open {
				pts = sh.Loop.Corners() // the sample's strokes are straight
			}
			for _, p := range pts {
				slow = slow.Include(p)
			}
		}
		if slow.Min.Dist(d.ExtMin) > 3*chord || slow.Max.Dist(d.ExtMax) > 3*chord {
			t.Fatalf("extents %v %v, shapes reach %v", d.ExtMin, d.ExtMax, slow)
		}
		// Arcs come back where they were: the bulge has digits enough.
		for i, sh := range s.Shapes {
			for k := range sh.Loop {
				e, g := sh.Loop.Edge(k), d.Shapes[i].Loop.Edge(k)
				if !e.IsArc() || sh.Open && k == len(sh.Loop)-1 {
					continue
				}
				if off := e.Arc().At(0.5).Dist(g.Arc().At(0.5)); off > readBackMM {
					t.Fatalf("shape %d: the middle of arc %d moved by %g mm", i, k, off)
				}
			}
		}
	})
}

// anySheet draws a sheet of disjoint shapes of every kind, laid out in a row.
func anySheet(t *rapid.T) *jig.CutSheet {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	s := &jig.CutSheet{File: "any.dxf", KerfMM: f("kerf", 0, 1), Layers: plateLayers}
	x := f("start", -50, 50)
	for range rapid.IntRange(1, 9).Draw(t, "shapes") {
		at := geom.Vec{X: x, Y: f("y", -200, 200)}
		x += 700
		l := rapid.SampledFrom(plateLayers).Draw(t, "layer").Name
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			s.Shapes = append(s.Shapes, jig.Shape{Layer: l, Center: at, R: f("radius", MinSegmentMM, 300)})
		case 1:
			s.Shapes = append(s.Shapes, jig.Shape{Layer: l, Loop: geom.Slot(at, f("angle", -4, 4), f("travel", 0.1, 40), f("width", 0.1, 40))})
		case 2:
			board := geom.Taper(f("length", 60, 600), f("wide", 20, 80), f("wider", 20, 80))
			s.Shapes = append(s.Shapes, jig.Shape{Layer: l, Loop: geom.Rigid{Angle: f("turn", -4, 4), Shift: at}.Loop(geom.RoundCorners(board, f("corner", 0.1, 9)))})
		case 3:
			board := geom.Taper(f("length", 60, 600), f("wide", 20, 80), f("wider", 20, 80))
			s.Shapes = append(s.Shapes, jig.Shape{Layer: l, Loop: geom.Rigid{Mirror: true, Shift: at}.Loop(geom.Relieve(board, f("relief", 0.5, 5)))})
		case 4:
			to := at.Add(geom.Polar(f("stroke", 0.1, 600), f("way", -4, 4)))
			s.Shapes = append(s.Shapes, jig.Shape{Layer: "MARK-DATUM", Open: true, Loop: geom.FromPoints([]geom.Vec{at, to})})
		}
	}
	return s
}

func TestRefused(t *testing.T) {
	square := func(side float64) geom.Loop {
		return geom.Rect(geom.Box{Min: geom.Vec{X: 300, Y: 300}, Max: geom.Vec{X: 300 + side, Y: 300 + side}})
	}
	shape := func(sh jig.Shape) func(*jig.CutSheet) {
		return func(s *jig.CutSheet) { s.Shapes = append(s.Shapes, sh) }
	}
	layer := func(l jig.Layer) func(*jig.CutSheet) {
		return func(s *jig.CutSheet) { s.Layers = append(s.Layers[:len(s.Layers)-1:len(s.Layers)-1], l) }
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		name  string
		spoil func(*jig.CutSheet)
		says  string
	}{
		{"no shapes", func(s *jig.CutSheet) { s.Shapes = nil }, "no shapes"},
		{"NaN centre", shape(jig.Shape{Layer: "EDGE", Center: geom.Vec{X: nan}, R: 3}), "not a number"},
		{"infinite radius", shape(jig.Shape{Layer: "EDGE", R: inf}), "not a number"},
		{"NaN radius", shape(jig.Shape{Layer: "EDGE", R: nan}), "not a number"},
		{"radius below zero", shape(jig.Shape{Layer: "EDGE", R: -3}), "below 0.02 mm"},
		{"speck", shape(jig.Shape{Layer: "EDGE", R: 0.01}), "below 0.02 mm"},
		{"nothing", shape(jig.Shape{Layer: "EDGE"}), "below 0.02 mm"},
		{"infinite vertex", shape(jig.Shape{Layer: "EDGE", Loop: append(square(9), geom.Vertex{Vec: geom.Vec{X: -inf}})}), "not a number"},
		{"NaN bulge", shape(jig.Shape{Layer: "EDGE", Loop: append(square(9), geom.Vertex{Vec: geom.Vec{X: 290, Y: 305}, Bulge: nan})}), "not a number"},
		{"metres taken for millimetres", shape(jig.Shape{Layer: "EDGE", Loop: square(1e6)}), "beyond"},
		{"more than a half circle", shape(jig.Shape{Layer: "EDGE", Loop: append(square(9), geom.Vertex{Vec: geom.Vec{X: 290, Y: 305}, Bulge: 1.01})}), "half circle"},
		{"vertex twice", shape(jig.Shape{Layer: "EDGE", Loop: append(square(9), geom.Vertex{Vec: geom.Vec{X: 300, Y: 300}})}), "0.000000 mm long"},
		{"vertices one rounding apart", shape(jig.Shape{Layer: "EDGE", Loop: append(square(9), geom.Vertex{Vec: geom.Vec{X: 300, Y: 300 + 2e-7}})}), "0.000000 mm long"},
		{"stray segment", shape(jig.Shape{Layer: "EDGE", Loop: square(0.019)}), "below 0.02 mm"},
		{"one vertex", shape(jig.Shape{Layer: "EDGE", Loop: square(9)[:1]}), "1 vertices"},
		{"there and back", shape(jig.Shape{Layer: "GUIDE-BOARD", Loop: square(9)[:2]}), "encloses nothing"},
		{"open cut", shape(jig.Shape{Layer: "EDGE", Open: true, Loop: square(9)[:2]}), "open stroke"},
		{"open stroke of one point", shape(jig.Shape{Layer: "MARK-DATUM", Open: true, Loop: square(9)[:1]}), "1 vertices"},
		{"circle and loop", shape(jig.Shape{Layer: "EDGE", R: 3, Loop: square(9)}), "at once"},
		{"circle as two arcs", shape(jig.Shape{Layer: "EDGE", Loop: geom.Slot(geom.Vec{X: 300, Y: 300}, 0.3, 0, 6)}), "full circle"},
		{"unknown layer", shape(jig.Shape{Layer: "FENCE", Loop: square(9)}), "list of layers"},
		{"same hole twice", shape(jig.Shape{Layer: "HOLE-CLEAR", Center: geom.Vec{X: 60, Y: 15}, R: 3.05}), "repeats"},
		{"shared edge", func(s *jig.CutSheet) {
			s.Shapes = append(s.Shapes, jig.Shape{Layer: "EDGE", Loop: square(9)},
				jig.Shape{Layer: "EDGE", Loop: geom.FromPoints([]geom.Vec{{X: 309, Y: 300}, {X: 300, Y: 300}, {X: 305, Y: 290}})})
		}, "repeats"},
		{"small letters", layer(jig.Layer{Name: "edge", Colour: 7, Cut: true}), "A-Z 0-9"},
		{"empty name", layer(jig.Layer{Name: "", Colour: 7, Cut: true}), "A-Z 0-9"},
		{"line break in a name", layer(jig.Layer{Name: "EDGE\n0", Colour: 7, Cut: true}), "A-Z 0-9"},
		{"long name", layer(jig.Layer{Name: strings.Repeat("E", 32), Colour: 7, Cut: true}), "1 to 31"},
		{"layer 0", layer(jig.Layer{Name: "0", Colour: 7, Cut: true}), "taken"},
		{"never plotted", layer(jig.Layer{Name: "DEFPOINTS", Colour: 7, Cut: true}), "taken"},
		{"note layer", layer(jig.Layer{Name: noteKerf, Colour: 7}), "taken"},
		{"cut guide", layer(jig.Layer{Name: "GUIDE-EDGE", Colour: 7, Cut: true}), "not cut"},
		{"uncut without the prefix", layer(jig.Layer{Name: "BOARD", Colour: 7}), "starts with"},
		{"layer twice", layer(jig.Layer{Name: "EDGE", Colour: 7, Cut: true}), "twice"},
		{"colour twice", layer(jig.Layer{Name: "SLIT", Colour: 1, Cut: true}), "colour 1 of layer EDGE"},
		{"guide in a cut colour", layer(jig.Layer{Name: "GUIDE-X", Colour: 1}), "colour 1 of layer EDGE"},
		{"colour 0", layer(jig.Layer{Name: "SLIT", Colour: 0, Cut: true}), "1 to 7"},
		{"colour 8", layer(jig.Layer{Name: "SLIT", Colour: 8, Cut: true}), "1 to 7"},
		{"kerf below zero", func(s *jig.CutSheet) { s.KerfMM = -0.1 }, "kerf"},
		{"kerf NaN", func(s *jig.CutSheet) { s.KerfMM = nan }, "kerf"},
		{"file name breaks the line", func(s *jig.CutSheet) { s.File = "a\n0\nEOF" }, "ASCII"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := plate(0)
			tc.spoil(s)
			var buf bytes.Buffer
			err := Write(&buf, s)
			var serr *SheetError
			if !errors.As(err, &serr) || len(serr.Faults) == 0 {
				t.Fatalf("want a *SheetError, got %v", err)
			}
			if !strings.Contains(err.Error(), tc.says) {
				t.Errorf("the message does not say %q: %v", tc.says, err)
			}
			if buf.Len() > 0 {
				t.Errorf("refused, yet wrote %d bytes", buf.Len())
			}
		})
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	s := plate(-1)
	s.Shapes[0].R = math.NaN()
	s.Shapes[2].Layer = "FENCE"
	var serr *SheetError
	if err := Write(&bytes.Buffer{}, s); !errors.As(err, &serr) || len(serr.Faults) != 3 {
		t.Errorf("want three faults, got %v", err)
	}
}

// failing is a writer whose disk is full after n bytes.
type failing struct{ n int }

var errFull = errors.New("no space left on device")

func (f *failing) Write(p []byte) (int, error) {
	if f.n -= len(p); f.n < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWriterErrorIsTold(t *testing.T) {
	for _, room := range []int{0, 1000, 5000} {
		if err := Write(&failing{room}, plate(0)); !errors.Is(err, errFull) {
			t.Errorf("disk full after %d bytes, yet: %v", room, err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	s := plate(0.2)
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, s); err != nil {
			b.Fatal(err)
		}
	}
}
