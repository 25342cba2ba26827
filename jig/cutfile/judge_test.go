package cutfile

import (
	"fmt"
	"strings"
	"testing"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/part"
	"reseat/jig/plate"
)

// TestHoles: at each limit, and a hundredth to either side of it.
func TestHoles(t *testing.T) {
	cut := func(s string) string { return "hole-cut-template " + s + ", " }
	sheet := func(s string) string { return "hole-in-sheet-template " + s + ", " }
	for _, tc := range []struct {
		name          string
		by            fit.ProcessKind
		thick         float64
		drawn, finish float64
		want          string
	}{
		{"as wide as the sheet is thick", fit.Laser, 6, 5.5, 6, cut("pass 5.5 3") + sheet("pass 6 6")},
		{"wider", fit.Laser, 3, 5.8, 6, cut("pass 5.8 1.5") + sheet("pass 6 3")},
		{"a hundredth narrower", fit.Laser, 6, 5.5, 5.99, cut("pass 5.5 3") + sheet("warn 5.99 6")},
		{"half as wide, drawn", fit.Laser, 6, 3, 3.2, cut("pass 3 3") + sheet("warn 3.2 6")},
		{"a hundredth under half", fit.Laser, 6, 2.99, 3.2, cut("fail 2.99 3") + sheet("warn 3.2 6")},
		{"under half until it is reamed", fit.Laser, 12, 5.5, 6.02, cut("fail 5.5 6") + sheet("warn 6.02 12")},
		{"a router cares for its cutter alone", fit.Router, 40, 5.5, 6, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := part.Part{Name: "template", Key: "template", ThicknessMM: tc.thick, Process: fit.Process{Kind: tc.by}}
			got := ""
			for _, f := range Judge(nil, []part.Part{p, {}}, []Hole{{"P1", "template", 9, 9}, {"P2", "template", tc.drawn, tc.finish},
				{"P3", "bed", 1, 1}}) {
				if f.ID != "size-in-file" {
					got += fmt.Sprint(f.ID, " ", f.Level, " ", f.Value, " ", f.Limit, ", ")
					if !strings.Contains(f.Says, "P2") || f.Key != "template.thickness" {
						t.Errorf("says %q (%s)", f.Says, f.Key)
					}
				}
			}
			if got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

// TestSizeShown: a file without room for its size is named with it.
func TestSizeShown(t *testing.T) {
	lay := func(file string, long, wide float64) plate.Sheet {
		edge := geom.Rect(geom.Box{Max: geom.Vec{X: long, Y: wide}})
		return plate.Lay(file, geom.Rigid{}, edge, plate.Compensation{}, plate.Stock{}, []plate.Shape{{Layer: plate.Edge, Loop: edge}})
	}
	for _, tc := range []struct {
		name, level string
		sheets      []plate.Sheet
		value       float64
		says        string
	}{
		{"room in each", "pass", []plate.Sheet{lay("a.dxf", 300, 80), lay("b.dxf", 90, 90)}, 2, "2 of 2 cut files"},
		{"no room in one", "warn", []plate.Sheet{lay("a.dxf", 300, 80), lay("b.dxf", 200, 3.5)}, 1, "b.dxf (200 x 3.5 mm)"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			f := Judge(tc.sheets, nil, nil)[0]
			if f.Level != tc.level || f.Value != tc.value || f.Limit != 2 || !strings.Contains(f.Says, tc.says) {
				t.Errorf("%+v", f)
			}
		})
	}
}
