package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"reseat/cmd/internal/outputs"
	"reseat/jig"
	"reseat/jig/job"
)

// Tests in a real browser run where RESEAT_BROWSER names it, as .ci/run does: RESEAT_BROWSER=chromium. They take
// seconds each, so that the plain tests leave them out.

// waits is how long anything in the browser may take before a test gives up.
const waits = 60 * time.Second

// window opens a window of a size on a page, and closes it with the test.
func window(t *testing.T, width, height int64) context.Context {
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

// typed puts text in the place of what a field holds, key by key.
func typed(t *testing.T, ctx context.Context, field, text string) {
	t.Helper()
	do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf("(e => { e.closest('details').open = true; e.focus(); "+
		"e.select() })(document.querySelector(%q))", field)),
		chromedp.KeyEvent(text))
}

func click(t *testing.T, ctx context.Context, what string) {
	t.Helper()
	do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf("document.querySelector(%q).click()", what)))
}

func said(t *testing.T, ctx context.Context, what string) string {
	t.Helper()
	return get(t, ctx, chromedp.Evaluate[string](fmt.Sprintf("document.querySelector(%q).textContent", what)))
}

// answered waits until the page shows the answer to the text as it is.
func answered(t *testing.T, ctx context.Context) {
	t.Helper()
	until(t, ctx, "!document.querySelector('#plate').classList.contains('old') && document.querySelector('#plate svg')")
}

// watch notes when the last key was hit, and when the picture was drawn after it.
const watch = `var keyAt, drawnAt; addEventListener("input", () => { keyAt = performance.now() }, true);
	new MutationObserver(() => { drawnAt = performance.now() }).observe(byId("plate"), { childList: true })`

// TestServed works in the page as a maker does.
func TestServed(t *testing.T) {
	text := string(example(t, "dulcimer-inches"))
	address, path := served(t, []byte(text))
	ctx := window(t, 1280, 900)
	do(t, ctx, chromedp.Navigate(address))
	answered(t, ctx)
	if word := said(t, ctx, "#word"); word != "HOLDS" || said(t, ctx, "#title") != "Dulcimer fretboard, markers" {
		t.Fatalf("the page begins with %q", word)
	}
	saved := func() string {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}

	// An edit that an editor saves appears.
	text = strings.Replace(text, "title: Dulcimer", "title: Small dulcimer", 1)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	until(t, ctx, "document.querySelector('#title').textContent.startsWith('Small dulcimer')")

	// A field changes picture and verdict, and writes nothing.
	before := said(t, ctx, "#plate")
	picture := func() string {
		return get(t, ctx, chromedp.Evaluate[string]("document.querySelector('#plate').innerHTML"))
	}
	old := picture()
	do(t, ctx, chromedp.Evaluate[chromedp.Void](watch))
	typed(t, ctx, "#f-board-length", "16 1/2")
	until(t, ctx, "document.querySelector('#text').value.includes('length: 16 1/2\\n')")
	answered(t, ctx)
	t.Logf("from the last key to the picture: %.0f ms", get(t, ctx, chromedp.Evaluate[float64]("drawnAt - keyAt")))
	if picture() == old || before == "" || saved() != text {
		t.Errorf("the picture stayed, or the file was written: %q", saved())
	}
	click(t, ctx, "#setups input")
	typed(t, ctx, "#f-machine-travel-x", "12")
	until(t, ctx, "document.querySelector('#word').textContent === 'DOES NOT HOLD'")

	if !get(t, ctx, chromedp.Evaluate[bool]("document.querySelector('#setups input').checked")) {
		t.Error("what was ticked is ticked no more")
	}

	// An error stands at its field and its line, and clears.
	typed(t, ctx, "#f-board-length", "long")
	until(t, ctx, "document.querySelector('#f-board-length').getAttribute('aria-invalid') === 'true'")
	if line := said(t, ctx, "#numbers b"); line != strconv.Itoa(strings.Count(text[:strings.Index(text, "length: 17")],
		"\n")+1) {
		t.Errorf("the fault is marked at line %s", line)
	}
	if says := said(t, ctx, "#f-board-length-x"); !strings.Contains(says, `"long"`) {
		t.Errorf("the field says %q", says)
	}
	typed(t, ctx, "#f-board-length", "17")
	typed(t, ctx, "#f-machine-travel-x", "40")
	until(t, ctx, "document.querySelector('#word').textContent === 'HOLDS' && "+
		"!document.querySelector('[aria-invalid=true]')")

	// Saving keeps the comments.
	typed(t, ctx, "#f-board-length", "16.5")
	until(t, ctx, "document.querySelector('#text').value.includes('length: 16.5')")
	click(t, ctx, "#save")
	until(t, ctx, "document.querySelector('#state').textContent === 'saved'")
	if want := strings.Replace(text, "length: 17", "length: 16.5", 1); saved() != want {
		t.Errorf("saved:\n%s", saved())
	}

	// A file that was changed elsewhere meanwhile is not written over.
	typed(t, ctx, "#f-board-length", "16")
	until(t, ctx, "document.querySelector('#state').textContent === 'not saved'")
	theirs := strings.Replace(text, "Small", "Tall", 1)
	if err := os.WriteFile(path, []byte(theirs), 0o666); err != nil {
		t.Fatal(err)
	}
	until(t, ctx, "!document.querySelector('#conflict').hidden")
	click(t, ctx, "#save")
	do(t, ctx, chromedp.Sleep(300*time.Millisecond))
	if saved() != theirs {
		t.Errorf("what another wrote is lost:\n%s", saved())
	}
	click(t, ctx, "#conflict button")
	until(t, ctx, "document.querySelector('#title').textContent.startsWith('Tall')")
	answered(t, ctx)
	work(t, ctx, path)
}

