package page

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Tests in a real browser run where RESEAT_BROWSER names it, as .ci/run does: RESEAT_BROWSER=chromium. They take
// seconds each, so that the plain tests leave them out.

// waits is how long anything in the browser may take before a test gives up.
const waits = 60 * time.Second

// browser opens a window of a size on a page, and closes it with the test.
func browser(t *testing.T, width, height int64) context.Context {
	t.Helper()
	name := os.Getenv("RESEAT_BROWSER")
	if name == "" {
		t.Skip("not run in a browser: set RESEAT_BROWSER=chromium")
	}
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("RESEAT_BROWSER: %v", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.WindowSize(int(width), int(height)))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	do(t, ctx, chromedp.EmulateViewport(width, height))
	ctx, cancel = context.WithTimeout(ctx, waits)
	t.Cleanup(cancel)
	return ctx
}

// served serves a copy of a job and returns its address and path.
func served(t *testing.T, text []byte) (address, path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, text, 0o666); err != nil {
		t.Fatal(err)
	}
	f, err := openFile(path)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- serve(ctx, f, 0, func(address string) { at <- address }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return <-at, path
}

func example(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "jobs", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// do runs steps in the browser.
func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

// get runs what gives a value.
func get[T any](t *testing.T, ctx context.Context, what chromedp.Action[T]) T {
	t.Helper()
	v, err := chromedp.Run(ctx, what)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// until waits until an expression is true in the page.
func until(t *testing.T, ctx context.Context, expression string) {
	t.Helper()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("Boolean("+expression+")")); err != nil {
		says, _ := chromedp.Run(ctx, chromedp.Evaluate[string]("document.body.innerText"))
		t.Fatalf("%s: %v; the page says:\n%.2000s", expression, err, says)
	}
}

// TestShots draws the page at desk and phone width into the folder that RESEAT_SHOTS names, for people to look at.
func TestShots(t *testing.T) {
	dir := os.Getenv("RESEAT_SHOTS")
	if dir == "" {
		t.Skip("no pictures: set RESEAT_SHOTS to a folder")
	}
	address, _ := served(t, example(t, "laouto-glued"))
	for name, width := range map[string]int64{"desk": 1280, "phone": 360} {
		ctx := browser(t, width, 800)
		do(t, ctx, chromedp.Navigate(address))
		until(t, ctx, "document.querySelector('#plate svg')")
		first, whole := get(t, ctx, chromedp.CaptureScreenshot()), get(t, ctx, chromedp.FullScreenshot(100))
		for part, data := range map[string][]byte{"first": first, "whole": whole} {
			if err := os.WriteFile(filepath.Join(dir, name+"-"+part+".png"), data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
