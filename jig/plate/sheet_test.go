package plate

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// nest is a plate with a window, three pin holes and a slot, in the order in which a design
// names them. Figures are our own.
func nest(kerf float64, thick float64, material string) Sheet {
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	edge := geom.RoundCorners(geom.Rect(geom.Box{Min: at(-24, -55), Max: at(496, 55)}), 4)
	d := 6.1 - kerf
	return Lay("nest.dxf", geom.Rigid{}, edge, Compensation{KerfMM: kerf, Drawn: at(1, 1)},
		Stock{Material: material, ThicknessMM: thick}, []Shape{
			{Layer: StripGuide, Loop: geom.Taper(470, 41, 57)},
			Hole(at(200, 44), d+0.9, 0, 0),
			Hole(at(484, 0), d, 1.5, 0.3),
			Hole(at(-12, 0), d, 0, 0),
			{Layer: Edge, Loop: edge.Offset(kerf / 2)},
			{Layer: Opening, Loop: geom.Taper(470, 41, 57).Offset(0.1 - kerf/2)},
			Hole(at(200, -44), d+0.9, 0, 0),
			{Layer: Marking, Open: true, Loop: geom.FromPoints([]geom.Vec{at(-20, 30), at(-10, 30)})},
		})
}

// TestOrderOfWork: notes, guides, marks, holes from the smallest, the window, the outline; the
// layers in the same order, each once.
func TestOrderOfWork(t *testing.T) {
	s := nest(0.2, 6, "cast acrylic")
	var got []string
	for _, sh := range s.Shapes {
		if n := len(got); n == 0 || got[n-1] != sh.Layer {
			got = append(got, sh.Layer)
		}
	}
	want := []string{KerfNote, StripGuide, Marking, RoundHoles, SlotHoles, Opening, Edge}
	if !slices.Equal(got, want) {
		t.Errorf("shapes lie on %v, want %v", got, want)
	}
	got = nil
	for _, l := range s.Layers {
		got = append(got, l.Name)
	}
	if !slices.Equal(got, want) {
		t.Errorf("layers %v, want %v", got, want)
	}
}

// TestLayers: every operation has its own of the seven colours that every program knows; what is
// neither cut nor marked counts as one: all guides, and notes, which never share a file.
func TestLayers(t *testing.T) {
	of := map[int]string{}
	for name, l := range layers {
		if kind, _, _ := strings.Cut(name, "-"); kind == "NOTE" || kind == "GUIDE" {
			name = kind
		}
		if other := of[l.Colour]; l.Colour < 1 || l.Colour > 7 || other != "" && other != name {
			t.Errorf("%s has colour %d, which is %s's", name, l.Colour, other)
		}
		of[l.Colour] = name
	}
	edged := Lay("a.dxf", geom.Rigid{}, geom.Taper(100, 40, 40), Compensation{EdgeMM: 0.1}, Stock{}, nil)
	for want, s := range map[string]Sheet{KerfNote: nest(0.2, 6, ""), TrueSize: nest(0, 6, ""), EdgeNote: edged} {
		if s.Layers[0].Name != want {
			t.Errorf("notes lie on %s, want %s", s.Layers[0].Name, want)
		}
	}
}

