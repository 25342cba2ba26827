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
	return serving(t, f), path
}

// serving serves a file until the test ends, and returns the address.
func serving(t *testing.T, f *file) string {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- serve(ctx, f, 0, func(address string) { at <- address }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return <-at
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
	do(t, ctx, chromedp.Evaluate[chromedp.Void]("plan.inputs[0][1].dispatchEvent(new Event('input', { bubbles: true }))"))
	if get(t, ctx, chromedp.Evaluate[bool]("Boolean(document.querySelector('.answer'))")) {
		t.Error("the verdict on other readings stays")
	}

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
	want, err := outputs.Render(d, outputs.Options{})
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
			sideways(t, ctx)
		})
	}
}

// TestKeyboard goes through the page by Tab alone: every stop is seen, clear of the bar on top, in the order of the
// page, and the last one lets go.
func TestKeyboard(t *testing.T) {
	address, _ := served(t, example(t, "dulcimer-inches"))
	ctx := window(t, 360, 740)
	do(t, ctx, chromedp.Navigate(address))
	answered(t, ctx)
	do(t, ctx, chromedp.Evaluate[chromedp.Void](everything), chromedp.Sleep(time.Second))
	do(t, ctx, chromedp.Evaluate[chromedp.Void]("document.activeElement.blur(); scrollTo(0, 0); var stops = []"))
	const most = 400
	for range most {
		do(t, ctx, chromedp.KeyEvent("\t"))
		at := get(t, ctx, chromedp.Evaluate[string](`(() => {
			const e = document.activeElement, box = e.getBoundingClientRect(), bar = byId("top").getBoundingClientRect();
			if (e === document.body || e === stops[0]) return "end";
			const follows = !stops.length || stops.at(-1).compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING;
			stops.push(e);
			const hidden = !byId("top").contains(e) && !e.matches(".skip") && (box.bottom < bar.bottom + 8 || box.top > innerHeight - 8);
			const ring = getComputedStyle(e).outlineStyle !== "none" || e.matches("[type=file]");
			return hidden || !ring || !follows ? e.outerHTML.slice(0, 120) + " " + [hidden, ring, Boolean(follows), box.top] : "";
		})()`))
		if at == "end" {
			break
		}
		if at != "" {
			t.Errorf("hidden, ringed, in order, top: %s", at)
		}
	}
	if n := get(t, ctx, chromedp.Evaluate[int]("stops.length")); n < 40 || n == most {
		t.Errorf("%d stops", n)
	}
}

// sideways fails where a part of the page is wider than its place, but for fields and a job's text, which keeps its lines.
func sideways(t *testing.T, ctx context.Context) {
	t.Helper()
	wide := get(t, ctx, chromedp.Evaluate[[]string](`[...document.querySelectorAll("html, body *")].filter((e) =>
		e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1 && e instanceof HTMLElement && !e.matches("input, #text")).
		map((e) => e.tagName + " " + e.id + " " + e.className + " " + e.scrollWidth + " in " + e.clientWidth)`))
	for _, w := range wide {
		t.Error("scrolls sideways: " + w)
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
