package gcode

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/touch"
)

// touches is a program of one touch of an edge, one of a pin, and one of a face behind a pause.
func touches() touch.Program {
	p := touch.Plan{Rim: "P1", SafeMM: 20, Touches: []touch.Touch{
		{Number: 1, What: "left", From: geom.Vec{X: 30, Y: 10}, At: geom.Vec{X: 27, Y: 10}, Dir: geom.Vec{X: -1}, TipMM: 3,
			OverMM: 6},
		{Number: 2, What: "rim", Mark: "P1", From: geom.Vec{Y: 8}, At: geom.Vec{Y: 5}, Dir: geom.Vec{Y: -1}, TipMM: 2,
			OverMM: 5},
		{Number: 3, What: "top", From: geom.Vec{X: 10}, At: geom.Vec{X: 10}, TipMM: 6, OverMM: 6},
	}}
	g := p.Program()
	g.File, g.Title = "touch.nc", "Fingerboard"
	return g
}

// TestTouches: a program of touches as a whole, in either dialect.
func TestTouches(t *testing.T) {
	code := func(d Dialect) string {
		var b bytes.Buffer
		if err := WriteTouches(&b, touches(), "touch.log", d); err != nil {
			t.Fatal(err)
		}
		comments := regexp.MustCompile(`(?m)^(;|\((- )?[^P]).*\n`)
		return strings.ReplaceAll(comments.ReplaceAllString(b.String(), ""), "\n", " | ")
	}
	const moves = "G0 Z20.000 | G0 X30.000 Y10.000 | G1 Z9.000 F600 | G1 Z3.000 F100 | " +
		"G38.2 X25.000 Y10.000 F150 | G1 X30.000 Y10.000 F300 | G38.2 X25.000 Y10.000 F50 | G1 X30.000 Y10.000 F300 | " +
		"G1 Z20.000 F600 | G0 X0.000 Y8.000 | G1 Z8.000 F600 | G1 Z2.000 F100 | G38.2 X0.000 Y3.000 F150 | " +
		"G1 X0.000 Y8.000 F300 | G38.2 X0.000 Y3.000 F50 | G1 X0.000 Y8.000 F300 | G1 Z20.000 F600 | M0 | " +
		"G0 X10.000 Y0.000 | G1 Z9.000 F600 | G38.2 Z4.000 F150 | G1 Z9.000 F300 | G38.2 Z4.000 F50 | G1 Z9.000 F300 | " +
		"G1 Z20.000 F600 | "
	for d, want := range map[Dialect]string{
		Plain: "G21 | G90 | G17 | G94 | G54 | M5 | " + moves + "G0 X0.000 Y0.000 | M2 | ",
		NGC: "G21 | G90 | G17 | G94 | G54 | M5 | G61 | (PROBEOPEN touch.log) | " + moves +
			"(PROBECLOSE) | G0 X0.000 Y0.000 | M2 | ",
	} {
		if got := code(d); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", d, got, want)
		}
	}
}

// TestTouchesJudged: the interpreter takes the program, and the lint has nothing against it
// but that it probes.
func TestTouchesJudged(t *testing.T) {
	needInterpreter(t)
	if _, err := os.Stat(judgeScript); err != nil {
		t.Skip("the shared G-code judge is not beside this repository")
	}
	for _, d := range []Dialect{Plain, NGC} {
		file := filepath.Join(t.TempDir(), "touch.nc")
		var b bytes.Buffer
		if err := WriteTouches(&b, touches(), "touch.log", d); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		out, _ := exec.Command("bash", judgeScript, file).CombinedOutput()
		if !strings.Contains(string(out), "rs274: accepted") {
			t.Errorf("%s: %s", d, out)
		}
		for _, line := range strings.Split(string(out), "\n") {
			if fault := strings.HasPrefix(line, "ERROR") || strings.HasPrefix(line, "WARN"); fault &&
				!strings.Contains(line, "probing move") {
				t.Errorf("%s: %s", d, line)
			}
		}
	}
}
