package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestMeasureNotes: what the figures alone do not say is noted, on the example board (478 mm,
// 41.5 to 55 wide, long axis y), and nothing is noted of good readings.
func TestMeasureNotes(t *testing.T) {
	const rim = "kind,x_mm,y_mm\n"
	for _, c := range []struct {
		name, verb, csv string
		args            []string
		says            string // "": no note
	}{
		{"good edge", "datum", "on,x_mm,y_mm\nleft,-20.75,0\nleft,-24.13,239.3\nleft,-27.50,478\n", nil, ""},
		{"the same place twice", "datum", "on,x_mm,y_mm\ndatum,0,10\ndatum,0,240\ndatum,0,460\ndatum,0.04,10.2\n", nil,
			"2 readings on datum at station 10.0 mm, range 0.040 mm"},
		{"dial along a " +
			"fence", "datum", "on,station_mm,dial_mm\nleft,10,0\nleft,120,0.01\nleft,240,0\nleft,360,0.01\nleft,460,0\n", nil,
			"Was it run along a straight fence?"},
		{"wider " +
			"board", "datum", "on,x_mm,y_mm\nleft,-21.25,0\nleft,-24.63,239.3\nleft,-28,478\nright,21.25,0\nright,24.63,239.3\nright,28,478\n",
			nil, "1.00 mm wider than the job says at the far end"},
		{"stated error too small", "datum", "on,x_mm,y_mm\ndatum,0,10\ndatum,0.1,160\ndatum,-0.1,310\ndatum,0,460\n",
			[]string{"--error-mm", "0.01"},
			"more than the stated error of +-0.01 mm explains"},
		{"a mark twice", "locate", "name,x_mm,y_mm\ndot 3,0,88.508\ndot 15,0,374.254\ndot 15,0.02,374.254\n", nil,
			"dot 15 was measured 2 times"},
		{"just enough", "locate", "name,x_mm,y_mm\nleft,-20.932,20\nleft,-27.076,440\nstart,3,-0.15\n", nil,
			"There are too few readings to judge their scatter."},
		{"good rim", "zero", rim + "rim,2,0\nrim,0,2\nrim,-2,0\nrim,0,-2\n", []string{"--probe-mm", "2", "--diameter-mm",
			"6"}, ""},
		{"other side of the rim", "zero", rim + "rim,4,0\nrim,0,4\nrim,-4,0\nrim,0,-4\n", []string{"--probe-mm", "2",
			"--diameter-mm", "6"},
			"the probe stood outside, most likely; the centre is the same"},
		{"points on the rim", "zero", rim + "rim,3,0\nrim,0,3\nrim,-3,0\nrim,0,-3\n", []string{"--probe-mm", "2",
			"--diameter-mm", "6"},
			"the points are on the rim itself, most likely"},
		{"another hole", "zero", rim + "rim,3.5,0\nrim,0,3.5\nrim,-3.5,0\nrim,0,-3.5\n", []string{"--diameter-mm", "6"},
			"is it this rim, and this size?"},
		{"a third of the rim", "zero", rim + "rim,3,0\nrim,1.5,2.598\nrim,-1.5,2.598\n", nil, "over 120 degrees of the rim"},
		{"wider than the job", "zero", rim + "left,-21.3,10\nright,21.5,10\nstart,0,0\n", nil,
			"1.017 mm wider than the job has it"},
		{"one touch on one edge", "zero", rim + "left,-21,10\n", nil, "as straight as drawn"},
	} {
		path := filepath.Join(t.TempDir(), "r.csv")
		if err := os.WriteFile(path, []byte(c.csv), 0o666); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		if Run(append([]string{c.verb, path, "--job", exampleJob}, c.args...), nil, &out, &errs) == exitInput {
			t.Errorf("%s: %s", c.name, errs.String())
		}
		text := strings.Join(strings.Fields(out.String()), " ")
		if says := "note: "; c.says == "" && strings.Contains(text, says) && !strings.Contains(text, "error budget") ||
			!strings.Contains(text, c.says) {
			t.Errorf("%s: want a note %q:\n%s", c.name, c.says, out.String())
		}
	}
}
