package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// What a screen takes at once.
const (
	mostLines = 40
	mostWide  = 110
)

// TestTerminal: of every example the screen says first whether it holds, then every set-up
// with its file, on one screen. Where a set-up's steps grow: the first sentence of a step
// is told here, what follows it with --full only.
func TestTerminal(t *testing.T) {
	jobs, err := filepath.Glob("../../../testdata/jobs/*.yaml")
	if err != nil || len(jobs) == 0 {
		t.Fatalf("no examples (%v)", err)
	}
	for _, job := range jobs {
		t.Run(strings.TrimSuffix(filepath.Base(job), ".yaml"), func(t *testing.T) {
			d, err := designOf(job)
			if err != nil {
				t.Fatal(err)
			}
			var out, errs bytes.Buffer
			Run([]string{"design", job, "-o", t.TempDir()}, nil, &out, &errs)
			lines := strings.Split(strings.TrimSpace(out.String()), "\n")
			if len(lines) > mostLines {
				t.Errorf("%d lines, more than %d; shorten the first sentences of steps\n%s", len(lines), mostLines, out.String())
			}
			for _, l := range lines {
				if n := utf8.RuneCountInString(l); n > mostWide && !strings.Contains(l, "files in") { // with the directory's name
					t.Errorf("%d characters: %s", n, l)
				}
			}
			if !strings.Contains(lines[0], "HOLDS  "+d.Title) {
				t.Errorf("first line: %s", lines[0])
			}
			rest := out.String()
			for _, s := range d.Setups {
				i := strings.Index(rest, s.Title)
				if i < 0 {
					t.Fatalf("set-up %d is not told, or not in its place", s.Number)
				}
				rest = rest[i:]
				block, _, _ := strings.Cut(rest, fmt.Sprintf("\n%2d  ", s.Number+1))
				// The lines are wrapped: words alone are compared.
				block = strings.Join(strings.Fields(block), " ")
				if s.Zero != nil && !strings.Contains(block, s.Zero.Says) && !strings.Contains(block, "zero as in ") {
					t.Errorf("set-up %d does not say where zero is", s.Number)
				}
				if !strings.Contains(block, "check: "+s.Checks[0].What) {
					t.Errorf("set-up %d does not say what to check", s.Number)
				}
				for _, f := range append(s.Files, s.Program) {
					if !strings.Contains(rest, f) {
						t.Errorf("set-up %d does not name %s", s.Number, f)
					}
				}
			}
		})
	}
}
