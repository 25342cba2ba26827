package coupon

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

const head = "# coupon 0a1b2c3d, pin 6 m6\nid,kind,axis,face,drawn_mm,measured_mm,enters\n"

func value(v float64) *float64 { return &v }

// The form as programs for tables save it: all read the same.
func TestRead(t *testing.T) {
	want := Form{Checksum: "0a1b2c3d", PinMM: 6, PinClass: "m6", Rows: []Row{
		{ID: "H01", Kind: Hole, DrawnMM: 5.85, Measured: value(5.93), Enters: Tight},
		{ID: "H01-H02", Kind: Web, Axis: "x", DrawnMM: 6.5},
		{ID: "S01", Kind: Slot, Axis: "y", Face: Under, DrawnMM: 7, Measured: value(7.2)},
	}}
	for _, c := range []struct{ name, text string }{
		{"as written", head + "H01,hole,,,5.85,5.93,tight\nH01-H02,web,x,,6.5,,\nS01,slot,y,under,7,7.2,\n"},
		{"padded", strings.Replace(head, "m6", "m6,,,,,", 1) +
			"H01 , hole,, ,5.85,5.93, tight,,\nH01-H02,web,x,,6.5,,,,\n,,,,,,,,\nS01,slot,y,under,7,7.2,,,\n,,\n"},
		{"empty cells left out", head + "H01,hole,,,5.85,5.93,tight\nH01-H02,web,x,,6.5\nS01,slot,y,under,7,7.2\n"},
		{"byte order mark, line ends, capitals", "\ufeff# COUPON 0A1B2C3D, PIN 6 M6\r\n" +
			"ID,KIND,AXIS,FACE,DRAWN_MM,MEASURED_MM,ENTERS\r\n" +
			"h01,Hole,,,5.85,5.93,Tight\r\n\r\nh01-h02,WEB,X,,6.5,,\r\ns01,slot,Y,Under,7,7.20,\r\n"},
		{"semicolons and decimal commas", "# coupon 0a1b2c3d; pin 6 m6;;;;;\nid;kind;axis;face;drawn_mm;measured_mm;enters\n" +
			"H01;hole;;;5,85;5,93;tight\nH01-H02;web;x;;6,5;;\nS01;slot;y;under;7;7,2;\n"},
		{"first line quoted whole", "\"# coupon 0a1b2c3d, pin 6 m6\";;;;;;\n" +
			"id;kind;axis;face;drawn_mm;measured_mm;enters\n" +
			"H01;hole;;;5.85;5.93;tight\nH01-H02;web;x;;6.5;;\nS01;slot;y;under;7;7.2;\n"},
		{"cells quoted", "\"# coupon 0a1b2c3d\",\" pin 6 m6\",,,,,\n" +
			"\"id\",\"kind\",\"axis\",\"face\",\"drawn_mm\",\"measured_mm\",\"enters\"\n" +
			"\"H01\",\"hole\",\"\",\"\",\"5,85\",\"5.93\",\"tight\"\n\"H01-H02\",web,x,,\"6.5\",,\nS01,slot,y,under,7,\"7,2 mm\",\n"},
		{"tabs", strings.ReplaceAll(head+"H01,hole,,,5.85,5.93,tight\nH01-H02,web,x,,6.5,,\nS01,slot,y,under,7,7.2,\n",
			",", "\t")},
		{"columns in another order", "# coupon 0a1b2c3d, pin 6.00 mm m6\nenters,measured_mm,id,kind,axis,face,drawn_mm\n" +
			"tight,5.93,H01,hole,,,5.85\n,,H01 - H02,web,x,,6.5\n,7.2,S01,slot,y,under,7\n"},
		{"remarks", "# measured in the evening\n" + head + "# holes\nH01,hole,,,5.85,5.93,tight\n" +
			"H01-H02,web,x,,6.5,,\nS01,slot,y,under,7,7.2,"},
	} {
		got, err := Read("c.csv", []byte(c.text))
		for i := range got.Rows {
			if line := got.Rows[i].Line; line < 3 {
				t.Errorf("%s: row %d stands on line %d", c.name, i, line)
			}
			got.Rows[i].Line = 0
		}
		if d := cmp.Diff(want, got); d != "" || err != nil {
			t.Errorf("%s: %v\n%s", c.name, err, d)
		}
	}
}

