package simulate

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"reseat/cmd/internal/cli"
	"reseat/cmd/internal/report"
	"reseat/export"
	"reseat/export/block"
	"reseat/export/picture"
	"reseat/export/setupsheet"
	"reseat/export/sheet"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
)

// inkFree is the edge of the paper that has no ink on any page, mm: what printers leave out. Recalled.
const inkFree = 10.0

// faultsOf are texts that lie on texts, and marks too near to the paper's edge.
func faultsOf(p *picture.Picture) []string {
	var out []string
	page := geom.Box{Max: p.Size}.Grow(-inkFree)
	var texts []picture.Text
	for _, it := range p.Items {
		if ink := it.Ink(); !block.Within(page, ink) {
			out = append(out, fmt.Sprintf("%T %v is nearer than %v to the edge", it, ink, inkFree))
		}
		if t, ok := it.(picture.Text); ok {
			texts = append(texts, t)
		}
	}
	for i, t := range texts {
		for _, u := range texts[:i] {
			if block.Overlap(t.Ink().Grow(-0.01), u.Ink()) {
				out = append(out, fmt.Sprintf("%q lies on %q at %v", t.S, u.S, t.At))
			}
		}
	}
	return out
}

// pagesOf are all pages that a design prints, those at true size included.
func pagesOf(t *testing.T, path string, paper block.Paper) []*picture.Picture {
	t.Helper()
	j, err := job.Read(path)
	if err != nil {
		t.Skip(err)
	}
	d, err := jig.Build(j)
	if err != nil {
		t.Skip(err) // two features in one place, say
	}
	drawn, err := sheet.Drawing(d, paper)
	if err != nil {
		t.Fatal(err)
	}
	told := setupsheet.Content{Take: report.TakeList(d), Drawing: drawn, TrueSize: true}
	told.Word, told.Verdict = report.Verdict(d)
	for _, s := range d.Sheets {
		told.Files = append(told.Files, export.File{Name: s.File, SHA256: strings.Repeat("0", 64)})
	}
	return setupsheet.Pages(d, told, paper)
}

// TestPagesOfAnyJob looks at what jobs that nobody thought of print, on either paper, and at the
// examples: no text lies on another, nothing is at the paper's edge. RAPID_CHECKS=200 draws so many.
func TestPagesOfAnyJob(t *testing.T) {
	n, deep := 3, false
	if k, err := strconv.Atoi(os.Getenv("RAPID_CHECKS")); err == nil && k > 100 {
		n, deep = k, true
	}
	paths := []string{filepath.Join("..", "..", "..", "testdata", "jobs", "bridge-from-drawing.yaml")}
	if deep {
		paths, _ = filepath.Glob(filepath.Join("..", "..", "..", "testdata", "*", "*.yaml"))
	}
	for seed := range n {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("any-%d.yaml", seed))
		if err := os.WriteFile(path, []byte(anyJob(rand.New(rand.NewPCG(uint64(seed), 1)))), 0o666); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	for i, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			for k, p := range pagesOf(t, path, block.Paper(i%2)) {
				for _, f := range faultsOf(p) {
					t.Errorf("page %d: %s", k+1, f)
				}
			}
		})
	}
}

func TestPageFaultsAreSeen(t *testing.T) {
	p := block.A4.Page("", false)
	p.Text(geom.Vec{X: 50, Y: 50}, 3, picture.Start, "one")
	p.Text(geom.Vec{X: 52, Y: 51}, 3, picture.Start, "two")
	p.Line(picture.PenThin, geom.Vec{X: 9, Y: 50}, geom.Vec{X: 20, Y: 50})
	if got := faultsOf(p); len(got) != 2 {
		t.Errorf("%q", got)
	}
}

// TestSheetTellsEveryHole reads the PDF as a stranger's program does: every part's every hole, with
// the size it is drawn to and its limits.
func TestSheetTellsEveryHole(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no pdftotext here")
	}
	dir := t.TempDir()
	path := filepath.Join("..", "..", "..", "testdata", "jobs", "neck-second-side.yaml")
	var out bytes.Buffer
	if got := cli.Run([]string{"design", path, "-o", dir}, nil, &out, &out); got > 1 {
		t.Fatal(out.String())
	}
	text, err := exec.Command("pdftotext", "-layout", filepath.Join(dir, "sheet.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	d, err := jig.Build(j)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.HoleGroups()) == 0 {
		t.Fatal("no holes")
	}
	for _, g := range d.HoleGroups() {
		part := g.Part
		if part == "print" { // of the plate, which no set-up of this job prints
			part = "printed"
		}
		want := []string{part, fmt.Sprintf("%.3f", g.Hole.DrawnMM), fmt.Sprintf("%.3f", g.Hole.MinMM),
			fmt.Sprintf("%.3f", g.Hole.MaxMM)}
		found := false
		for _, line := range strings.Split(string(text), "\n") {
			has := strings.Fields(line)
			i := 0
			for _, w := range has {
				if i < len(want) && w == want[i] {
					i++
				}
			}
			found = found || i == len(want)
		}
		if !found {
			t.Errorf("%s %s: no line has %v", g.Part, g.Who(), want)
		}
	}
}
