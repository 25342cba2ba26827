package stock

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/plate"
)

// tapered is a plate with a window, a notch in its outline and two holes. Figures are our own.
func tapered(name string, long, wide float64, of plate.Stock, kerf float64) Item {
	edge := geom.RoundCorners(geom.Loop{
		{Vec: geom.Vec{}}, {Vec: geom.Vec{X: long}}, {Vec: geom.Vec{X: long, Y: wide}}, {Vec: geom.Vec{Y: wide}},
		{Vec: geom.Vec{Y: wide * 0.7}, Bulge: -1}, {Vec: geom.Vec{Y: wide*0.7 - 5}},
	}, 1)
	board := geom.Rigid{Shift: geom.Vec{X: 20, Y: wide / 2}}.Loop(geom.Taper(long-40, wide*0.4, wide*0.6))
	return Item{Name: name, CutMM: kerf, Drawn: plate.Lay(name+".dxf", geom.Rigid{}, edge,
		plate.Compensation{KerfMM: kerf, Drawn: geom.Vec{X: 1, Y: 1}}, of, []plate.Shape{
			plate.Hole(geom.Vec{X: 10, Y: wide / 2}, 7, 0, 0),
			plate.Hole(geom.Vec{X: long - 10, Y: wide / 2}, 5, 2, 0.2),
			{Layer: plate.Edge, Loop: edge.Offset(kerf / 2)}, {Layer: plate.Opening, Loop: board},
		})}
}

// outlines are the parts' outlines on a sheet, in chords true to 0.02 mm.
func outlines(s plate.Sheet) (out [][]geom.Vec) {
	for _, sh := range s.Shapes {
		if sh.Layer == plate.Edge {
			out = append(out, sh.Loop.Flatten(0.02))
		}
	}
	return out
}

// TestDrawnApart holds the drawn outlines themselves, notch and arcs included, apart by the gap:
// every corner of one against every chord of the other. What is cut in a part lies in it and
// comes before its outline, and before the next part.
func TestDrawnApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		room := SheetSize{Width: 700, Height: 500, Gap: f("gap", 1, 12), Margin: f("margin", 0, 15)}
		acrylic := plate.Stock{Material: "cast acrylic", ThicknessMM: 6}
		var items []Item
		for i := range rapid.IntRange(1, 3).Draw(t, "parts") {
			items = append(items, tapered(fmt.Sprint("part ", i), f("long", 80, 460), f("wide", 50, 150), acrylic, 0.2))
		}
		batches, err := Batches(room, items)
		if err != nil || len(batches) != 1 {
			t.Fatal(batches, err)
		}
		n := 0
		for k := range batches[0].Sheets {
			s := batches[0].Draw(k, room, "sheet.dxf")
			loops := outlines(s)
			n += len(loops)
			for i, a := range loops {
				for _, b := range loops[:i] {
					for j := range b {
						e := geom.Edge{P: b[j], Q: b[(j+1)%len(b)]}
						for _, p := range a {
							if e.Distance(p) < room.Gap-0.04 {
								t.Fatalf("two outlines come as near as %g, want %g", e.Distance(p), room.Gap)
							}
						}
					}
				}
			}
			part := 0
			for _, sh := range s.Shapes {
				if sh.Layer == plate.Edge {
					part++
					continue
				}
				at := sh.Center
				if sh.R == 0 {
					at = sh.Loop[0].Vec
				}
				if part == len(loops) || !geom.FromPoints(loops[part]).Contains(at) {
					t.Fatalf("a shape on %s at %v does not come in its part %d", sh.Layer, at, part)
				}
			}
		}
		if n != len(items) {
			t.Fatalf("%d outlines of %d parts", n, len(items))
		}
	})
}

