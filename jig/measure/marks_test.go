package measure

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
)

func TestReadMarks(t *testing.T) {
	want := []MarkReading{{2, "dot 3", vec(-0.5, 87)}, {3, "left", vec(12.7, 254)}}
	for _, c := range []struct {
		name, text string
		shift      int // lines before the header
	}{
		{"plain", "name,x_mm,y_mm\ndot 3,-0.5,87\nleft,12.7,254\n", 0},
		{"comments, columns in another order, quotes, Windows", "\ufeff# Monday\r\ny_mm,X_mm, Name\r\n87,-0.5,\"dot 3\"\r\n254,12.7,left", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadMarks("m.csv", []byte(c.text))
			if err != nil {
				t.Fatal(err)
			}
			for i := range got {
				got[i].Line -= c.shift
			}
			if d := cmp.Diff(want, got); d != "" {
				t.Error(d)
			}
		})
	}
	got, err := ReadMarks("m.csv", []byte("name,x_in,y_in\npin 1,0.5,-10\n"))
	if err != nil || len(got) != 1 || got[0].At != vec(12.7, -254) {
		t.Errorf("inches: %+v, %v", got, err)
	}
}

func TestReadMarksFaults(t *testing.T) {
	const head = "name,x_mm,y_mm\n"
	for _, c := range []struct {
		name, text string
		want       []string // start of each message, all of them, in order
	}{
		{"empty", "", []string{"m.csv: holds no header (start with the line name,x_mm,y_mm)"}},
		{"no readings", head, []string{"m.csv: holds no readings (measure two marks far apart"}},
		{"unit left out", "name,x,y\n", []string{`m.csv:1:6: unknown column "x" (did you mean "x_mm"?)`, `m.csv:1:8: unknown column "y" (did you mean "y_mm"?)`}},
		{"units mixed", "name,x_in,y_mm\n", []string{`m.csv:1:6: unknown column "x_in" (did you mean "x_mm"?)`}},
		{"decimal commas, in quotes and not", head + "a,1,5,2\nb,\"1,5\",2\n", []string{"m.csv:2:1: 4 fields, the header has 3 (a decimal comma splits", `m.csv:3:3: x_mm "1,5" has a decimal comma (write a decimal point: 1.5)`}},
		{"text in numbers", head + "a,12 mm,x\n", []string{`m.csv:2:3: x_mm "12 mm" is not a number (the unit stands in the header; write 12)`, `m.csv:2:9: y_mm "x" is not a number`}},
		{"no name", head + ",1,2\n", []string{"m.csv:2:1: name is empty"}},
		{"the same line twice", head + "a,1,2\na,1.0,2\n", []string{"m.csv:3:1: the same reading as on line 2"}},
		{"the same mark twice is none", head + "a,1,2\na,1.1,2\n", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadMarks("m.csv", []byte(c.text))
			if c.want == nil {
				if err != nil {
					t.Error(err)
				}
				return
			}
			var faults Faults
			if !errors.As(err, &faults) || got != nil || len(faults) != len(c.want) {
				t.Fatalf("readings %v, error %v; want %d faults and no readings", got, err, len(c.want))
			}
			for i, f := range faults {
				if !strings.HasPrefix(f.String(), c.want[i]) {
					t.Errorf("fault %d: %s", i, f)
				}
			}
		})
	}
}

// Whatever the bytes, the reader answers with sound readings or with faults that
// have a place; readings survive being written and read again, and Locate behind
// gives finite figures or an error with a type.
func FuzzReadMarks(f *testing.F) {
	for _, s := range []string{
		"", "name,x_mm,y_mm\npeg mark,5,20\ndot 15,0.1,382\nleft,-25,400\n", "name,x_in,y_in\ndot 3,0,3.4\ndot 15,0,15\n",
		"name,x_mm,y_mm\ndot 3,87,0\ndot 15,382,0\n", "name,x_mm,y_mm\nstart,3,0\nleft,-21,3\nright,27,460\n", "name,x_mm,y_mm\ndot 3,0,87\ndot 3,0.1,87\ndot 12 left,-11,330\nnone,1,1\n",
		"name;x", "name,x_mm,y_mm\n,nan,1e9\n", "name,x_mm,y_mm\nleft,1,1\nleft,1,2\nleft,5,9\n",
	} {
		f.Add([]byte(s))
	}
	spec := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	spec.ProbeRadiusMM = 1.5
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadMarks("f.csv", data)
		if err != nil {
			var faults Faults
			if !errors.As(err, &faults) || len(faults) == 0 || r != nil {
				t.Fatalf("readings %v, error %#v", r, err)
			}
			return
		}
		var b strings.Builder
		b.WriteString("name,x_mm,y_mm\n")
		for _, x := range r {
			name := x.Name
			if strings.ContainsAny(name, "\"#,") {
				name = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
			}
			fmt.Fprintf(&b, "%s,%g,%g\n", name, x.At.X, x.At.Y)
		}
		again, err := ReadMarks("f.csv", []byte(b.String()))
		if err != nil || len(again) != len(r) {
			t.Fatalf("%q read again: %v, %v", b.String(), again, err)
		}
		for i := range r {
			if again[i].Name != r[i].Name || again[i].At != r[i].At {
				t.Fatalf("%+v read again as %+v", r[i], again[i])
			}
		}
		for _, any := range []bool{false, true} {
			s := spec
			s.AnyAngle = any
			// Names of the board, so that the fit is reached.
			for i := range r {
				if !isEdge(r[i].Name) {
					r[i].Name = s.Marks[i%len(s.Marks)].Name
				}
			}
			l, err := Locate(r, s)
			if err != nil {
				continue
			}
			figures := []float64{l.AngleRad, l.RMSmm, l.Start.Lies.X, l.Start.Half.X, l.At.Lies.Y, l.At.Half.Y, l.Move.Shift.X}
			if l.Uncertainty != nil {
				figures = append(figures, l.Uncertainty.AngleSDRad, l.Uncertainty.AngleHalfRad)
			}
			if l.Scale != nil {
				figures = append(figures, l.Scale.Factor, l.Scale.Half)
			}
			for _, x := range l.Residuals {
				figures = append(figures, x.OffMM, x.Studentised)
			}
			for i, x := range figures {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("figure %d of %+v", i, l)
				}
			}
		}
	})
}
