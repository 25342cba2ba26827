package page

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// single is the page as one file, which RESEAT_PAGE names.
func single(t *testing.T) string {
	t.Helper()
	path := os.Getenv("RESEAT_PAGE")
	if path == "" {
		t.Skip("no page to open: go run ./cmd/page, and set RESEAT_PAGE to the path of reseat.html")
	}
	return "file://" + path
}

// TestSingle opens the page from disk, without a server, and works in it.
func TestSingle(t *testing.T) {
	address := single(t)
	ctx := window(t, 360, 740)
	began := time.Now()
	do(t, ctx, chromedp.Navigate(address))
	answered(t, ctx)
	t.Logf("first answer after %.2f s", time.Since(began).Seconds())
	if title := said(t, ctx, "#title"); title != "Fingerboard, dots bored again" {
		t.Fatalf("the page begins with %q", title)
	}
	// A job with the process file that it names.
	jobs := filepath.Join("..", "..", "..", "testdata", "jobs")
	var files []string
	for _, name := range []string{"bouzouki-fingerboard.yaml", "processes/bouzouki-laser.process.yaml"} {
		path, err := filepath.Abs(filepath.Join(jobs, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, path)
	}
	do(t, ctx, chromedp.SetUploadFiles("#open", files))
	until(t, ctx, "document.querySelector('#title').textContent === 'Bouzouki fingerboard, dots bored again'")
	answered(t, ctx)
	if word := said(t, ctx, "#word"); word != "HOLDS" {
		t.Errorf("%s %s", word, said(t, ctx, "#findings"))
	}
	do(t, ctx, chromedp.SetUploadFiles("#open", []string{filepath.Join(filepath.Dir(files[0]), "dulcimer-inches.yaml")}))
	until(t, ctx, "document.querySelector('#title').textContent === 'Dulcimer fretboard, markers'")
	answered(t, ctx)
	do(t, ctx, chromedp.Evaluate[chromedp.Void](watch))
	old := get(t, ctx, chromedp.Evaluate[string]("document.querySelector('#plate').innerHTML"))
	typed(t, ctx, "#f-board-width", "1.6")
	until(t, ctx, "document.querySelector('#text').value.includes('width: 1.6 ')")
	answered(t, ctx)
	t.Logf("from the last key to the picture: %.0f ms", get(t, ctx, chromedp.Evaluate[float64]("drawnAt - keyAt")))
	if get(t, ctx, chromedp.Evaluate[string]("document.querySelector('#plate').innerHTML")) == old {
		t.Error("the picture stayed")
	}
	click(t, ctx, "#undo")
	until(t, ctx, "document.querySelector('#text').value.includes('width: 1 1/2 in')")
	answered(t, ctx)
	work(t, ctx, filepath.Join(filepath.Dir(files[0]), "dulcimer-inches.yaml"))
}

// TestSingleSeeks changes a job that fails while it is tried what would help it: nothing waits for that.
func TestSingleSeeks(t *testing.T) {
	address := single(t)
	for _, c := range []struct{ name, before string }{
		{"two engines", ""},
		// As a browser does that keeps a compiled engine to one worker: all is answered still, later.
		{"one engine", `const post = Worker.prototype.postMessage; Worker.prototype.postMessage = function (m, ...rest) {
			if (m.compiled) throw new DOMException("no", "DataCloneError"); return post.call(this, m, ...rest) }`},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx := window(t, 1280, 900)
			do(t, ctx, chromedp.Navigate(address))
			answered(t, ctx)
			// What each answer that is shown was to, in their order.
			do(t, ctx, chromedp.Evaluate[chromedp.Void](c.before), chromedp.Evaluate[chromedp.Void](watch),
				chromedp.Evaluate[chromedp.Void](`var shown = [], plain = show; show = (a, quick) => {
					shown.push((quick ? "quick " : "full ") + job.text.match(/length: (.*)/)[1].trim()); plain(a, quick) }`))
			text := strings.Replace(string(example(t, "dulcimer-inches")), "\naccuracy: 0.006", "\naccuracy: 0.0006", 1)
			do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf("change(%q)", text)))
			until(t, ctx, "document.querySelector('#word').textContent === 'DOES NOT HOLD'")
			seeking := "alone.second && alone.second.queue.length === 1"
			if c.before != "" {
				seeking = "alone.single && alone.first.queue.length === 1"
			}
			lengths := []string{"16.9", "16.8", "16.7"}
			for _, length := range lengths {
				until(t, ctx, seeking)
				typed(t, ctx, "#f-board-length", length)
				until(t, ctx, "shown.includes('quick "+length+"')")
				answered(t, ctx)
				t.Logf("from the last key to the picture: %.0f ms",
					get(t, ctx, chromedp.Evaluate[float64]("drawnAt - keyAt")))
			}
			until(t, ctx, "document.querySelector('#findings .acts button')")
			got := get(t, ctx, chromedp.Evaluate[[]string]("shown"))
			if last := got[len(got)-1]; last != "full 16.7" {
				t.Errorf("what would help comes from %q", last)
			}
			// A picture waits for no search but where there is one engine alone.
			waited := strings.Contains(strings.Join(got[:len(got)-1], " "), "full")
			if waited != (c.before != "") {
				t.Errorf("shown in this order: %q", got)
			}
		})
	}
}

