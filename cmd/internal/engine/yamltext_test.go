package engine

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/jig/job"
	"reseat/jig/units"
)

const textual = `# head
title: A board   # of ours
units: mm
board:
  length: 460        # along it
  width: {start: 42, end: 54}   # taper
  # width_error: ..    # measure: five readings
  thickness: 6.5
  features:
    - {name: peg, u: 12, bore: 4}
    - name: far
      u: 400
dowel: {diameter: 6, standard: "iso 8734"}
template:
  make:
    by: laser   # or router
    # kerf: ..  # measure: a cut
accuracy: 0.3`

// TestEdit holds the edited text against the text as a careful hand would leave it.
func TestEdit(t *testing.T) {
	for _, c := range []struct{ name, key, value, from, to string }{
		{"a number, its comment stays", "board.length", "470", "460        #", "470        #"},
		{"a length with its unit", "board.length", "18 1/2 in", "460        #", "18 1/2 in        #"},
		{"in braces", "board.width.end", "55.5", "end: 54}", "end: 55.5}"},
		{"the first in braces", "board.width.start", "41", "start: 42,", "start: 41,"},
		{"the last line, without an end", "accuracy", "0.25", "accuracy: 0.3", "accuracy: 0.25"},
		{"quoted", "dowel.standard", "iso 2338", `"iso 8734"`, "iso 2338"},
		{"of a list's entry", "board.features[0].bore", "5", "bore: 4", "bore: 5"},
		{"of an entry of several lines", "board.features[1].u", "410", "u: 400", "u: 410"},
		{"a comment kept its place", "board.width_error", "0.02", "# width_error: ..    #", "width_error: 0.02    #"},
		{"a comment kept its place, the last in its section", "template.make.kerf", "0.15", "# kerf: ..  #",
			"kerf: 0.15  #"},
		{"new in a section of lines", "template.clearance", "0.1", "    # kerf: ..  # measure: a cut\n",
			"  clearance: 0.1\n    # kerf: ..  # measure: a cut\n"},
		{"new in braces", "dowel.count", "3", `8734"}`, `8734", count: 3}`},
		{"new section", "rails.height", "4", "accuracy: 0.3", "accuracy: 0.3\nrails: {height: 4}\n"},
		{"taken out of lines", "board.thickness", "", "  thickness: 6.5\n", ""},
		{"taken out of braces", "dowel.diameter", "", "diameter: 6, ", ""},
		{"the last taken out of braces", "dowel.standard", "", `, standard: "iso 8734"`, ""},
		{"text that YAML would misread", "title", "Board: the second", "A board  ", "'Board: the second'  "},
		{"a section for a number", "board.width", "48", "{start: 42, end: 54}", "48"},
		{"an entry added", "board.features[1].bore", "4", "u: 400", "u: 400\n      bore: 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Count(textual, c.from) != 1 {
				t.Fatalf("%q is not once in the text", c.from)
			}
			for _, eol := range []string{"\n", "\r\n"} {
				end := strings.NewReplacer("\n", eol)
				got, err := Edit(byteOrderMark+end.Replace(textual), c.key, c.value)
				want := byteOrderMark + end.Replace(strings.Replace(textual, c.from, c.to, 1))
				if err != nil || got != want {
					t.Errorf("%v\ngot  %q\nwant %q", err, got, want)
				}
			}
		})
	}
}

// TestEditRefuses: what would touch more than one value is left to the hand.
func TestEditRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, key, value string }{
		{"a list of several lines", textual, "board.features", "[]"},
		{"two lines", textual, "title", "a\nb: 2"},
		{"no value", textual, "board.length", "[3"},
		{"no such entry", textual, "board.features[7].u", "3"},
		{"below a list", textual, "board.features.u", "3"},
		{"no YAML", "a: [", "a", "3"},
		{"not a section", "- 1\n", "a", "3"},
		{"an anchor's copy", "a: &x {b: 1}\nc: *x\n", "c.b", "3"},
	} {
		if got, err := Edit(c.text, c.key, c.value); err == nil {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// TestEditExamples sets every size in every example and starter, there or left out: one line changes or comes, and
// the job's other values stay.
func TestEditExamples(t *testing.T) {
	texts := map[string]string{"starter": string(job.Starter(units.MM)),
		"starter in inches": string(job.Starter(units.Inch))}
	files, err := filepath.Glob("../../../testdata/*/*.yaml")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[filepath.Base(path)] = string(data)
	}
	for name, text := range texts {
		for _, s := range sizesOf(text) {
			got, err := Edit(text, s.Key, "7")
			if err != nil {
				t.Errorf("%s: %s: %v", name, s.Key, err)
				continue
			}
			was, is := strings.SplitAfter(text, "\n"), strings.SplitAfter(got, "\n")
			from, to := 0, 0
			for from < min(len(was), len(is)) && was[from] == is[from] {
				from++
			}
			for to < min(len(was), len(is))-from && was[len(was)-1-to] == is[len(is)-1-to] {
				to++
			}
			if len(was)-from-to > 1 || len(is)-from-to > 1 {
				t.Errorf("%s: %s: lines\n%q\nbecame\n%q", name, s.Key, was[from:len(was)-to], is[from:len(is)-to])
			}
			if line := strings.Join(was[from:len(was)-to], ""); strings.Contains(line, "#") && len(was) == len(is) {
				comment := line[strings.LastIndex(line, "#"):]
				if !strings.HasSuffix(is[from], comment) {
					t.Errorf("%s: %s: the comment %q is lost in %q", name, s.Key, comment, is[from])
				}
			}
		}
	}
}
