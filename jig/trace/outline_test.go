package trace

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// drawing is DXF text: a header, a layer table and entities with handles from 1.
type drawing struct {
	header, tables string
	entities       strings.Builder
	n              int
}

// add writes an entity: its kind and layer, then groups of a code and a value.
func (d *drawing) add(kind, layer string, groups ...any) *drawing {
	d.n++
	fmt.Fprintf(&d.entities, "0\n%s\n5\n%X\n8\n%s\n", kind, d.n, layer)
	for i := 0; i < len(groups); i += 2 {
		fmt.Fprintf(&d.entities, "%v\n%v\n", groups[i], groups[i+1])
	}
	return d
}

func (d *drawing) line(layer string, x, y, u, v float64) *drawing {
	return d.add("LINE", layer, 10, x, 20, y, 11, u, 21, v)
}

func (d *drawing) arc(layer string, x, y, r, from, to float64) *drawing {
	return d.add("ARC", layer, 10, x, 20, y, 40, r, 50, from, 51, to)
}

func (d *drawing) circle(layer string, x, y, r float64) *drawing {
	return d.add("CIRCLE", layer, 10, x, 20, y, 40, r)
}

func (d *drawing) rect(layer string, x, y, u, v float64) *drawing {
	return d.add("LWPOLYLINE", layer, 90, 4, 70, 1, 10, x, 20, y, 10, u, 20, y, 10, u, 20, v, 10, x, 20, v)
}

func (d *drawing) text() []byte {
	s := d.header + d.tables + "0\nSECTION\n2\nENTITIES\n" + d.entities.String() + "0\nENDSEC\n0\nEOF\n"
	return []byte(s)
}

// millimetres is an empty drawing in mm.
func millimetres() *drawing { return inUnit(4) }

func inUnit(code int) *drawing {
	return &drawing{header: fmt.Sprintf("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n", code)}
}

// stadium draws two lines and two arcs, 140 x 40, from (-20, -20), each end off by the given gap.
func stadium(d *drawing, gap float64) *drawing { return stadiumAt(d, 0, 0, gap) }

func stadiumAt(d *drawing, x, y, gap float64) *drawing {
	return d.line("EDGE", x, y-20, x+100-gap, y-20).arc("EDGE", x+100, y, 20, 270, 90).line("EDGE", x, y+20, x+100, y+20).
		arc("EDGE", x, y, 20, 90, 270)
}

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

const stadiumArea = 100*40 + 400*math.Pi

