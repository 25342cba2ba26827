package foolproof

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

var update = flag.Bool("update", false, "write testdata/ways.txt anew")

// The ways into windows of boards of all kinds, symmetrical ones too, are the same on processors that
// round products and on those that do not; .ci/run tests on both.
func TestWaysSteady(t *testing.T) {
	pts := func(xy ...float64) (l geom.Loop) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Vertex{Vec: geom.Vec{X: xy[i], Y: xy[i+1]}})
		}
		return l
	}
	tray := pts(0, -30, 160, -30, 160, 30, 60, 30, 60, 20, 40, 20, 40, 30, 0, 30)
	tray[1].Bulge = 0.5774
	var out strings.Builder
	for _, c := range []struct {
		name  string
		board geom.Loop
	}{
		{"square", pts(0, 0, 60, 0, 60, 60, 0, 60)}, {"rectangle", pts(0, 0, 100, 0, 100, 40, 0, 40)},
		{"taper", geom.Taper(478, 41.5, 55)}, {"triangle", pts(0, 0, 90, 0, 30, 60)},
		{"ell", pts(0, 0, 120, 0, 120, 40, 50, 40, 50, 90, 0, 90)}, {"tray", tray},
		{"disc", geom.Slot(geom.Vec{X: 40}, 0, 0, 80)}, {"stadium", geom.Slot(geom.Vec{X: 60}, 0.3, 80, 40)},
		{"half disc", geom.Loop{{Vec: geom.Vec{X: 50}, Bulge: 1}, {Vec: geom.Vec{X: -50}}}},
		{"hexagon", geom.FromPoints(geom.Slot(geom.Vec{}, 0, 0, 80).Flatten(5))},
		{"bridge", geom.Loop{
			{Vec: geom.Vec{X: 0, Y: -12}, Bulge: 0.12}, {Vec: geom.Vec{X: 150, Y: -12}},
			{Vec: geom.Vec{X: 150, Y: 10}, Bulge: -0.15}, {Vec: geom.Vec{X: 0, Y: 10}},
		}},
	} {
		for _, gap := range []float64{0.1, 1, 4} {
			window := offset.Grow([]geom.Loop{c.board}, gap, offset.Mitre)[0]
			for _, w := range WaysIn(window, c.board) {
				fmt.Fprintf(&out, "%s, %g: %.0f over %t lacks %.2f\n", c.name, gap, w.Angle*57.29577951308232, w.Over, w.LackMM)
			}
		}
	}
	const file = "testdata/ways.txt"
	if *update {
		if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if out.String() != string(want) {
		t.Errorf("the ways are now\n%s", out.String())
	}
}