func TestWords(t *testing.T) {
	for _, tc := range []struct {
		name, want string
		sheet      Sheet
	}{
		{"true size", "6 mm cast acrylic | 1 hole 6.1, 2 holes 7, 1 slot 6.1 x 7.6, 1 window 470.2 x 57.2, as drawn | " +
			"true size: no kerf applied", nest(0, 6, "cast acrylic")},
		{"kerf applied", "3.175 mm | 1 hole 5.9, 2 holes 6.8, 1 slot 5.9 x 7.4, 1 window 470 x 57, as drawn | " +
			"kerf 0.200 mm applied: holes drawn smaller, outlines larger; do not compensate again", nest(0.2, 3.175, "")},
		{"edge and scale applied", "edge 0.060 mm applied: window drawn smaller, outline larger; offset as for the coupon " +
			"| " +
			"scale applied: X 1.00000, Y 0.99920 times as long; lay it as the coupon lay",
			Sheet{EdgeMM: 0.06, DrawnX: 1, DrawnY: 0.9992}},
		{"a coupon, whose sizes all differ", "3 holes 5.9 to 6.1, 2 slots 5 to 5.5 x 7, as drawn | true size: no kerf applied",
			Sheet{Coupon: true, Shapes: []Shape{Hole(geom.Vec{}, 6, 0, 0), Hole(geom.Vec{}, 6.1, 0, 0), Hole(geom.Vec{}, 5.9, 0, 0),
				Hole(geom.Vec{}, 5.5, 1.5, 0), Hole(geom.Vec{}, 5, 2, 0)}}},
		{"more sizes than a line takes", "1 hole 6, 1 hole 6.1, 1 hole 6.2, 1 hole 6.3, 1 hole 6.4, 1 hole 6.5, 1 hole 6.6, " +
			"1 hole 6.7 | 1 hole 6.8, as drawn | true size: no kerf applied", Sheet{Shapes: manyHoles(9)}},
		{"no holes, no stock", "true size: no kerf applied", Sheet{Shapes: []Shape{{Layer: Edge, R: 9}}}},
	} {
		if got := strings.Join(tc.sheet.Words(), " | "); got != tc.want {
			t.Errorf("%s: %s\nwant %s", tc.name, got, tc.want)
		}
	}
}

// manyHoles are n holes, each larger than the last by 0.1 mm.
func manyHoles(n int) (out []Shape) {
	for i := range n {
		out = append(out, Hole(geom.Vec{}, 6+float64(i)/10, 0, 0))
	}
	return out
}

// TestCaptionLiesClear: on sheets of any size the caption keeps its room from every line, counted
// along the lines in steps of its own, and stands inside the outline.
func TestCaptionLiesClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		long, wide := f("long", 30, 600), f("wide", 12, 200)
		edge := geom.RoundCorners(geom.Rect(geom.Box{Max: geom.Vec{X: long, Y: wide}}), f("corner", 0.5, 5))
		shapes := []Shape{{Layer: Edge, Loop: edge}}
		for range rapid.IntRange(0, 12).Draw(t, "holes") {
			at := geom.Vec{X: f("x", 0.1, 0.9) * long, Y: f("y", 0.1, 0.9) * wide}
			shapes = append(shapes, Hole(at, f("d", 1, 20), 0, 0))
		}
		if rapid.Bool().Draw(t, "window") {
			shapes = append(shapes, Shape{Layer: Opening, Loop: geom.Rigid{Shift: geom.Vec{X: long / 8, Y: wide / 2}}.Loop(
				geom.Taper(long*0.75, wide*0.3, wide*0.5))})
		}
		material := rapid.SampledFrom([]string{"cast acrylic", "Birke-Sperrholz (BB/BB), 7-fach", "丙烯酸"}).Draw(t, "material")
		s := Lay("any.dxf", geom.Rigid{}, edge, Compensation{Drawn: geom.Vec{X: 1, Y: 1}},
			Stock{Material: material, ThicknessMM: 6}, shapes)
		box := geom.EmptyBox()
		for _, sh := range s.Shapes {
			if sh.Layer == TrueSize {
				box = box.Union(sh.Loop.Bounds())
			}
		}
		if box.Min.X > box.Max.X {
			if long > 100 && wide > 100 && len(shapes) == 1 {
				t.Fatal("a bare sheet of 100 x 100 mm has room for its caption")
			}
			return
		}
		for _, sh := range s.Shapes {
			for i := 0; i < 3000 && sh.Layer != TrueSize; i++ {
				p := sh.Center.Add(geom.Polar(sh.R, 2*math.Pi*float64(i)/3000))
				if sh.R == 0 {
					e, along := sh.Loop.Edge(i%len(sh.Loop)), float64(i/len(sh.Loop))*float64(len(sh.Loop))/3000
					if p = e.P.Lerp(e.Q, along); e.IsArc() {
						p = e.Arc().At(along)
					}
				}
				if box.Grow(markRoomMM - 0.2).Contains(p) {
					t.Fatalf("%s passes %v, within the caption's %v", sh.Layer, p, box)
				}
			}
		}
		if !edge.Contains(box.Center()) {
			t.Fatalf("caption %v lies outside", box)
		}
	})
}
