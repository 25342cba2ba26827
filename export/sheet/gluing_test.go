package sheet

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/setup"
)

// gluedSample is a board 50 wide pushed to the left: a film of 0.05 under the plate, whose window stands
// 0.5 off to the left, and wedges to the right.
func gluedSample() *jig.Design {
	rect := func(l, r float64) geom.Loop { return geom.Rect(geom.Box{Min: v(0, r), Max: v(400, l)}) }
	layer := func(name string, from, to float64, outline, window geom.Loop) setup.Layer {
		return setup.Layer{Name: name, Material: "stuff", FromMM: from, ToMM: to, Outline: outline, Window: window}
	}
	window := rect(25.5, -45)
	return &jig.Design{
		Board: jig.Board{Outline: rect(25, -25), ThicknessMM: 6.5},
		Rails: &jig.Rails{StripMM: 1, EdgeMM: 6.5, BearingMM: 1.45, Sheet: &jig.RailSheet{
			Lands:  [][2]geom.Vec{{v(110, 25.5), v(90, 25.5)}, {v(0, 20), v(0, -20)}},
			Wedges: []plate.Wedge{{At: v(300, -25), Push: v(0, 1), LengthMM: 60}},
		}},
		Setups: []setup.Setup{{ID: setup.GlueUp, Stack: []setup.Layer{
			layer("blank", 0, 28, rect(60, -60), nil), layer("board", 28, 34.5, rect(25, -25), nil),
			layer(setup.Film, 28, 28.05, rect(55, -55), window),
			layer(setup.GluingPlate, 28.05, 33.05, rect(55, -55), window),
			layer(setup.Wedges, 28.05, 33.05, rect(-25, -41), nil),
			layer(setup.Pad, 34.5, 36.5, rect(25, -25), nil), layer(setup.Caul, 36.5, 46.5, rect(25, -25), nil),
		}}},
	}
}

// TestGluing: section B-B steps from a land to a pair of wedges, draws the pair in two pieces and names
// every layer once, no name on another.
func TestGluing(t *testing.T) {
	d := to(gluedSample(), 1)
	if u := gluingStations(d); u != [2]float64{100, 300} {
		t.Errorf("stations %v", u)
	}
	f := gluing(d)
	apart(t, f)
	for _, name := range []string{"blank", "board", setup.Film, setup.GluingPlate, setup.Wedges, setup.Pad, setup.Caul} {
		if n := len(texts(f, name+", stuff")); n != 1 {
			t.Errorf("%s is named %d times", name, n)
		}
	}
	between := false // the two wedges of a pair
	for _, it := range f.Items {
		if s, ok := it.(picture.Stroke); ok {
			b := s.Path.Bounds()
			between = between || lies(b.Min, v(33, 28.05)) && lies(b.Max, v(33, 33.05))
		}
	}
	if !between {
		t.Error("a pair of wedges is drawn as one piece")
	}
}

func lies(p, q geom.Vec) bool { return p.Dist(q) < 1e-6 }

// TestGluingEdge: detail C shows the board's edge five times as large, a film's heavy line up the wall
// half a millimetre beside it and no farther.
func TestGluingEdge(t *testing.T) {
	d := to(gluedSample(), 0.2)
	f := gluingEdge(d)
	apart(t, f)
	edge, land := -25.0*5, 28.0*5
	up, under := false, false
	for _, it := range f.Items {
		s, ok := it.(picture.Stroke)
		if !ok || s.Pen != block.PenFilm {
			continue
		}
		b := s.Path.Bounds()
		up = up || lies(b.Min, v(edge-2.5, land)) && lies(b.Max, v(edge-2.5, 33.05*5))
		under = under || lies(b.Min, v(edge-25, land)) && lies(b.Max, v(edge-2.5, land))
	}
	if !up || !under {
		t.Errorf("film under the plate %v, up its wall %v", under, up)
	}
	for _, says := range []string{"1.45", "strip 1", setup.Film + " 0.05", "5:1"} {
		if len(texts(f, says)) != 1 {
			t.Errorf("%q is missing", says)
		}
	}
	if f := gluingEdge(to(&jig.Design{}, 0.2)); f != nil {
		t.Error("an edge of nothing")
	}
}

// texts are those that contain some words.
func texts(f *block.Figure, words string) (out []picture.Text) {
	for _, it := range f.Items {
		if s, ok := it.(picture.Text); ok && strings.Contains(s.S, words) {
			out = append(out, s)
		}
	}
	return out
}

// apart fails where a text lies on another.
func apart(t *testing.T, f *block.Figure) {
	t.Helper()
	all := texts(f, "")
	for i, a := range all {
		for _, b := range all[:i] {
			if block.Overlap(a.Ink(), b.Ink()) {
				t.Errorf("%q lies on %q", a.S, b.S)
			}
		}
	}
}

// What is left of a polygon in a box lies in it and, off the box's sides, in the polygon, and is all of
// that: its area is what a fine grid counts.
func TestWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		poly := make([]geom.Vec, 5)
		for i := range poly { // star-shaped about the origin
			poly[i] = geom.Polar(rapid.Float64Range(1, 10).Draw(t, "r"), 2*math.Pi*float64(i)/5)
		}
		x, y := rapid.Float64Range(-9, 5).Draw(t, "x"), rapid.Float64Range(-9, 5).Draw(t, "y")
		in := geom.Box{Min: v(x, y), Max: v(x+4, y+3)}
		got, loop := within(poly, in), geom.FromPoints(poly)
		area, want := 0.0, 0.0
		if len(got) > 2 {
			area = geom.FromPoints(got).Area()
		}
		for _, p := range got {
			rim := p.X == in.Min.X || p.X == in.Max.X || p.Y == in.Min.Y || p.Y == in.Max.Y
			if !in.Grow(1e-9).Contains(p) || loop.Depth(p) < -1e-9 && !rim {
				t.Fatalf("%v lies outside", p)
			}
		}
		const n = 60
		for i := range n {
			for j := range n {
				if loop.Contains(v(x+4*(float64(i)+0.5)/n, y+3*(float64(j)+0.5)/n)) {
					want += 12.0 / n / n
				}
			}
		}
		if math.Abs(area-want) > 0.3 {
			t.Fatalf("area %.3f, want %.3f", area, want)
		}
	})
}
