package stroke_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// near: what a few additions of lengths up to metres may lose, in mm.
var near = cmpopts.EquateApprox(0, 1e-9)

// The start end's mark, centred on the point (40, 12) of a plate and read from
// the plate's right side.
func ExampleText() {
	mark, err := stroke.Text("Start ↑", 5)
	if err != nil {
		fmt.Println(err)
		return
	}
	turn := geom.Rigid{Angle: math.Pi / 2}
	turn.Shift = geom.Vec{X: 40, Y: 12}.Sub(turn.Apply(stroke.Bounds(mark).Center()))
	b := stroke.Bounds(stroke.Place(mark, turn))
	fmt.Printf("%d strokes from %.2f, %.2f to %.2f, %.2f\n", len(mark), b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)

	_, err = stroke.Text("Größe 5", 5)
	fmt.Println(err)
	// Output:
	// 12 strokes from 37.50, -1.65 to 42.50, 25.65
	// no letter for 'ö'; there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓
}

// By hand: an L of 5 mm is a stem, a corner and a foot of 0.48 x 5 = 2.4 mm; its box
// begins 0.19 x 5 = 0.95 mm before the stem and ends 0.65 mm behind the foot, 4 mm
// in all. A space is half a height.
func TestTextByHand(t *testing.T) {
	got, err := stroke.Text("l L", 5)
	if err != nil {
		t.Fatal(err)
	}
	want := [][]geom.Vec{
		{{X: 0.95, Y: 5}, {X: 0.95, Y: 0}, {X: 3.35, Y: 0}},
		{{X: 7.45, Y: 5}, {X: 7.45, Y: 0}, {X: 9.85, Y: 0}},
	}
	if d := cmp.Diff(want, got, near); d != "" {
		t.Error(d)
	}
	// A quarter turn left about the origin, then 100 along: (x, y) -> (100 - y, x).
	turned := stroke.Place(got[:1], geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: 100}})
	if d := cmp.Diff([][]geom.Vec{{{X: 95, Y: 0.95}, {X: 100, Y: 0.95}, {X: 100, Y: 3.35}}}, turned, near); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(want, got, near); d != "" {
		t.Errorf("the given strokes were moved: %s", d)
	}
	if none, err := stroke.Text("  ", 5); err != nil || none != nil || stroke.Bounds(none) != geom.EmptyBox() {
		t.Errorf("spaces: %v, %v", none, err)
	}
}

func TestTextRefuses(t *testing.T) {
	for _, text := range []string{"Birne Ä", "абв", "A\nB", "A\xff"} {
		if got, err := stroke.Text(text, 5); err == nil || got != nil || !strings.HasPrefix(err.Error(), "no letter for '") {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
}
