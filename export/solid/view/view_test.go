package view

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

func box(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Rect(geom.Box{Min: geom.Vec{X: x0, Y: y0}, Max: geom.Vec{X: x1, Y: y1}})
}

func plate() *jig.Print {
	return &jig.Print{
		Outline: geom.RoundCorners(box(0, 0, 120, 60), 4), Window: box(20, 20, 100, 40), ThicknessMM: 6, EntryMM: 0.6,
		Holes: []jig.PrintHole{
			{ID: "P1", Center: geom.Vec{X: 10, Y: 30}, Diameter: 6.1},
			{ID: "P2", Center: geom.Vec{X: 110, Y: 30}, Diameter: 6.1, Travel: 2, Angle: 0.3},
		},
		Rails: []jig.PrintRail{{Outline: box(20, 40.1, 100, 44.1), TopMM: 12}},
		Marks: []jig.PrintMark{{Says: "I", Strokes: [][]geom.Vec{{{X: 50, Y: 8}, {X: 50, Y: 12}}}, WidthMM: 0.8,
			LevelMM: 6.6}},
	}
}

// TestPage: all ink lies on the page, of one part and of parts apart.
func TestPage(t *testing.T) {
	p := plate()
	for name, parts := range map[string][]Part{
		"one":   {{Print: p}},
		"apart": {{Print: p}, {Print: p, At: geom.Vec{X: 140}}},
	} {
		t.Run(name, func(t *testing.T) {
			d := Draw(parts, strings.Repeat("A long caption. ", 30))
			page := geom.Box{Max: d.Size}.Grow(-1)
			for _, it := range d.Items {
				if ink := it.Ink(); !page.Contains(ink.Min) || !page.Contains(ink.Max) {
					t.Errorf("%T with ink %v lies off the page of %v", it, ink, d.Size)
				}
			}
		})
	}
}

// TestWallsFace: of an upright box the eye sees the two sides towards it; of a hole
// the far half.
func TestWallsFace(t *testing.T) {
	var l layer
	square := box(0, 0, 10, 10).Corners()
	(&scene{scale: 1}).prism(&l, square, 0, 5)
	if len(l.walls) != 2 || l.walls[0].normal != [3]float64{0, -1, 0} || l.walls[1].normal != [3]float64{-1, 0, 0} {
		t.Errorf("walls %+v", l.walls)
	}
	l = layer{}
	slices.Reverse(square)
	(&scene{scale: 1}).prism(&l, square, 0, 5)
	if len(l.walls) != 2 || l.walls[0].normal[1] != -1 && l.walls[1].normal[1] != -1 {
		t.Errorf("walls of a hole %+v", l.walls)
	}
}

// TestFarBeforeNear: of walls that share a strip of the page the farther one is
// painted first, for any plates that do not touch.
func TestFarBeforeNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l layer
		for i := range 4 {
			for k := range 4 {
				x, y := 30*float64(i), 30*float64(k)
				size := func(name string) float64 { return rapid.Float64Range(1, 14).Draw(t, name) }
				pts := []geom.Vec{{X: x - size("w"), Y: y}, {X: x, Y: y - size("s")}, {X: x + size("e"), Y: y},
					{X: x, Y: y + size("n")}}
				(&scene{scale: 1}).prism(&l, pts, 0, 5)
			}
		}
		order := l.ordered()
		if len(order) != len(l.walls) {
			t.Fatalf("%d walls of %d", len(order), len(l.walls))
		}
		for i, w := range order {
			for _, v := range order[i+1:] {
				if x, ok := w.shares(v); ok && v.nearAt(x) < w.nearAt(x)-1e-9 {
					t.Fatalf("%+v comes before the farther %+v", w, v)
				}
			}
		}
	})
}
