package reading

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
)

// readers are the three kinds of readings files.
var readers = map[string]func(string, []byte) ([]Reading, error){"datum": Datum, "marks": Marks,
	"touches": Touches}

func TestRead(t *testing.T) {
	two := []Reading{{Line: 2, On: OnLeft, At: vec(-20.75, 3)}, {Line: 3, On: OnLeft, At: vec(-27, 470.5)}}
	later := []Reading{{Line: 4, On: OnLeft, At: vec(-20.75, 3)}, {Line: 5, On: OnLeft, At: vec(-27, 470.5)}}
	for _, c := range []struct {
		name, reader, text string
		want               []Reading
	}{
		{"plain", "datum", "on,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5\n", two},
		{"no newline at the end", "datum", "on,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5", two},
		{"saved on Windows, with a byte order mark", "datum", "\ufeffon,x_mm,y_mm\r\nleft,-20.75,3\r\nleft,-27,470.5\r\n",
			two},
		{"columns in another order, blanks, capitals", "datum", "Y_mm, X_mm , ON\n3, -20.75 ,Left\n470.5,-27,LEFT\n", two},
		{"comments and empty lines", "datum", "# taken on Monday\n\non,x_mm,y_mm\nleft,-20.75,3\nleft,-27,470.5\n\n# end\n",
			later},
		{"quotes", "datum", "\"on\",\"x_mm\",\"y_mm\"\n\"left\",\"-20.75\",3\nleft,\"-27\",\"470.5\"\n", two},
		{"exponents and signs", "datum", "on,x_mm,y_mm\nleft,-2.075e1,+3\nleft,-27.000,4705E-1\n", two},
		{"inches", "datum", "on,x_in,y_in\nleft,-0.5,0.25\nleft,1,20\n", []Reading{{Line: 2, On: OnLeft, At: vec(-12.7,
			6.35)}, {Line: 3, On: OnLeft, At: vec(25.4, 508)}}},
		{"dial", "datum", "dial_mm,on,station_mm\n0.02,right,10\n-0.03,right,400\n", []Reading{
			{Line: 2, On: OnRight, At: vec(10, 0.02), Dial: true}, {Line: 3, On: OnRight, At: vec(400, -0.03), Dial: true},
		}},
		{"dial in inches", "datum", "on,station_in,dial_in\nleft,0.5,0.5\nleft,10,0.25\n", []Reading{
			{Line: 2, On: OnLeft, At: vec(12.7, 12.7), Dial: true}, {Line: 3, On: OnLeft, At: vec(254, 6.35), Dial: true},
		}},
		{"the same point on another line of the " +
			"board", "datum", "on,x_mm,y_mm\nleft,1,2\nleft,1,100\nright,1,2\nright,1,100\n", []Reading{
			{Line: 2, On: OnLeft, At: vec(1, 2)}, {Line: 3, On: OnLeft, At: vec(1, 100)}, {Line: 4, On: OnRight, At: vec(1,
				2)}, {Line: 5, On: OnRight, At: vec(1, 100)},
		}},
		{"marks", "marks", "name,x_mm,y_mm\n\"dot 3\",-0.5,87\nLeft,12.7,254\n", []Reading{{Line: 2, On: "dot 3",
			At: vec(-0.5, 87)}, {Line: 3, On: "Left", At: vec(12.7, 254)}}},
		{"a mark twice", "marks", "name,x_in,y_in\np,0.5,-10\np,0.5,-20\n", []Reading{{Line: 2, On: "p", At: vec(12.7,
			-254)}, {Line: 3, On: "p", At: vec(12.7, -508)}}},
		{"edges", "touches", "kind,x_mm,y_mm\nLeft,1,2\n# again\nstart,3,4\n", []Reading{{Line: 2, On: OnLeft, At: vec(1,
			2)}, {Line: 4, On: OnStart, At: vec(3, 4)}}},
		{"with a top", "touches", "kind,x_mm,y_mm,z_mm,feeler_mm\ntop,1,2,-3.5,0.1\nright,5,6,,\n", []Reading{
			{Line: 2, On: OnTop, At: vec(1, 2), ZMM: -3.5, FeelerMM: 0.1}, {Line: 3, On: OnRight, At: vec(5, 6)},
		}},
		{"a top in inches, other order", "touches", "\ufefffeeler_in,z_in,kind,y_in,x_in\r\n0.5,-1,top,2,1\r\n", []Reading{
			{Line: 2, On: OnTop, At: vec(25.4, 50.8), ZMM: -25.4, FeelerMM: 12.7},
		}},
		{"a rim", "touches", "kind,x_in,y_in\nrim,0,0\nrim,1,0\nrim,0,1\n", []Reading{
			{Line: 2, On: OnRim}, {Line: 3, On: OnRim, At: vec(25.4, 0)}, {Line: 4, On: OnRim, At: vec(0, 25.4)},
		}},
	} {
		got, err := readers[c.reader]("r.csv", []byte(c.text))
		if d := cmp.Diff(c.want, got); d != "" || err != nil {
			t.Errorf("%s: %v\n%s", c.name, err, d)
		}
	}
}