// before has a script run in every page before its own.
func before(t *testing.T, ctx context.Context, script string) {
	t.Helper()
	do(t, ctx, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument,
			page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}

// TestKept loads the page anew, as a phone that slept does: job, ticks and readings are there; a browser that keeps
// nothing forgets them, and works as well.
func TestKept(t *testing.T) {
	address := single(t)
	jobs, err := filepath.Abs(filepath.Join("..", "..", "..", "testdata", "jobs"))
	if err != nil {
		t.Fatal(err)
	}
	const read, fill = "plan ? plan.inputs.map((row) => row.map((x) => x.value)).join() : ''", `(x => { x.value = "1.5";
		x.dispatchEvent(new Event("input", { bubbles: true })) })(plan.inputs[0][1])`
	for _, c := range []struct {
		name, before string
		keeps        bool
	}{
		{"kept", "", true},
		{"blocked", `Object.defineProperty(window, "localStorage", { get() { throw new DOMException("no", "SecurityError") } })`,
			false},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx := window(t, 360, 740)
			before(t, ctx, c.before)
			do(t, ctx, chromedp.Navigate(address))
			answered(t, ctx)
			do(t, ctx, chromedp.SetUploadFiles("#open", []string{filepath.Join(jobs, "dulcimer-inches.yaml")}))
			until(t, ctx, "document.querySelector('#title').textContent === 'Dulcimer fretboard, markers'")
			do(t, ctx, chromedp.Evaluate[chromedp.Void]("change(job.text.replace('length: 17', 'length: 16.5'))"))
			answered(t, ctx)
			until(t, ctx, "document.querySelector('#setups input')")
			click(t, ctx, "#setups input")
			click(t, ctx, "#touches")
			until(t, ctx, "plan")
			do(t, ctx, chromedp.Evaluate[chromedp.Void](fill))
			typedIn := get(t, ctx, chromedp.Evaluate[string](read))
			kept := "!document.querySelector('#kept-readings').hidden"
			if get(t, ctx, chromedp.Evaluate[bool](kept)) != c.keeps {
				t.Error("what the page says of keeping readings")
			}

			if !c.keeps {
				do(t, ctx, chromedp.Evaluate[chromedp.Void]("job.disk = job.text")) // or the browser asks whether to leave
			}
			do(t, ctx, chromedp.Reload())
			answered(t, ctx)
			if !c.keeps {
				if title := said(t, ctx, "#title"); title != "Fingerboard, dots bored again" {
					t.Errorf("the page begins with %q", title)
				}
				return
			}
			until(t, ctx, "plan")
			text := get(t, ctx, chromedp.Evaluate[string]("document.querySelector('#text').value"))
			ticked := get(t, ctx, chromedp.Evaluate[int]("document.querySelectorAll('#setups input:checked').length"))
			if got := get(t, ctx, chromedp.Evaluate[string](read)); !strings.Contains(text, "length: 16.5") ||
				said(t, ctx, "#state") != "not saved" || ticked != 1 || got != typedIn {
				t.Errorf("%s, %d ticked, readings %s, want %s, of\n%s", said(t, ctx, "#state"), ticked, got, typedIn, text)
			}

			// Another job has none of them; the same one has.
			do(t, ctx, chromedp.Evaluate[chromedp.Void]("change(job.text.replace('length: 16.5', 'length: 16.6'))"))
			answered(t, ctx)
			if get(t, ctx, chromedp.Evaluate[bool]("Boolean(plan) || "+kept)) {
				t.Error("readings of another job are shown")
			}
			click(t, ctx, "#undo")
			until(t, ctx, "plan && "+kept)
			if got := get(t, ctx, chromedp.Evaluate[string](read)); got != typedIn {
				t.Errorf("readings %s, want %s", got, typedIn)
			}

			// Cleared, they stay away.
			click(t, ctx, "#kept-readings button")
			click(t, ctx, "#kept-ticks button")
			click(t, ctx, "#kept-job button")
			answered(t, ctx)
			do(t, ctx, chromedp.Reload())
			answered(t, ctx)
			if n := get(t, ctx, chromedp.Evaluate[int]("localStorage.length")); n > 1 ||
				said(t, ctx, "#title") != "Fingerboard, dots bored again" {
				t.Errorf("%d things are kept of %s", n, said(t, ctx, "#title"))
			}
		})
	}
}