// TestBatches: what differs in material, thickness or in whether the kerf is in its lines goes
// onto sheets of its own.
func TestBatches(t *testing.T) {
	acrylic, thin := plate.Stock{Material: "cast acrylic", ThicknessMM: 6},
		plate.Stock{Material: "cast acrylic", ThicknessMM: 5}
	room := SheetSize{Width: 400, Height: 300, Gap: 6, Margin: 10}
	items := []Item{
		tapered("a", 300, 80, acrylic, 0.2), tapered("b", 300, 80, thin, 0.2),
		tapered("c", 300, 80, acrylic, 0.18), tapered("d", 300, 80, acrylic, 0),
	}
	batches, err := Batches(room, items)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, b := range batches {
		for k := range b.Sheets {
			s := b.Draw(k, room, "sheet.dxf")
			got = append(got, strings.Join(s.Words(), " | "))
			if waste := b.Waste(k, room); waste < 0.5 || waste > 1 {
				t.Errorf("waste %g", waste)
			}
		}
	}
	want := []string{
		"6 mm cast acrylic | 2 holes 7, 2 slots 5 x 7, 2 windows 260 x 48, as drawn | kerf 0.180 to 0.200 mm applied: holes drawn " +
			"smaller, outlines larger; do not compensate again | stock 400 x 300 mm: X0 Y0 is its lower left corner | " +
			"a at 10.000, 10.000, kerf 0.200 | c at 10.000, 96.201, kerf 0.180",
		"5 mm cast acrylic | 1 hole 7, 1 slot 5 x 7, 1 window 260 x 48, as drawn | kerf 0.200 mm applied: holes drawn " +
			"smaller, outlines larger; do not compensate again | stock 400 x 300 mm: X0 Y0 is its lower left corner | " +
			"b at 10.000, 10.000, kerf 0.200",
		"6 mm cast acrylic | 1 hole 7, 1 slot 5 x 7, 1 window 260 x 48, as drawn | true size: no kerf applied | " +
			"stock 400 x 300 mm: X0 Y0 is its lower left corner | d at 10.000, 10.000",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	area := 300*80.0 - math.Pi*2.5*2.5/2 // less the notch; corners of 1 mm are a trifle
	if waste := batches[2].Waste(0, room); math.Abs(waste-(1-area/120000)) > 1e-4 {
		t.Errorf("waste %g, want %g", waste, 1-area/120000)
	}
	// A coupon joins the parts of its stock, with the kerf in their lines or not, and never turns.
	piece := tapered("coupon", 150, 70, acrylic, 0)
	piece.Drawn.Coupon = true
	narrow := SheetSize{Width: 120, Height: 700, Gap: 6, Margin: 10}
	var large *TooLargeError
	if _, err := Batches(narrow, []Item{items[0], piece}); !errors.As(err, &large) || len(large.Parts) != 1 ||
		large.Parts[0].Part != 1 || large.Parts[0].Turns {
		t.Errorf("a coupon is turned: %v", err)
	}
	with, err := Batches(room, []Item{items[0], piece})
	if err != nil || len(with) != 1 {
		t.Fatal(with, err)
	}
	drawn := with[0].Draw(0, room, "sheet.dxf")
	if said := strings.Join(drawn.Words(), " | "); said != "6 mm cast acrylic | 1 hole 7, 1 slot 5 x 7, "+
		"1 window 260 x 48, as drawn | coupon: 1 hole 7, 1 slot 5 x 7, 1 window 110 x 42, as drawn | "+
		"kerf 0.200 mm applied to all but the coupon: holes drawn smaller, outlines larger; do not compensate again | "+
		"stock 400 x 300 mm: X0 Y0 is its lower left corner | a at 10.000, 10.000, kerf 0.200 | "+
		"coupon at 10.000, 96.201, drawn to size: cut it as the plates, with no offset of its own" {
		t.Error(said)
	}
	// It has its own marks, and what is written on it of the kerf would be held for that of all.
	marks := 0
	for _, sh := range drawn.Shapes {
		if sh.Layer == plate.TrueSize || sh.Layer == plate.Marking && sh.Loop[0].Y > 96 {
			marks++
		}
	}
	if marks > 0 || slices.ContainsFunc(drawn.Layers, func(l plate.Layer) bool { return l.Name == plate.TrueSize }) {
		t.Errorf("%d strokes on the coupon, layers %v", marks, drawn.Layers)
	}
	// Drawn longer along one axis, it is not turned, and said to be no matter of --no-turn.
	scaled := tapered("e", 80, 350, acrylic, 0)
	scaled.Drawn.DrawnX, scaled.Drawn.DrawnY = 1.001, 1
	var e *TooLargeError
	if _, err := Batches(room, []Item{scaled}); !errors.As(err, &e) || e.Parts[0].Turns {
		t.Errorf("turned although its scale differs: %v", err)
	}
	// Too large in two batches: both are told, counted among all.
	_, err = Batches(SheetSize{Width: 400, Height: 90, Gap: 6, Margin: 10}, items)
	if !errors.As(err, &e) || len(e.Parts) != 4 || e.Parts[1].Part != 2 || e.Parts[2].Part != 1 {
		t.Errorf("got %v", err)
	}
	if _, err := Batches(room, nil); err == nil {
		t.Error("no parts are laid out")
	}
}

// TestCopies: each is engraved with its name, the first alone says its size.
func TestCopies(t *testing.T) {
	count := func(copies int) map[string]int {
		b, err := Batches(SheetSize{Width: 700, Height: 400, Gap: 6, Margin: 10},
			slices.Repeat([]Item{tapered("a", 300, 80, plate.Stock{}, 0)}, copies))
		if err != nil || len(b) != 1 || b[0].Sheets != 1 {
			t.Fatal(b, err)
		}
		out := map[string]int{}
		for _, sh := range b[0].Draw(0, SheetSize{}, "sheet.dxf").Shapes {
			out[sh.Layer]++
		}
		return out
	}
	one, three := count(1), count(3)
	if one[plate.TrueSize] == 0 || three[plate.TrueSize] != one[plate.TrueSize] ||
		one[plate.Marking] == 0 || three[plate.Marking] != 3*one[plate.Marking] || three[plate.Edge] != 3 {
		t.Errorf("of one %v, of three %v", one, three)
	}
}

// TestTurned: a quarter turn, counter-clockwise, brings every place where it is by hand; arcs keep
// their way round.
func TestTurned(t *testing.T) {
	it := tapered("long", 300, 80, plate.Stock{}, 0)
	room := SheetSize{Width: 100, Height: 400, Gap: 6, Margin: 10}
	b, err := Batches(room, []Item{it})
	if err != nil || !b[0].Places[0].Turned {
		t.Fatal(b, err)
	}
	s := b[0].Draw(0, room, "sheet.dxf")
	for _, sh := range s.Shapes {
		if sh.Layer == plate.RoundHoles && sh.Center != (geom.Vec{X: 10 + 80 - 40, Y: 10 + 10}) {
			t.Errorf("the hole lies at %v", sh.Center)
		}
		if sh.Layer == plate.Edge {
			if a := sh.Loop.Area() - it.Drawn.Shapes[len(it.Drawn.Shapes)-1].Loop.Area(); math.Abs(a) > 1e-9 {
				t.Errorf("the outline's area differs by %g", a)
			}
		}
	}
	if s.Size != (geom.Vec{X: 90, Y: 310}) {
		t.Errorf("the drawing reaches to %v", s.Size)
	}
}
