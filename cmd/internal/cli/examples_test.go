package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
)

// TestHelpExamples runs what the help of every command shows, as it stands, in a folder that has the
// repository's examples and what a maker would have by then: none may end as bad input.
func TestHelpExamples(t *testing.T) {
	root := newRoot(command.Streams{})
	all := []*cobra.Command{root}
	for _, c := range root.Commands() {
		if all = append(all, c); c.Name() == "coupon" {
			all = append(all, c.Commands()...)
		}
	}
	ready := t.TempDir()
	makeReady(t, ready)
	for _, c := range all {
		t.Run(strings.ReplaceAll(c.CommandPath(), " ", "-"), func(t *testing.T) {
			lines := exampleLines(c.Example)
			if len(lines) < 2 {
				t.Fatalf("%d examples", len(lines))
			}
			dir := t.TempDir()
			if err := os.CopyFS(dir, os.DirFS(ready)); err != nil {
				t.Fatal(err)
			}
			t.Chdir(dir)
			switch c.Name() { // what their own examples make
			case "reseat", "new":
				os.Remove("fingerboard.yaml")
			case "coupon":
				os.RemoveAll("mylaser")
			}
			for _, l := range lines {
				runExample(t, root, l)
			}
		})
	}
}

// exampleLines are the commands of a help's examples, lines that go on joined.
func exampleLines(example string) (out []string) {
	for _, l := range strings.Split(strings.ReplaceAll(example, "\\\n", ""), "\n") {
		if l, ok := strings.CutPrefix(strings.TrimSpace(l), "$ reseat "); ok {
			out = append(out, l)
		}
	}
	return out
}

// runExample runs a line as a shell would, its output into a file where it says so. Of view, which serves
// until it is ended, the flags alone are read.
func runExample(t *testing.T, root *cobra.Command, line string) {
	t.Helper()
	line, to, _ := strings.Cut(line, " > ")
	var args []string
	for _, w := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(line, -1) {
		args = append(args, strings.Trim(w, `"`))
	}
	if args[0] == "view" {
		c, rest, err := root.Find(args)
		if err == nil {
			err = c.ParseFlags(rest)
		}
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
		return
	}
	var out, errs bytes.Buffer
	if Run(args, nil, &out, &errs) == exitInput {
		t.Errorf("reseat %s\n%s", line, errs.String())
	}
	if to != "" {
		keep(t, to, out.String())
	}
}

func keep(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// makeReady fills a folder with what the examples of the help take as given.
func makeReady(t *testing.T, dir string) {
	t.Helper()
	root, err := filepath.Abs("../../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	back, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	defer t.Chdir(back)
	if err := os.Mkdir("testdata", 0o777); err != nil {
		t.Fatal(err)
	}
	for to, from := range map[string]string{"testdata/jobs": "jobs", "testdata/readings": "readings", "processes": "jobs/processes"} {
		if err := copyFiles(to, filepath.Join(root, from)); err != nil {
			t.Fatal(err)
		}
	}
	if err := copyFiles("testdata/jobs/processes", filepath.Join(root, "jobs/processes")); err != nil {
		t.Fatal(err)
	}
	for name, from := range map[string]string{
		"fingerboard.yaml": "jobs/bouzouki-fingerboard.yaml", "job.yaml": "jobs/bouzouki-fingerboard.yaml",
		"neck.yaml": "jobs/neck-second-side.yaml", "readings.csv": "readings/bouzouki-parallel.csv",
		"dots.csv": "readings/bouzouki-dots.csv", "coupon.csv": "readings/bouzouki-coupon.csv",
	} {
		data, err := os.ReadFile(filepath.Join(root, from))
		if err != nil {
			t.Fatal(err)
		}
		keep(t, name, string(data))
	}
	keep(t, "two.csv", "on,x_mm,y_mm\ndatum,0.02,15\ndatum,0.03,465\n")
	for _, line := range []string{
		`coupon --by laser --in "cast acrylic" --thickness-mm 6 --pin 6m6 -o mylaser`,
		"locate dots.csv --job fingerboard.yaml --json > pose.json",
		"touch fingerboard.yaml --for locate --probe -o touch-locate.csv",
	} {
		runExample(t, nil, line)
	}
	var log, form, errs bytes.Buffer
	if touchProbe([]string{"fingerboard.yaml", "touch-locate.nc"}, &log, &errs) != 0 ||
		shopFills([]string{"fingerboard.yaml"}, &form, &errs) != 0 {
		t.Fatal(errs.String())
	}
	keep(t, "console.log", log.String())
	keep(t, "mylaser/coupon.csv", form.String())
}
