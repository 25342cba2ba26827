package page

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestShots draws the page at desk and phone width into the folder that RESEAT_SHOTS names, for people to look at.
func TestShots(t *testing.T) {
	dir := os.Getenv("RESEAT_SHOTS")
	if dir == "" {
		t.Skip("no pictures: set RESEAT_SHOTS to a folder")
	}
	address, _ := served(t, example(t, "dulcimer-inches"))
	for _, c := range []struct {
		name  string
		width int64
		dark  bool
		then  string // a script that leads to what is drawn
		only  string // parts; "": all
	}{
		{"desk", 1280, false, everything, ""}, {"phone", 360, false, everything, ""},
		{"desk-dark", 1280, true, everything, "machine sizes"},
		{"phone-dark", 360, true, everything, "answer"},
		{"desk-fails", 1280, false, "change(job.text.replace('x: 40', 'x: 12').replace('clearance: 0.005', 'clearance: " +
			"0.03'))", "next"},
		{"phone-fault", 360, false, "change(job.text.replace('length: 17', 'length: long'))", "next sizes job"},
	} {
		ctx := window(t, c.width, 800)
		shade(t, ctx, c.dark)
		do(t, ctx, chromedp.Navigate(address))
		answered(t, ctx)
		do(t, ctx, chromedp.Evaluate[chromedp.Void](c.then), chromedp.Sleep(1500*time.Millisecond))
		for _, part := range []string{"top", "next", "sizes", "job", "work", "machine", "touch-table", "answer", "files",
			"list", "drawing"} {
			there := get(t, ctx, chromedp.Evaluate[bool](fmt.Sprintf("(e => { e.scrollIntoView(); return e.offsetHeight > 0 "+
				"})(byId(%q))", part)))
			if !there || part != "top" && c.only != "" && !strings.Contains(c.only, part) {
				continue
			}
			if err := os.WriteFile(filepath.Join(dir, c.name+"-"+part+".png"), get(t, ctx, chromedp.CaptureScreenshot()),
				0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
