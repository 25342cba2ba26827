package measure

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestReadReadings(t *testing.T) {
	want := []Reading{{Line: 2, On: OnLeft, At: vec(-20.75, 3)}, {Line: 3, On: OnLeft, At: vec(-27, 470.5)}}
	for _, c := range []struct {
		name, text string
		shift      int // lines before the header
	}{
		{"plain", "on,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5\n", 0},
		{"no newline at the end", "on,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5", 0},
		{"saved on Windows, with a byte order mark", "\ufeffon,x_mm,y_mm\r\nleft,-20.75,3\r\nleft,-27,470.5\r\n", 0},
		{"columns in another order, blanks, capitals", "Y_mm, X_mm , ON\n3, -20.75 ,Left\n470.5,-27,LEFT\n", 0},
		{"comments and empty lines", "# taken on Monday\n\non,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5\n\n# end\n", 2},
		{"quotes", "\"on\",\"x_mm\",\"y_mm\"\n\"left\",\"-20.75\",3\nleft,\"-27\",\"470.5\"\n", 0},
		{"exponents and signs", "on,x_mm,y_mm\nleft,-2.075e1,+3\nleft,-27.000,4705E-1\n", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadReadings("r.csv", []byte(c.text))
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
}

func TestReadOtherColumns(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []Reading
	}{
		{"inches", "on,x_in,y_in\nleft,-0.5,0.25\nleft,1,20\n", []Reading{{Line: 2, On: OnLeft, At: vec(-12.7, 6.35)}, {Line: 3, On: OnLeft, At: vec(25.4, 508)}}},
		{"dial", "dial_mm,on,station_mm\n0.02,right,10\n-0.03,right,400\n", []Reading{
			{Line: 2, On: OnRight, At: vec(10, 0.02), Dial: true}, {Line: 3, On: OnRight, At: vec(400, -0.03), Dial: true},
		}},
		{"dial in inches", "on,station_in,dial_in\nleft,0.5,0.5\nleft,10,0.25\n", []Reading{
			{Line: 2, On: OnLeft, At: vec(12.7, 12.7), Dial: true}, {Line: 3, On: OnLeft, At: vec(254, 6.35), Dial: true},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadReadings("r.csv", []byte(c.text))
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestReadReadingsFaults(t *testing.T) {
	const head = "on,x_mm,y_mm\n"
	for _, c := range []struct {
		name, text string
		want       []string // start of each message, all of them, in order
	}{
		{"empty", "", []string{"r.csv: holds no header (start with the line on,x_mm,y_mm)"}},
		{"only comments", "# nothing\n\n", []string{"r.csv: holds no header"}},
		{"no readings", head, []string{"r.csv: holds no readings (measure at least two points"}},
		{"binary", "on\x00,x", []string{"r.csv: is not text"}},
		{"not UTF-8", "on,x_mm,y_mm\nl\xe9ft,1,2\n", []string{"r.csv: is not text"}},
		{"too large", strings.Repeat("#\n", largestTable), []string{"r.csv: is 33554432 bytes long"}},
		{"semicolons", "on;x_mm;y_mm\nleft;1,5;2\n", []string{`r.csv:1:1: fields are separated by ";" (separate them by commas and write decimals with a point)`}},
		{"tabs", "on\tx_mm\ty_mm\n", []string{`r.csv:1:1: fields are separated by "\t"`}},
		{"unknown, doubled and missing columns at once", "on,x_mm,x_mm,height\n", []string{
			`r.csv:1:9: column "x_mm" stands twice`, `r.csv:1:14: unknown column "height" (the columns are on, x_mm, y_mm)`, `r.csv:1:1: column "y_mm" is missing`,
		}},
		{"unit left out: named once", "on,x,y_mm\n", []string{`r.csv:1:4: unknown column "x" (did you mean "x_mm"?)`}},
		{"millimetres and inches mixed", "on,x_mm,y_in\n", []string{`r.csv:1:9: unknown column "y_in" (did you mean "y_mm"?)`}},
		{"points and dial mixed", "on,station_mm,y_mm,dial_mm\n", []string{`r.csv:1:15: unknown column "y_mm" (the columns are on, station_mm, dial_mm)`}},
		{"side for on", "side,x_mm,y_mm\n", []string{`r.csv:1:1: unknown column "side" (the columns are on, x_mm, y_mm)`, `r.csv:1:1: column "on" is missing`}},
		{"dial on the datum line", "on,station_mm,dial_mm\ndatum,1,2\nrigth,5,6\n", []string{
			`r.csv:2:1: unknown line of the board "datum" (a dial runs along left or right)`, `r.csv:3:1: unknown line of the board "rigth" (did you mean "right"?)`,
		}},
		{"inches beyond 100 m", "on,x_in,y_in\nleft,5000,2\nleft,1,2\n", []string{"r.csv:2:6: x_in 5000 is beyond 100 m"}},
		{"decimal comma", head + "left,1,5,2\nleft,1,100\n", []string{"r.csv:2:1: 4 fields, the header has 3 (a decimal comma splits a number in two; write 12.5, not 12,5)"}},
		{"decimal comma in quotes", head + "left,\"1,5\",2\nleft,1,100\n", []string{`r.csv:2:6: x_mm "1,5" has a decimal comma (write a decimal point: 1.5)`}},
		{"field missing", head + "left,1\nleft,1,100\n", []string{"r.csv:2:1: 2 fields, the header has 3 (every line has one field per column)"}},
		{"word misspelt", head + "lefft,1,2\ndatm,1,100\ntop,1,2\n", []string{
			`r.csv:2:1: unknown line of the board "lefft" (did you mean "left"?)`, `r.csv:3:1: unknown line of the board "datm" (did you mean "datum"?)`,
			`r.csv:4:1: unknown line of the board "top" (a point lies on datum, left or right)`,
		}},
		{"not numbers", head + "left,nan,2\nleft,1,+Inf\nleft,0x1p4,1_0\nleft,,3\nleft,twelve,1\nleft,1e999,1\n", []string{
			`r.csv:2:6: x_mm "nan" is not a number`, `r.csv:3:8: y_mm "+Inf" is not a number`, `r.csv:4:6: x_mm "0x1p4" is not a number`,
			`r.csv:4:12: y_mm "1_0" is not a number`, `r.csv:5:6: x_mm is empty`, `r.csv:6:6: x_mm "twelve" is not a number (write a plain number, such as 12.35)`,
			`r.csv:7:6: x_mm "1e999" is not a number`,
		}},
		{"units in fields", head + "left,12.5 mm,2\nleft,1 in,100\n", []string{
			`r.csv:2:6: x_mm "12.5 mm" is not a number (the unit stands in the header; write 12.5)`, `r.csv:3:6: x_mm "1 in" is not a number (write millimetres (1 in is 25.4 mm))`,
		}},
		{"a kilometre", head + "left,1e6,2\nleft,1,100\n", []string{"r.csv:2:6: x_mm 1e6 is beyond 100 m"}},
		{"doubled point", head + "left,1,2\nleft,1,100\nleft,1.0,2.00\n", []string{"r.csv:4:1: the same point as on line 2"}},
		{"the same point on another line of the board is no double", head + "left,1,2\nleft,1,100\nright,1,2\nright,1,100\n", nil},
		{"too few on one edge", head + "left,1,2\nleft,1,100\nright,40,2\n", []string{"r.csv:4:1: the only point on right (one point gives no direction"}},
		{"column counted in characters", "# Länge\non,x_mm,y_mm\n\"lëft\",x1,2\nleft,1,100\n", []string{
			`r.csv:3:1: unknown line of the board "lëft" (did you mean "left"?)`, `r.csv:3:8: x_mm "x1" is not a number`,
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadReadings("r.csv", []byte(c.text))
			if c.want == nil {
				if err != nil {
					t.Error(err)
				}
				return
			}
			var faults Faults
			if !errors.As(err, &faults) || got != nil {
				t.Fatalf("readings %v, error %v; want Faults and no readings", got, err)
			}
			for i, f := range faults {
				if i >= len(c.want) || !strings.HasPrefix(f.String(), c.want[i]) {
					t.Errorf("fault %d: %s", i, f)
				}
			}
			if len(faults) < len(c.want) {
				t.Errorf("%d faults, want %d:\n%v", len(faults), len(c.want), err)
			}
			if !strings.HasPrefix(err.Error(), "r.csv") {
				t.Errorf("message %q", err)
			}
		})
	}
}

// A file of the wrong kind must not print a fault for every line.
func TestFaultsAreBounded(t *testing.T) {
	_, err := ReadReadings("r.csv", []byte("on,x_mm,y_mm\n"+strings.Repeat("left,a,b\n", 1000)))
	var faults Faults
	if !errors.As(err, &faults) || len(faults) > faultsShown+3 {
		t.Errorf("%d faults", len(faults))
	}
	if last := faults[len(faults)-1]; last.Says != "too many faults to go on" {
		t.Errorf("last: %s", last)
	}
}

// Whatever the bytes, the reader answers with sound readings or with faults that
// have a place; sound readings survive being written and read again, and the
// check behind gives figures or a typed error, never NaN.
func FuzzReadReadings(f *testing.F) {
	for _, s := range []string{
		"", "on,x_mm,y_mm\nleft,1,2\nleft,3,400\n", "on;x_mm\n", "\ufeffY_mm,on,x_mm\r\n1,datum,2\r\n300,datum,2\r\n",
		"on,x_mm,y_mm\n\"left\",\"1,5\",2\n", "on,x_mm,y_mm\nright,-0,1e-300\nright,0,9e4\n", "on,x_mm,y_mm,\n,,,\n", "\"", "on,x_mm,y_mm\nleft,nan,inf",
		"on,station_mm,dial_mm\nleft,10,0\nleft,200,0.05\nleft,460,0.1\n", "on,x_in,y_in\nleft,-0.8,1\nleft,-1,18\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadReadings("f.csv", data)
		if err != nil {
			var faults Faults
			if !errors.As(err, &faults) || len(faults) == 0 || r != nil {
				t.Fatalf("readings %v, error %#v", r, err)
			}
			for _, x := range faults {
				if x.Line < 0 || x.Line > strings.Count(string(data), "\n")+1 || x.Says == "" || x.Remedy == "" {
					t.Fatalf("fault %+v", x)
				}
			}
			return
		}
		var b strings.Builder
		b.WriteString("on,x_mm,y_mm\n")
		if r[0].Dial {
			b.Reset()
			b.WriteString("on,station_mm,dial_mm\n")
		}
		for _, x := range r {
			fmt.Fprintf(&b, "%s,%g,%g\n", x.On, x.At.X, x.At.Y)
		}
		again, err := ReadReadings("f.csv", []byte(b.String()))
		if err != nil || len(again) != len(r) {
			t.Fatalf("read again: %v, %v", again, err)
		}
		for i := range r {
			if again[i].On != r[i].On || again[i].At != r[i].At {
				t.Fatalf("%+v read again as %+v", r[i], again[i])
			}
		}
		rep, err := CheckDatum(r, bouzouki(longY))
		if err != nil {
			// Readings may well be of no board; each such fault has its type.
			var few *TooFewError
			var off *OffBoardError
			var skew *SkewError
			var exchanged *ExchangedError
			var inch *InchError
			var swapped *SwappedError
			if errors.As(err, &inch) || errors.As(err, &swapped) {
				return
			}
			if !errors.As(err, &few) && !errors.As(err, &off) && !errors.As(err, &skew) && !errors.As(err, &exchanged) {
				t.Fatal(err)
			}
			return
		}
		figures := []float64{rep.AngleRad, rep.RunoutMM, rep.OffsetMM, rep.RMSmm, rep.Tap.MM}
		if u := rep.Uncertainty; u != nil {
			figures = append(figures, u.AngleSERad, u.RunoutHalfMM, u.ResidualSDmm, u.BaselineMM, u.ExtrapolatedMM)
		}
		for i, x := range figures {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("figure %d of %+v", i, rep)
			}
		}
	})
}
