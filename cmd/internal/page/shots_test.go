package page

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestShots draws the whole page of every example at desk and phone width, light and dark, into the folder that
// RESEAT_SHOTS names, for people to look at; and nothing on it may scroll sideways.
func TestShots(t *testing.T) {
	dir := os.Getenv("RESEAT_SHOTS")
	if dir == "" {
		t.Skip("no pictures: set RESEAT_SHOTS to a folder")
	}
	jobs := filepath.Join("..", "..", "..", "testdata", "jobs")
	examples, err := filepath.Glob(filepath.Join(jobs, "*.yaml"))
	if err != nil || len(examples) == 0 {
		t.Fatal("no examples", err)
	}
	type shot struct{ name, as, old, new string } // a job, and what is put in the place of what in its text
	shots := []shot{
		{"dulcimer-inches", "-fails", "\naccuracy: 0.006", "\naccuracy: 0.0006"},
		{"dulcimer-inches", "-fault", "length: 17", "length: long"},
	}
	for _, path := range examples {
		shots = append(shots, shot{name: strings.TrimSuffix(filepath.Base(path), ".yaml")})
	}
	copied := t.TempDir() // with the files that the jobs name
	if err := os.CopyFS(copied, os.DirFS(jobs)); err != nil {
		t.Fatal(err)
	}
	for _, s := range shots {
		f, err := openFile(filepath.Join(copied, s.name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		address := serving(t, f)
		for _, c := range []struct {
			name  string
			width int64
		}{{"desk", 1280}, {"phone", 360}} {
			name := s.name + s.as + "-" + c.name
			t.Run(name, func(t *testing.T) {
				ctx := window(t, c.width, shotHeight)
				do(t, ctx, chromedp.Navigate(address))
				answered(t, ctx)
				do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf("change(job.text.replace(%q, %q))", s.old, s.new)),
					chromedp.Sleep(time.Second))
				draw(t, ctx, filepath.Join(dir, name))
				do(t, ctx, chromedp.Evaluate[chromedp.Void](everything), chromedp.Sleep(time.Second))
				sideways(t, ctx)
				draw(t, ctx, filepath.Join(dir, name+"-open"))
			})
		}
	}
}

// shotHeight is how much of a page one picture shows.
const shotHeight = 2400

// draw draws the page from top to bottom, light and dark.
func draw(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	high := get(t, ctx, chromedp.Evaluate[int]("document.documentElement.scrollHeight"))
	for _, dark := range []bool{false, true} {
		shade(t, ctx, dark)
		for at := 0; at < high; at += shotHeight {
			do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf("scrollTo(0, %d)", at)))
			path := fmt.Sprintf("%s%s-%d.png", name, map[bool]string{true: "-dark"}[dark], at/shotHeight)
			if err := os.WriteFile(path, get(t, ctx, chromedp.CaptureScreenshot()), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
