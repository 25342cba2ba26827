package dxf

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
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

func render(t testing.TB, s *jig.CutSheet, as Flavour) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, s, as); err != nil {
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
	for _, as := range Flavours {
		got := render(t, s, as)
		golden := filepath.Join("testdata", "tiny-"+string(as)+".dxf")
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
}

// TestSameBytes runs several writers at once: the library keeps its line types and
// standard layer in package variables.
func TestSameBytes(t *testing.T) {
	want := map[float64][]byte{0: render(t, plate(0), R2000), 0.2: render(t, plate(0.2), R2000)}
	var wg sync.WaitGroup
	for range 8 {
		for kerf, bytesWant := range want {
			wg.Go(func() {
				var buf bytes.Buffer
				if err := Write(&buf, plate(kerf), R2000); err != nil || !bytes.Equal(buf.Bytes(), bytesWant) {
					t.Errorf("kerf %g: another run gives other bytes (%v)", kerf, err)
				}
			})
		}
	}
	wg.Wait()
}

// TestHalvesAreWrittenAlike: 25/128 in ends in a half at six decimals, and a sum that
// another machine rounds otherwise must not show.
func TestHalvesAreWrittenAlike(t *testing.T) {
	const x = 25.4 * 25 / 128 // 4.9609375
	at := func(x float64) []byte {
		return render(t, &jig.CutSheet{
			File: "half.dxf", Layers: plateLayers,
			Shapes: []jig.Shape{
				{Layer: "HOLE-ROUND", Center: geom.Vec{X: x, Y: -x}, R: x},
				{Layer: "EDGE", Loop: geom.Loop{{Vec: geom.Vec{X: x}, Bulge: x / 10}, {Vec: geom.Vec{X: 9, Y: x}}}},
			},
		}, R2000)
	}
	want := at(x)
	for _, near := range []float64{math.Nextafter(x, 0), math.Nextafter(x, 9), x - 1e-11, x + 1e-11} {
		if d := cmp.Diff(string(want), string(at(near))); d != "" {
			t.Error(d)
		}
	}
}

// TestReadBack: whatever can be written comes back the same, within a millionth.
func TestReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, as := anySheet(t), rapid.SampledFrom(Flavours).Draw(t, "flavour")
		var buf bytes.Buffer
		if err := Write(&buf, s, as); err != nil {
			t.Fatal(err)
		}
		d := read(t, buf.Bytes())
		for i, l := range s.Layers {
			if got := d.layers[i+1]; got.Name != l.Name || got.Colour != l.Colour { // behind layer 0
				t.Fatalf("layer %v, want %v", got, l)
			}
		}
		near := cmpopts.EquateApprox(0, readBackMM)
		want := s.Shapes
		if as == LinesArcs {
			want = taken(s.Shapes)
			joined(t, s.Shapes, d.shapes)
		}
		if diff := cmp.Diff(want, d.shapes, near, cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("shapes (-written +read):\n%s", diff)
		}
		// Extents against the slow way: every shape as a fine polygon.
		const chord = 1e-4
		slow := geom.EmptyBox()
		for _, sh := range s.Shapes {
			pts := sh.Loop.Flatten(chord)
			if sh.R > 0 {
				pts = geom.Slot(sh.Center, 0, 0, 2*sh.R).Flatten(chord)
			}
			for _, p := range pts {
				slow = slow.Include(p)
			}
		}
		// Arcs come back where they were: the bulge has digits enough.
		for i, sh := range want {
			for k := range sh.Loop {
				e, g := sh.Loop.Edge(k), d.shapes[i].Loop.Edge(k)
				if e.IsArc() && e.Arc().At(0.5).Dist(g.Arc().At(0.5)) > readBackMM {
					t.Fatalf("shape %d: the middle of arc %d moved", i, k)
				}
			}
		}
		if slow.Min.Dist(d.min) > 3*chord || slow.Max.Dist(d.max) > 3*chord {
			t.Fatalf("extents %v %v, shapes reach %v", d.min, d.max, slow)
		}
	})
}

// taken takes contours to pieces: lines, and arcs that run counter-clockwise.
func taken(shapes []jig.Shape) (out []jig.Shape) {
	for _, sh := range shapes {
		if sh.R > 0 {
			out = append(out, sh)
		}
		for _, e := range edges(sh) {
			piece := geom.Loop{{Vec: e.P, Bulge: e.Bulge}, {Vec: e.Q}}
			if e.Bulge < 0 {
				piece = geom.Loop{{Vec: e.Q, Bulge: -e.Bulge}, {Vec: e.P}}
			}
			out = append(out, jig.Shape{Layer: sh.Layer, Open: true, Loop: piece})
		}
	}
	return out
}

// joined: the pieces of a contour follow each other, and where two meet they end at the
// same six decimals.
func joined(t tester, shapes, pieces []jig.Shape) {
	for _, sh := range shapes {
		if sh.R > 0 {
			pieces = pieces[1:]
			continue
		}
		n := len(edges(sh))
		for k := range n {
			if sh.Open && k == n-1 {
				continue
			}
			a, b := pieces[k].Loop, pieces[(k+1)%n].Loop
			corner := coords(sh.Loop[(k+1)%len(sh.Loop)].Vec)
			for _, piece := range []geom.Loop{a, b} {
				if coords(piece[0].Vec) != corner && coords(piece[1].Vec) != corner {
					t.Errorf("at %v a piece ends at %v and %v", corner, piece[0].Vec, piece[1].Vec)
				}
			}
		}
		pieces = pieces[n:]
	}
}