func TestOutline(t *testing.T) {
	file := func(name string) []byte {
		b, err := os.ReadFile(filepath.Join("..", "dxfread", "testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	bridge, err := os.ReadFile(filepath.Join("testdata", "bridge.dxf"))
	if err != nil {
		t.Fatal(err)
	}
	far := stadiumAt(millimetres(), 4e6, -3e6, 0)
	pieces := millimetres()
	for i := range 10 { // a straight in ten pieces is one
		pieces.line("0", float64(10*i), 0, float64(10*i+10), 0)
	}
	pieces.line("0", 100, 0, 100, 30).line("0", 0, 0, 100, 30)
	inches := inUnit(1).line("EDGE", 0, -1, 5, -1).arc("EDGE", 5, 0, 1, 270, 90).line("EDGE", 5, 1, 0, 1).
		arc("EDGE", 0, 0, 1, 90, 270)
	twice := stadium(millimetres(), 0).line("EDGE", 100, -20, 0, -20).arc("EDGE", 0, 0, 20, 90, 270)
	bored := stadium(millimetres(), 0).circle("DOTS", 60, 5, 3).circle("DOTS", 10, -5, 4).circle("EDGE", 50, 0, 5).
		add("TEXT", "DOTS", 10, 61, 20, 6, 40, 3, 1, "peg {mark}").line("CENTRE", 10, 0, 90, 0).
		add("TEXT", "EDGE", 10, 0, 20, 0, 1, "fingerboard")
	hidden := stadium(millimetres(), 0).line("OLD", 5, 5, 10, 10)
	hidden.tables = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n1\n0\nLAYER\n2\nOld\n70\n1\n62\n7\n0\nENDTAB\n0\nENDSEC\n"
	for _, c := range []struct {
		name     string
		data     []byte
		want     Want
		area     float64
		box      geom.Box
		edges    int
		holes    int
		features string
		notes    []string // parts of the notes, in order
	}{
		{"a file of ezdxf, R12", file("r12.dxf"), Want{Layer: "edge", Features: "DOTS"}, stadiumArea,
			geom.Box{Max: vec(140, 40)}, 4, 0, "[{feature 1 {40 20} 6} {feature 2 {80 20} 6}]", []string{"states no unit"}},
		{"a file of ezdxf, R2018", file("r2018.dxf"), Want{Layer: "EDGE", Datum: Datum{Points: []geom.Vec{vec(-20, 20), vec(0, 20)}}},
			stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]", nil},
		{"the X axis", stadium(millimetres(), 0).text(), Want{}, stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4,
			0, "[]", nil},
		{"gaps below the limit are closed", stadium(millimetres(), 0.015).text(), Want{}, stadiumArea,
			geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]", []string{"gaps closed: 1, the widest of 0.015 mm"}},
		{"a larger gap is closed when told", stadium(millimetres(), 0.3).text(), Want{GapMM: 0.31}, stadiumArea,
			geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]", []string{"gaps closed: 1, the widest of 0.3 mm"}},
		{"drawn twice", twice.text(), Want{}, stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]",
			[]string{"drawn twice, taken once: 1 of its edges on LINE 1, line 1", "drawn twice, taken once: 1 of its edges on ARC 4"}},
		{"inches", inches.text(), Want{}, (10 + math.Pi) * 25.4 * 25.4, geom.Box{Min: vec(0, -25.4), Max: vec(7*25.4, 25.4)}, 4,
			0, "[]", nil},
		{"inches set aside", inches.text(), Want{UnitMM: 1}, 10 + math.Pi, geom.Box{Min: vec(0, -1), Max: vec(7, 1)}, 4, 0, "[]",
			[]string{"the file's unit, inches, is set aside: one unit is 1 mm"}},
		{"datum up the file, features, a hole, texts", bored.text(), Want{Layer: "EDGE", Features: "DOTS",
			Datum: Datum{Points: []geom.Vec{vec(50, -20), vec(50, 20)}}}, stadiumArea,
			geom.Box{Min: vec(0, -70), Max: vec(40, 70)}, 4, 1, "[{feature 1 {15 40} 8} {peg mark {25 -10} 6}]",
			[]string{"texts, dimensions, hatches and points left out: 1"}},
		{"datum on its layer runs back", stadium(millimetres(), 0).line("CENTRE", 90, 0, 10, 0).circle("EDGE", 10, 5, 2).text(),
			Want{Datum: Datum{Layer: "CENTRE"}}, stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 1, "[]", nil},
		{"the first point within the outline", stadium(millimetres(), 0).text(), Want{Datum: Datum{Points: []geom.Vec{{}, vec(9, 0)}}},
			stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]",
			[]string{"u = 0 is where the outline begins; the datum's first point lies at u = 20 mm (at [0, 0])"}},
		// Lines, arcs, a polyline with bulges and a spline, drawn upright with carriage returns. Area and height: ezdxf 0.18.1,
		// its entities flattened to 1e-8 mm and the spline to 20 000 chords. The arcs may leave the spline by 0.005 mm.
		{"a bridge's blank", bridge, Want{Layer: "BLANK", Datum: Datum{Layer: "AXIS"}, Features: "PEGS"}, 4183.8992,
			geom.Box{Min: vec(0, -20), Max: vec(160, 20.54667)}, 51, 0, "[{feature 1 {53 8} 5} {feature 2 {63.8 8} 5} " +
				"{feature 3 {74.6 8} 5} {feature 4 {85.4 8} 5} {feature 5 {96.2 8} 5} {feature 6 {107 8} 5}]",
			[]string{"ellipses and splines drawn as arcs within 0.005 mm: 1 as 40"}},
		{"far from the origin", far.text(), Want{Datum: Datum{Points: []geom.Vec{vec(4e6-20, -3e6), vec(4e6, -3e6)}}}, stadiumArea,
			geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]", nil},
		{"a straight in pieces", pieces.text(), Want{}, 1500, geom.Box{Max: vec(100, 30)}, 3, 0, "[]", nil},
		{"a frozen layer", hidden.text(), Want{}, stadiumArea, geom.Box{Min: vec(0, -20), Max: vec(140, 20)}, 4, 0, "[]",
			[]string{"layer OLD is off or frozen in the file and left out"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := Outline(c.data, c.want)
			if err != nil {
				t.Fatal(err)
			}
			box := b.Outline.Bounds()
			areaTol, placeTol := 1e-4, 1e-6
			if c.name == "a bridge's blank" {
				areaTol, placeTol = DefaultToleranceMM*100, DefaultToleranceMM
			}
			if math.Abs(b.Outline.Area()-c.area) > areaTol || box.Min.Dist(c.box.Min)+box.Max.Dist(c.box.Max) > placeTol {
				t.Errorf("area %.6f in %v, want %.6f in %v", b.Outline.Area(), box, c.area, c.box)
			}
			if len(b.Outline) != c.edges || len(b.Holes) != c.holes || fmt.Sprint(b.Features) != c.features {
				t.Errorf("%d edges, %d holes, features %v; want %d, %d, %s", len(b.Outline), len(b.Holes), b.Features, c.edges,
					c.holes, c.features)
			}
			notes := make([]string, len(b.Notes))
			for i, n := range b.Notes {
				notes[i] = n.String()
			}
			parts(t, notes, c.notes)
		})
	}
}

// parts holds lines against a part of each.
func parts(t *testing.T, got, want []string) {
	t.Helper()
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || !strings.Contains(got[i], want[i]) {
			t.Fatalf("got  %s\nwant %s", strings.Join(got, "\n     "), strings.Join(want, "\n     "))
		}
	}
}