func TestReadFaults(t *testing.T) {
	const head, marks, touches, deep = "on,x_mm,y_mm\n", "name,x_mm,y_mm\n", "kind,x_mm,y_mm\n",
		"kind,x_mm,y_mm,z_mm,feeler_mm\n"
	for _, c := range []struct {
		name, reader, text string
		want               []string // start of each message, all of them, in order
	}{
		{"empty", "datum", "", []string{"r.csv: holds no header (start with the line on,x_mm,y_mm)"}},
		{"only comments", "marks", "# nothing\n\n", []string{"r.csv: holds no header (start with the line name,x_mm,y_mm)"}},
		{"no readings", "datum", head, []string{"r.csv: holds no readings (measure at least two points"}},
		{"no marks", "marks", marks, []string{"r.csv: holds no readings (measure two marks far apart"}},
		{"no touches", "touches", touches, []string{"r.csv: holds no touches"}},
		{"binary", "datum", "on\x00,x", []string{"r.csv: is not text"}},
		{"not UTF-8", "datum", "on,x_mm,y_mm\nl\xe9ft,1,2\n", []string{"r.csv: is not text"}},
		{"escape sequence", "marks", marks + "dot 3,1,2\ndöt\x1b[31m,1,3\n",
			[]string{"r.csv:3:4: the control character U+001B"}},
		{"written from right to left", "marks", marks + "dot \u202e3,1,2\n",
			[]string{"r.csv:2:5: the control character U+202E"}},
		{"too large", "datum", strings.Repeat("#\n", largestTable), []string{"r.csv: is 33554432 bytes long"}},
		{"semicolons", "datum", "on;x_mm;y_mm\nleft;1,5;2\n",
			[]string{`r.csv:1:1: fields are separated by ";" (separate them by commas and write decimals with a point)`}},
		{"tabs", "datum", "on\tx_mm\ty_mm\n", []string{`r.csv:1:1: fields are separated by "\t"`}},
		{"unknown, doubled and missing columns at once", "datum", "on,x_mm,x_mm,height\n", []string{
			`r.csv:1:9: column "x_mm" stands twice`, `r.csv:1:14: unknown column "height" (the columns are on, x_mm, y_mm)`,
			`r.csv:1:1: column "y_mm" is missing`,
		}},
		{"unit left out: named " +
			"once", "datum", "on,x,y_mm\n", []string{`r.csv:1:4: unknown column "x" (did you mean "x_mm"?)`}},
		{"millimetres and inches mixed", "touches", "kind,x_mm,y_in\n",
			[]string{`r.csv:1:11: unknown column "y_in" (did you mean "y_mm"?)`}},
		{"points and dial mixed", "datum", "on,station_mm,y_mm,dial_mm\n",
			[]string{`r.csv:1:15: unknown column "y_mm" (the columns are on, station_mm, dial_mm)`}},
		{"dial on the datum line", "datum", "on,station_mm,dial_mm\ndatum,1,2\nrigth,5,6\n", []string{
			`r.csv:2:1: on "datum" is not known (it is one of left, right)`,
			`r.csv:3:1: on "rigth" is not known (did you mean "right"?)`,
		}},
		{"inches beyond 100 m", "datum", "on,x_in,y_in\nleft,5000,2\nleft,1,2\n",
			[]string{"r.csv:2:6: x_in 5000 is beyond 100 m"}},
		{"decimal comma", "datum", head + "left,1,5,2\nleft,1,100\n",
			[]string{"r.csv:2:1: 4 fields, the header has 3 (a decimal comma splits a number in two; write 12.5, not 12,5)"}},
		{"decimal comma in quotes", "datum", head + "left,\"1,5\",2\nleft,1,100\n",
			[]string{`r.csv:2:6: x_mm "1,5" has a decimal comma (write a decimal point: 1.5)`}},
		{"field missing", "datum", head + "left,1\nleft,1,100\n", []string{"r.csv:2:1: 2 fields, the header has 3 (every " +
			"line has one field per column)"}},
		{"word misspelt", "datum", head + "lefft,1,2\ntop,1,2\n", []string{
			`r.csv:2:1: on "lefft" is not known (did you mean "left"?)`,
			`r.csv:3:1: on "top" is not known (it is one of datum, left, right)`,
		}},
		{"not numbers", "datum", head + "left,nan,2\nleft,1,+Inf\nleft,0x1p4,1_0\nleft,,3\nleft,twelve,1\nleft,1e999,1\n",
			[]string{
				`r.csv:2:6: x_mm "nan" is not a number`, `r.csv:3:8: y_mm "+Inf" is not a number`,
				`r.csv:4:6: x_mm "0x1p4" is not a number`,
				`r.csv:4:12: y_mm "1_0" is not a number`, `r.csv:5:6: x_mm is empty`,
				`r.csv:6:6: x_mm "twelve" is not a number (write a plain number, such as 12.35)`,
				`r.csv:7:6: x_mm "1e999" is not a number`,
			}},
		{"units in fields", "datum", head + "left,12.5 mm,2\nleft,1 in,100\n", []string{
			`r.csv:2:6: x_mm "12.5 mm" is not a number (the unit stands in the header; write 12.5)`,
			`r.csv:3:6: x_mm "1 in" is not a number (write millimetres (1 in is 25.4 mm))`,
		}},
		{"doubled point", "datum", head + "left,1,2\nleft,1,100\nleft,1.0,2.00\n",
			[]string{"r.csv:4:1: the same reading as on line 2"}},
		{"too few on one edge", "datum", head + "left,1,2\nleft,1,100\nright,40,2\n",
			[]string{"r.csv:4:1: the only point on right (one point gives no direction"}},
		{"column counted in characters", "datum", "# Länge\non,x_mm,y_mm\n\"lëft\",x1,2\nleft,1,100\n", []string{
			`r.csv:3:1: on "lëft" is not known`, `r.csv:3:8: x_mm "x1" is not a number`,
		}},
		{"no name", "marks", marks + ",1,2\n", []string{"r.csv:2:1: name is empty"}},
		{"unknown " +
			"kind", "touches", touches + "bottom,1,2\n",
			[]string{`r.csv:2:1: kind "bottom" is not known (it is one of rim, left, right, start, top)`}},
		{"top without height", "touches", touches + "top,1,2\n", []string{"r.csv:2:1: a touch of the top has no height " +
			"(give the file the columns kind,x_mm,y_mm,z_mm,feeler_mm)"}},
		{"top without height, inches", "touches", "kind,x_in,y_in\ntop,1,2\n",
			[]string{"r.csv:2:1: a touch of the top has no height (give the file the columns kind,x_in,y_in,z_in,feeler_in)"}},
		{"height of an " +
			"edge", "touches", deep + "left,1,2,3,0.1\n",
			[]string{`r.csv:2:10: z_mm "3" stands in a line that is not of the top`, `r.csv:2:12: feeler_mm "0.1" stands`}},
		{"no feeler", "touches", deep + "top,1,2,3,\n", []string{"r.csv:2:11: feeler_mm is empty"}},
		{"feeler below nothing", "touches", deep + "top,1,2,3,-0.1\n",
			[]string{"r.csv:2:11: feeler_mm -0.1 is no thickness"}},
		{"two of a rim", "touches", touches + "left,1,2\nrim,1,2\nrim,3,2\n",
			[]string{"r.csv:3:1: 2 of the three points that a rim needs"}},
	} {
		got, err := readers[c.reader]("r.csv", []byte(c.text))
		if err == nil || got != nil {
			t.Errorf("%s: read as %v", c.name, got)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(c.want) {
			t.Errorf("%s: %d faults, want %d:\n%v", c.name, len(lines), len(c.want), err)
			continue
		}
		for i, want := range c.want {
			if !strings.HasPrefix(lines[i], want) {
				t.Errorf("%s: %s\nwant %s", c.name, lines[i], want)
			}
		}
	}
	// A file of the wrong kind must not print a fault for every line.
	_, err := Datum("r.csv", []byte("on,x_mm,y_mm\n"+strings.Repeat("left,a,b\n", 1000)))
	if err == nil || strings.Count(err.Error(), "\n") > FaultsShown+2 || !strings.Contains(err.Error(),
		"mend these first") {
		t.Errorf("%v", err)
	}
}

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