// TestR12 holds what a reader of AC1009 may stumble over: groups that are younger, layers that
// are not listed or too long, a polyline without its end.
func TestR12(t *testing.T) {
	layers, open := map[string]bool{"0": true}, false
	for _, rec := range parse(t, render(t, plate(0.2), R12)) {
		for _, g := range rec {
			if slices.Contains([]int{5, 100, 102, 330, 370}, g.code) {
				t.Errorf("%s has group %d", rec[0].value, g.code)
			}
		}
		what, layer := rec[0].value, first(rec, 8)
		switch what {
		case "SECTION":
			if i := slices.Index(rec, tag{9, "$ACADVER"}); i >= 0 && rec[i+1].value != "AC1009" {
				t.Errorf("version %s", rec[i+1].value)
			}
		case "LAYER":
			layers[first(rec, 2)] = true
		case "POLYLINE":
			open = true
		case "SEQEND":
			open = false
		case "VERTEX":
			if !open {
				t.Error("a corner without a polyline")
			}
		case "CIRCLE", "ENDSEC":
			if open {
				t.Errorf("%s within a polyline", what)
			}
		case "TABLE", "ENDTAB", "LTYPE", "EOF":
		default:
			t.Errorf("%s is none of R12's that is needed", what)
		}
		if layer != "" && (!layers[layer] || len(layer) > 31) {
			t.Errorf("%s on layer %s", what, layer)
		}
	}
}

// anySheet draws a sheet of disjoint shapes of every kind, laid out in a row.
func anySheet(t *rapid.T) *jig.CutSheet {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	s := &jig.CutSheet{File: "any.dxf", KerfMM: f("kerf", 0, 1), Layers: plateLayers}
	x := f("start", -50, 50)
	for range rapid.IntRange(1, 9).Draw(t, "shapes") {
		at := geom.Vec{X: x, Y: f("y", -200, 200)}
		x += 700
		sh := jig.Shape{Layer: rapid.SampledFrom(plateLayers).Draw(t, "layer").Name}
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			sh.Center, sh.R = at, f("radius", minSegmentMM, 300)
		case 1:
			sh.Loop = geom.Slot(at, f("angle", -4, 4), f("travel", 0.1, 40), f("width", 0.1, 40))
		case 2:
			board := geom.Taper(f("length", 60, 600), f("wide", 20, 80), f("wider", 20, 80))
			board = geom.RoundCorners(board, f("corner", 0.1, 9))
			sh.Loop = geom.Rigid{Angle: f("turn", -4, 4), Mirror: rapid.Bool().Draw(t, "mirror"), Shift: at}.Loop(board)
		case 3:
			to := at.Add(geom.Polar(f("stroke", 0.1, 600), f("way", -4, 4)))
			sh.Open, sh.Loop = true, geom.FromPoints([]geom.Vec{at, to})
		}
		s.Shapes = append(s.Shapes, sh)
	}
	return s
}

func TestRefused(t *testing.T) {
	square := func(side float64, more ...geom.Vertex) geom.Loop {
		at := geom.Vec{X: 300, Y: 300}
		return append(geom.Rect(geom.Box{Min: at, Max: at.Add(geom.Vec{X: side, Y: side})}), more...)
	}
	v := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Vec: geom.Vec{X: x, Y: y}, Bulge: bulge} }
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		name  string
		shape jig.Shape
		says  string
	}{
		{"NaN centre", jig.Shape{Center: geom.Vec{X: nan}, R: 3}, "a circle of radius 3 mm about (NaN, 0)"},
		{"infinite radius", jig.Shape{R: inf}, "a circle of radius +Inf mm"},
		{"speck", jig.Shape{R: 0.01}, "at least 0.02 mm"},
		{"nothing", jig.Shape{}, "a circle of radius 0 mm"},
		{"infinite vertex", jig.Shape{Loop: square(9, v(-inf, 0, 0))}, "a corner at (-Inf, 0)"},
		{"NaN bulge", jig.Shape{Loop: square(9, v(290, 305, nan))}, "bulge NaN"},
		{"metres taken for millimetres", jig.Shape{Loop: square(1e6)}, "within 100000 mm"},
		{"more than a half circle", jig.Shape{Loop: square(9, v(290, 305, 1.01))}, "at most a half circle"},
		{"vertex twice", jig.Shape{Loop: square(9, v(300, 300, 0))}, "from (300, 300) is 0 mm long"},
		{"vertices one rounding apart", jig.Shape{Loop: square(9, v(300, 300+2e-7, 0))}, "is 0 mm long"},
		{"stray segment", jig.Shape{Loop: square(0.019)}, "want at least 0.02 mm"},
		{"one vertex", jig.Shape{Loop: square(9)[:1]}, "one corner"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := plate(0)
			tc.shape.Layer = "EDGE"
			s.Shapes = append(s.Shapes, tc.shape)
			var buf bytes.Buffer
			err := Write(&buf, s, R2000)
			if says := fmt.Sprint(err); !strings.HasPrefix(says, "template.dxf, layer EDGE: ") ||
				!strings.Contains(says, tc.says) {
				t.Errorf("got %q, want it to say %q", says, tc.says)
			}
			if buf.Len() > 0 {
				t.Errorf("refused, yet wrote %d bytes", buf.Len())
			}
		})
	}
	s := plate(0)
	s.Shapes[2].Layer = "FENCE"
	if err := Write(&bytes.Buffer{}, s, R2000); err == nil {
		t.Error("a layer that is not listed was written")
	}
	s.Shapes = nil
	if err := Write(&bytes.Buffer{}, s, R2000); err == nil {
		t.Error("an empty sheet was written")
	}
}

var errFull = errors.New("no space left on device")

// full is a writer whose disk is full.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriterErrorIsTold(t *testing.T) {
	if err := Write(full{}, plate(0), R2000); !errors.Is(err, errFull) {
		t.Errorf("the disk is full, yet: %v", err)
	}
}