func TestFaults(t *testing.T) {
	square := func() *drawing { return millimetres().rect("EDGE", 0, -20, 100, 20) }
	for _, c := range []struct {
		name string
		data []byte
		want Want
		says []string
	}{
		{"a gap", stadium(millimetres(), 0.3).text(), Want{}, []string{
			"a gap of 0.3 mm to ARC 2, line 29; up to 0.02 mm is closed (LINE 1, line 15, layer EDGE, at [99.7, -20]): " +
				"close it in the drawing, or let gap be 0.31"}},
		{"a gap in inches", inUnit(1).line("0", 0, 0, 1, 0).line("0", 1.01, 0, 1, 1).line("0", 1, 1, 0, 0).text(), Want{},
			[]string{"a gap of 0.254 mm to LINE 2, line 29; up to 0.02 mm is closed (LINE 1, line 15, layer 0, " +
				"at [1, 0] of the drawing, [25.4, 0] mm)"}},
		{"an open chain", square().line("AXIS", 10, 0, 90, 0).text(), Want{}, []string{
			"an open end, and no other to close it with (LINE 2, line 41, layer AXIS, at [10, 0])",
			"an open end, and no other to close it with (LINE 2, line 41, layer AXIS, at [90, 0])"}},
		{"three ends", stadium(millimetres(), 0).line("EDGE", 100, -20, 100, 20).text(), Want{}, []string{
			"more than two ends meet: another touches LINE 1", "more than two ends meet: another touches ARC 2"}},
		{"a figure of eight", millimetres().add("LWPOLYLINE", "EDGE", 70, 1, 10, 0, 20, 0, 10, 40, 20, 40, 10, 40, 20, 0, 10, 0, 20,
			40).text(), Want{}, []string{"it crosses or touches itself (LWPOLYLINE 1, line 15, layer EDGE, at [20, 20])"}},
		{"a fold", millimetres().add("LWPOLYLINE", "EDGE", 70, 1, 10, 0, 20, 0, 10, 40, 20, 0, 10, 40, 20, 30, 10, 40, 20, 10, 10,
			0, 20, 40).text(), Want{}, []string{"it crosses or touches itself"}},
		{"a hole over the edge", square().circle("EDGE", 100, 0, 5).text(), Want{}, []string{
			"it crosses or touches LWPOLYLINE 1, line 15 (CIRCLE 2, line 41, layer EDGE, at [100, 5])",
			"it crosses or touches LWPOLYLINE 1"}},
		{"two boards", square().rect("EDGE", 0, 100, 50, 120).text(), Want{}, []string{
			"a contour of 50 x 20 mm lies outside the largest, of 100 x 40 mm (LWPOLYLINE 2, line 41, layer EDGE, at [0, 100]): " +
				"name the layer of the one that is the board"}},
		{"an island", square().rect("EDGE", 10, -10, 50, 10).circle("EDGE", 30, 0, 4).text(), Want{}, []string{
			"a contour of 8 x 8 mm within a hole of 40 x 20 mm"}},
		{"no such layer", square().text(), Want{Layer: "EDGES", Features: "DOTS", Datum: Datum{Layer: "AXIS"}}, []string{
			"nothing on layer EDGES that could be the outline: did you mean EDGE?",
			"nothing on layer AXIS that could be the datum line: name one of the layers that the drawing has: EDGE",
			"nothing on layer DOTS that could be a feature (a circle)"}},
		{"texts alone on its layer", square().add("TEXT", "NOTES", 1, "x").text(), Want{Layer: "NOTES"}, []string{
			"nothing on layer NOTES that could be the outline: draw it there with lines, arcs and polylines, in the model"}},
		{"what is no contour", square().add("REGION", "EDGE").add("3DFACE", "EDGE", 10, 5, 20, 6).add("REGION", "OLD").text(),
			Want{Layer: "EDGE"}, []string{"REGION is none of the kinds that contours are read from (REGION 2, line 41, layer EDGE)",
				"3DFACE is none of the kinds that contours are read from (3DFACE 3, line 47, layer EDGE, at [5, 6])"}},
		{"a broken number", square().add("CIRCLE", "EDGE", 10, "1,5", 20, 0, 40, 3).text(), Want{}, []string{
			`line 48: "1,5" (code 10) has a decimal comma; DXF takes a point`}},
		{"datum beside", millimetres().rect("EDGE", 0, 50, 100, 90).text(), Want{}, []string{
			"the datum line passes beside the outline, by 50 mm"}},
		{"datum of one point", square().text(), Want{Datum: Datum{Points: []geom.Vec{{}}}}, []string{"needs two points that lie apart"}},
		{"datum of two lines", square().line("AXIS", 0, 0, 5, 0).line("AXIS", 0, 5, 5, 5).text(), Want{Datum: Datum{Layer: "axis"}},
			[]string{"the datum's layer has 2 entities (LINE 3, line 55, layer AXIS"}},
		{"a curved datum", square().arc("AXIS", 0, 0, 5, 0, 90).text(), Want{Datum: Datum{Layer: "axis"}},
			[]string{"the datum line is no straight line (ARC 2"}},
		{"a feature outside", square().circle("DOTS", 200, 0, 4).text(), Want{Features: "DOTS"}, []string{
			"a feature outside the outline (at [200, 0])"}},
		{"a line there and back", millimetres().line("0", 0, 0, 9, 0).line("0", 9, 0, 0, 0).text(), Want{}, []string{
			"an open end, and no other", "an open end, and no other"}},
		{"points alone", millimetres().line("0", 1, 1, 1, 1).text(), Want{}, []string{"the drawing has nothing that could be the outline"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := Outline(c.data, c.want)
			var e *Error
			if !errors.As(err, &e) || b.Outline != nil {
				t.Fatalf("board %v, error %v", b, err)
			}
			parts(t, strings.Split(err.Error(), "\n"), c.says)
		})
	}
}