// work types readings in and downloads files; the job at path is the one that the page shows.
func work(t *testing.T, ctx context.Context, path string) {
	t.Helper()
	click(t, ctx, "#touches")
	until(t, ctx, "!document.querySelector('#touch-table').hidden")
	// As drawn, but turned by 0.8 mm over the board, to the left as it lies.
	do(t, ctx, chromedp.Evaluate[chromedp.Void](`for (const [i, row] of plan.inputs.entries()) {
		const [x, y] = plan.rows[i].expect.map(Number);
		row[0].value = x;
		row[1].value = (y + 0.0018 * x).toFixed(3);
	}`))
	click(t, ctx, "#judge")
	until(t, ctx, "document.querySelector('.answer')")
	if says := said(t, ctx, ".answer"); !strings.Contains(says, "Out of tolerance") || !strings.Contains(says, "Tap") &&
		!strings.Contains(says, "Lift") {
		t.Errorf("the readings give %q", says)
	}
	do(t, ctx, chromedp.Evaluate[chromedp.Void]("plan.inputs.forEach((row, i) => row.forEach((x, k) => { x.value = "+
		"plan.rows[i].expect[k] }))"))
	click(t, ctx, "#judge")
	until(t, ctx, "document.querySelector('.answer.good')")

	dir := t.TempDir()
	do(t, ctx, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
			Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir,
		})
		return err
	}))
	click(t, ctx, "#kind button")
	until(t, ctx, "document.querySelector('#list li')")
	read, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	d, err := jig.Build(read)
	if err != nil {
		t.Fatal(err)
	}
	want, err := outputs.Of(d, outputs.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := get(t, ctx, chromedp.Evaluate[int]("document.querySelectorAll('#list li').length")); n != len(want.Files())+
		1 {
		t.Errorf("%d files are listed, want %d", n, len(want.Files()))
	}
	for _, name := range []string{"template.dxf", "bores.nc", "drawing.svg", "design.json"} {
		click(t, ctx, fmt.Sprintf("[aria-label='Download %s']", name))
		var data bytes.Buffer
		if err := want.WriteOne(&data, name); err != nil {
			t.Fatal(err)
		}
		got := downloaded(t, filepath.Join(dir, name))
		if !bytes.Equal(got, data.Bytes()) {
			t.Errorf("%s: %d bytes, the command writes %d", name, len(got), data.Len())
		}
	}
}

// downloaded waits for a file.
func downloaded(t *testing.T, path string) []byte {
	t.Helper()
	for end := time.Now().Add(waits); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if data, err := os.ReadFile(path); err == nil {
			return data
		}
	}
	t.Fatalf("%s was not downloaded", path)
	return nil
}

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

// TestAccessible has axe-core, which RESEAT_AXE names, look for what keeps people out.
func TestAccessible(t *testing.T) {
	path := os.Getenv("RESEAT_AXE")
	if path == "" {
		t.Skip("no axe-core: npm install axe-core, and set RESEAT_AXE to the path of axe.min.js")
	}
	axe, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	address, _ := served(t, example(t, "dulcimer-inches"))
	for _, c := range []struct {
		name  string
		width int64
		dark  bool
		then  string // "" or a script that leads to what is looked at
	}{
		{"desk", 1280, false, ""}, {"desk in the dark", 1280, true, ""}, {"phone", 360, false, ""},
		{"phone in the dark", 360, true, ""},
		{"with faults", 360, false, "change(job.text.replace('length: 17', 'length: long'))"},
		{"what fails", 1280, true, "change(job.text.replace('x: 40', 'x: 12'))"},
		{"all open", 360, false, everything},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx := window(t, c.width, 800)
			shade(t, ctx, c.dark)
			do(t, ctx, chromedp.Navigate(address))
			answered(t, ctx)
			do(t, ctx, chromedp.Evaluate[chromedp.Void](c.then), chromedp.Sleep(1500*time.Millisecond))
			do(t, ctx, chromedp.Evaluate[chromedp.Void](string(axe)+"; undefined"))
			found := get(t, ctx, chromedp.Evaluate[string](`axe.run().then((r) => JSON.stringify(r.violations.map((v) => ({
				id: v.id, impact: v.impact, help: v.help, at: v.nodes.slice(0, 4).map((n) => n.html.slice(0, 160)) }))))`,
				chromedp.EvalAwaitPromise))
			var all []struct {
				ID, Impact, Help string
				At               []string
			}
			if err := json.Unmarshal([]byte(found), &all); err != nil {
				t.Fatal(err)
			}
			for _, v := range all {
				t.Errorf("%s: %s (%s)\n  %s", v.Impact, v.Help, v.ID, strings.Join(v.At, "\n  "))
			}
			if wide := get(t, ctx, chromedp.Evaluate[int]("document.documentElement.scrollWidth")); wide > int(c.width) {
				t.Errorf("the page is %d wide in a window of %d", wide, c.width)
			}
		})
	}
}

// shade asks for the dark or the light page.
func shade(t *testing.T, ctx context.Context, dark bool) {
	t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	do(t, ctx, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}))
}

// everything opens all that is shut and types readings in.
const everything = "document.querySelectorAll('details').forEach((d) => { d.open = true }); listFiles(); " +
	"listTouches().then(() => { plan.inputs.forEach((row, i) => row.forEach((x, k) => { x.value = " +
	"plan.rows[i].expect[k] })); return judge() })"