func TestReadFaults(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string // start of each message, all of them, in order
	}{
		{"empty", "", []string{"c.csv: holds no form (start with the line # coupon"}},
		{"binary", "# coupon\x00", []string{"c.csv: is not text"}},
		{"escape sequence", head + "H01\x1b[31m", []string{"c.csv:3:4: the control character U+001B"}},
		{"another table", "name,x_mm,y_mm\ndot 3,1,2\n", []string{
			"c.csv:1:1: the first line does not name the coupon", `c.csv:1:1: unknown column "name"`,
			`c.csv:1:6: unknown column "x_mm"`, `c.csv:1:11: unknown column "y_mm"`, `c.csv:1:1: column "id" is missing`,
			`c.csv:1:1: column "kind" is missing`, `c.csv:1:1: column "axis" is missing`,
			`c.csv:1:1: column "face" is missing`, `c.csv:1:1: column "drawn_mm" is missing`,
			`c.csv:1:1: column "measured_mm" is missing`, `c.csv:1:1: column "enters" is missing`,
		}},
		{"pin unreadable", strings.Replace(head, "6 m6", "six", 1), []string{
			"c.csv:1:1: the line that names the coupon cannot be read (leave it as it was written"}},
		{"two coupons", strings.Split(head, "\n")[0] + "\n" + head, []string{"c.csv:2:1: a second line that names a coupon"}},
		{"column misspelt: named once", strings.Replace(head, "measured_mm", "mesured_mm", 1),
			[]string{`c.csv:2:28: unknown column "mesured_mm" (did you mean "measured_mm"?)`}},
		{"inches as millimetres", head + "H01,hole,,,5.85,0.2335,tight\nS01,slot,y,under,7,0.2835,\n",
			[]string{"c.csv: these are readings in inches, 25.4 times smaller than what is drawn (name the column measured_in"}},
		{"both units", strings.Replace(head, "enters", "measured_in,enters", 1),
			[]string{`c.csv:2:40: column "measured_mm" stands twice`}},
		{"decimal commas split", head + "H01,hole,,,5,85,5,93,tight\n",
			[]string{`c.csv:3:19: "93" stands in no column (a decimal comma`}},
		{"decimal comma at the end", head + "S01,slot,x,,7,7,21\n",
			[]string{`c.csv:3:17: enters "21" is a number (a decimal comma splits`}},
		{"all at once", head + "H01,hol,z,side,NaN,-1,maybe\nH02,hole,x,,6,6.1,yes\n,slot,x,,,1e308,\n" +
			"S01,slot,x,,0x1p4,1_0,\nS02,slot,x,,7,5.9.3,\n", []string{
			`c.csv:3:5: kind "hol" is not known (did you mean "hole"?)`,
			`c.csv:3:9: axis "z" is not known (it is one of x, y, or empty)`,
			`c.csv:3:11: face "side" is not known`, `c.csv:3:23: enters "maybe" is not known`,
			`c.csv:3:16: drawn_mm "NaN" is not a number`, `c.csv:3:20: measured_mm -1 is no reading of a caliper`,
			`c.csv:4:19: enters "yes" stands in a line that is not of a hole's trial`,
			`c.csv:5:1: id "" is none`, `c.csv:5:1: drawn_mm is empty`, `c.csv:5:11: measured_mm 1e308 is no reading`,
			`c.csv:6:13: drawn_mm "0x1p4" is not a number`, `c.csv:6:19: measured_mm "1_0" is not a number`,
			`c.csv:7:15: measured_mm "5.9.3" is not a number`,
		}},
	} {
		got, err := Read("c.csv", []byte(c.text))
		if err == nil || got.Rows != nil {
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
}

// Files that are large in one way or another are refused without much work.
func TestReadHostile(t *testing.T) {
	for name, text := range map[string]string{
		"commas":      strings.Repeat(",", 10<<20),
		"commas here": head + strings.Repeat(",", 900<<10),
		"rows":        head + strings.Repeat("H01,hole,,,6,,\n", 60000),
		"eight forms": head + strings.Repeat("H01,hole,,,6,6.01,yes\n", 1001),
		"faults":      head + strings.Repeat("a,b,c,d,e,f,g\n", 60000),
		"quotes":      head + "H01" + strings.Repeat(`"`, 900<<10),
		"numbers":     head + "H01,hole,,,6," + strings.Repeat("9", 900<<10),
		"zeros":       strings.Repeat("\x00", 1<<20),
		"columns":     strings.Split(head, "\n")[0] + "\n" + strings.Repeat("id,", 300<<10),
	} {
		start := time.Now()
		_, err := Read("c.csv", []byte(text))
		if err == nil || len(err.Error()) > 1<<21 || time.Since(start) > 2*time.Second {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is read is written and read the same.
func FuzzRead(f *testing.F) {
	f.Add([]byte(head + "H01,hole,,,5.85,5.93,tight\nS01,slot,y,under,7,7.2,\n"))
	f.Add([]byte("\ufeff\"# coupon 0a1b2c3d, pin 6,35\";;\r\nid;kind;axis;face;drawn_mm;measured_mm;enters\r\nPIN;pin;;;6,35;6,34;\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := Read("c.csv", data)
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := Write(&b, form); err != nil {
			t.Fatal(err)
		}
		again, err := Read("c.csv", b.Bytes())
		if err != nil {
			if strings.Contains(b.String(), ",0,") || form.PinMM < 1e-4 { // below a written digit
				return
			}
			t.Fatalf("%v\n%s", err, b.String())
		}
		same := func(a, b Row) bool { return a.ID == b.ID && a.Kind == b.Kind && a.Enters == b.Enters }
		if again.Checksum != form.Checksum || !slices.EqualFunc(form.Rows, again.Rows, same) {
			t.Errorf("%s\n%v", b.String(), again)
		}
	})
}
