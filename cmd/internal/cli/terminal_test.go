package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/report"
	"reseat/export"
)

// What a screen takes at once.
const (
	mostLines = 40
	mostWide  = 80
)

// TestTerminal: of every example the screen says first whether it holds, then every set-up
// with its file, on one screen. Its steps are told with --full only.
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
				t.Errorf("%d lines, more than %d\n%s", len(lines), mostLines, out.String())
			}
			narrow(t, out.String())
			var full bytes.Buffer
			text := &command.Fold{To: &full}
			report.Design(text, d, "out", export.Result{}, true)
			report.Check(text, d, true)
			narrow(t, full.String())
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

// narrow: no line of text for people is wider than a terminal, but a command to be copied and
// a word that cannot be broken, such as a file's name.
func narrow(t *testing.T, text string) {
	t.Helper()
	for _, l := range strings.Split(text, "\n") {
		words := strings.Fields(l)
		if n := utf8.RuneCountInString(l); n > mostWide && words[0] != "$" && len(words) > 1 {
			t.Errorf("%d characters: %s", n, l)
		}
	}
}

// TestWidth: what the commands print, and their help, fits a terminal of 80 columns.
func TestWidth(t *testing.T) {
	const (
		readings = "../../../testdata/readings/"
		job      = "../../../testdata/jobs/bouzouki-fingerboard.yaml"
	)
	out := t.TempDir()
	for _, args := range [][]string{
		{"coupon", job, "-o", filepath.Join(out, "coupon")},
		{"coupon", "read", job, readings + "bouzouki-coupon.csv", "-o", filepath.Join(out, "a.process.yaml")},
		{"datum", readings + "bouzouki-askew.csv", "--job", job},
		{"locate", readings + "bouzouki-dots.csv", "--job", job},
		{"zero", readings + "bouzouki-top.csv", "--job", job},
		{"pocket", job, "-o", filepath.Join(out, "pockets.nc")},
		{"touch", job, "--for", "locate", "--probe", "-o", filepath.Join(out, "l.csv")},
		{"sheet", job + ":2", "--stock", "600x400", "--coupon", "-o", filepath.Join(out, "s.dxf")},
		{"new", filepath.Join(out, "new.yaml")},
		{"keys"},
		{"fit", "6", "H7/m6"}, {"fit", "6", "Q9"},
		{"hole", "--pin", "6m6", "--in", "cast acrylic", "--by", "laser", "--want", "slide", "--all"},
		{"hole", "--pin", "6m6", "--in", "cast acrylic", "--by", "ream", "--want", "press"},
		{"ream", "6", "H7", "--in", "oak"},
		{"pins"}, {"pins", "6"}, {"pins", "7.3"},
		{"design", "nowhere.yaml"}, {"check", readings + "bouzouki-line.csv"}, {"desing"},
	} {
		t.Run(strings.Join(args[:min(2, len(args))], " "), func(t *testing.T) {
			var text, errs bytes.Buffer
			Run(args, nil, &text, &errs)
			narrow(t, text.String())
			narrow(t, errs.String())
		})
	}
	for _, c := range newRoot(command.Streams{}).Commands() {
		for _, args := range [][]string{{"-h"}, {c.Name(), "-h"}, {c.Name(), "read", "-h"}} {
			var text bytes.Buffer
			if Run(args, nil, &text, &text); c.Name() != "completion" {
				narrow(t, text.String())
			}
		}
	}
}
