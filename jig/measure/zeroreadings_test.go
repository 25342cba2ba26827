package measure

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestReadZero(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []ZeroTouch
	}{
		{"edges", "kind,x_mm,y_mm\nLeft,1,2\n# again\nstart,3,4\n", []ZeroTouch{{Line: 2, Kind: TouchLeft, At: vec(1, 2)}, {Line: 4, Kind: TouchStart, At: vec(3, 4)}}},
		{"with a top", "kind,x_mm,y_mm,z_mm,feeler_mm\ntop,1,2,-3.5,0.1\nright,5,6,,\n", []ZeroTouch{
			{Line: 2, Kind: TouchTop, At: vec(1, 2), ZMM: -3.5, FeelerMM: 0.1}, {Line: 3, Kind: TouchRight, At: vec(5, 6)},
		}},
		{"inches, other order", "\ufefffeeler_in,z_in,kind,y_in,x_in\r\n0.5,-1,top,2,1\r\n", []ZeroTouch{{Line: 2, Kind: TouchTop, At: vec(25.4, 50.8), ZMM: -25.4, FeelerMM: 12.7}}},
		{"a rim", "kind,x_in,y_in\nrim,0,0\nrim,1,0\nrim,0,1\n", []ZeroTouch{
			{Line: 2, Kind: TouchRim}, {Line: 3, Kind: TouchRim, At: vec(25.4, 0)}, {Line: 4, Kind: TouchRim, At: vec(0, 25.4)},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadZero("z.csv", []byte(c.text))
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestReadZeroFaults(t *testing.T) {
	const head, deep = "kind,x_mm,y_mm\n", "kind,x_mm,y_mm,z_mm,feeler_mm\n"
	for _, c := range []struct {
		name, text string
		want       []string // start of each message, all of them, in order
	}{
		{"empty", "", []string{"z.csv: holds no header (start with the line kind,x_mm,y_mm)"}},
		{"no touches", head, []string{"z.csv: holds no touches"}},
		{"misspelt", head + "lfet,1,2\n", []string{`z.csv:2:1: unknown kind of touch "lfet" (did you mean "left"?)`}},
		{"unknown", head + "bottom,1,2\n", []string{`z.csv:2:1: unknown kind of touch "bottom" (it is one of rim, left, right, start, top)`}},
		{"decimal comma", head + "left,1,5,2\n", []string{"z.csv:2:1: 4 fields, the header has 3 (a decimal comma"}},
		{"text", head + "left,one,2\nright,3 mm,nan\n", []string{`z.csv:2:6: x_mm "one" is not a number`, `z.csv:3:7: x_mm "3 mm" is not a number (the unit stands in the header; write 3)`, `z.csv:3:12: y_mm "nan" is not a number`}},
		{"top without height", head + "top,1,2\n", []string{"z.csv:2:1: a touch of the top has no height (give the file the columns kind,x_mm,y_mm,z_mm,feeler_mm)"}},
		{"top without height, inches", "kind,x_in,y_in\ntop,1,2\n", []string{"z.csv:2:1: a touch of the top has no height (give the file the columns kind,x_in,y_in,z_in,feeler_in)"}},
		{"height of an edge", deep + "left,1,2,3,0.1\n", []string{`z.csv:2:10: z_mm "3" stands in a line that is not of the top`, `z.csv:2:12: feeler_mm "0.1" stands`}},
		{"no feeler", deep + "top,1,2,3,\n", []string{"z.csv:2:11: feeler_mm is empty"}},
		{"feeler below nothing", deep + "top,1,2,3,-0.1\n", []string{"z.csv:2:11: feeler_mm -0.1 is no thickness"}},
		{"mixed units", "kind,x_mm,y_in\n", []string{`z.csv:1:11: unknown column "y_in" (did you mean "y_mm"?)`}},
		{"twice", head + "left,1,2\nleft,1.0,2\n", []string{"z.csv:3:1: the same touch as on line 2"}},
		{"two of a rim", head + "left,1,2\nrim,1,2\nrim,3,2\n", []string{"z.csv:3:1: 2 of the three points that a rim needs"}},
		{"beyond", head + "left,1e6,2\n", []string{"z.csv:2:6: x_mm 1e6 is beyond 100 m"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadZero("z.csv", []byte(c.text))
			var f Faults
			if !errors.As(err, &f) {
				t.Fatalf("%v", err)
			}
			for i, x := range f {
				if i >= len(c.want) || !strings.HasPrefix(x.String(), c.want[i]) {
					t.Errorf("fault %d: %s", i, x)
				}
			}
			if len(f) != len(c.want) {
				t.Errorf("%d faults, want %d: %v", len(f), len(c.want), err)
			}
		})
	}
}

func FuzzReadZero(f *testing.F) {
	for _, s := range []string{
		"kind,x_mm,y_mm\nleft,1,2\n", "kind,x_in,y_in,z_in,feeler_in\ntop,1,2,3,0.004\nrim,1,1,,\nrim,2,1,,\nrim,1,3,,\n",
		"\ufeffkind,x_mm,y_mm\r\n\"rim\",1e3,-.5\r\n", "kind;x_mm\n", "kind,x_mm,y_mm\nrim,1,2\nrim,1,2\n", "kind,x_mm,y_mm,z_mm,feeler_mm\nstart,1,2,,0\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		touches, err := ReadZero("z.csv", data)
		if err != nil {
			if !errors.As(err, new(Faults)) || len(touches) != 0 || len(err.Error()) == 0 {
				t.Fatalf("%v with %v", err, touches)
			}
			return
		}
		if len(touches) == 0 {
			t.Fatal("neither touches nor an error")
		}
		last := 0
		for _, z := range touches {
			if z.Line <= last || !finite(z.At.X, z.At.Y, z.ZMM, z.FeelerMM) || z.FeelerMM < 0 || z.Kind != TouchTop && (z.ZMM != 0 || z.FeelerMM != 0) {
				t.Fatalf("%+v", z)
			}
			last = z.Line
		}
		// Whatever was read, the answers are finite or typed errors.
		if c, err := ZeroCircle(Rim(touches), RimSpec{}); err == nil && !finite(c.Center.X, c.Center.Y) {
			t.Fatalf("%+v", c)
		}
		if e, err := ZeroEdges(touches, zeroBoard()); err == nil && !(math.Abs(e.AngleRad) <= mostSkewRad && finite(e.AlongMM, e.AcrossMM)) {
			t.Fatalf("%+v", e)
		}
		if h, err := ZeroZ(touches, TopSpec{CrownRadiusMM: 300}); err == nil && math.IsNaN(h.ZMM) {
			t.Fatalf("%+v", h)
		}
	})
}
