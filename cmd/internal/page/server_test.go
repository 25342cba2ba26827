package page

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const port = 8765

// request is one to a page at the port, as its own script makes it.
func request(method, path, body string) *http.Request {
	r := httptest.NewRequest(method, "http://127.0.0.1:8765"+path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	return r
}

func answer(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// TestRefuses: only the page itself is answered, and nothing else is served.
func TestRefuses(t *testing.T) {
	h := newHandler(&file{}, port)
	look := `{"ask":"starter"}`
	for _, c := range []struct {
		name, method, path, body string
		change                   func(*http.Request)
		want                     int
	}{
		{"the page", "GET", "/", "", func(*http.Request) {}, http.StatusOK},
		{"by its other name", "GET", "/", "", func(r *http.Request) { r.Host = "localhost:8765" }, http.StatusOK},
		{"its own question", "POST", "/ask", look, func(r *http.Request) {
			r.Header.Set("Origin", "http://127.0.0.1:8765")
			r.Header.Set("Sec-Fetch-Site", "same-origin")
		}, http.StatusOK},
		{"another host's name for this computer", "GET", "/", "", func(r *http.Request) { r.Host = "example.org:8765" },
			http.StatusForbidden},
		{"another port", "GET", "/job", "", func(r *http.Request) { r.Host = "127.0.0.1:80" }, http.StatusForbidden},
		{"no host", "GET", "/job", "", func(r *http.Request) { r.Host = "" }, http.StatusForbidden},
		{"asked by another page", "POST", "/ask", look,
			func(r *http.Request) { r.Header.Set("Origin", "http://example.org") },
			http.StatusForbidden},
		{"asked by another port", "POST", "/ask", look,
			func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:8766") },
			http.StatusForbidden},
		{"asked by a file", "POST", "/ask", look, func(r *http.Request) { r.Header.Set("Origin", "null") },
			http.StatusForbidden},
		{"written by another page", "PUT", "/job", `{"name":"x.yaml"}`,
			func(r *http.Request) { r.Header.Set("Origin", "https://127.0.0.1:8765") },
			http.StatusForbidden},
		{"linked by another page", "GET", "/job", "", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
			http.StatusForbidden},
		{"a form", "POST", "/ask", look, func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") },
			http.StatusForbidden},
		{"another path", "GET", "/job.yaml", "", func(*http.Request) {}, http.StatusNotFound},
		{"a path outside", "GET", "/..%2f..%2fetc/passwd", "", func(*http.Request) {}, http.StatusNotFound},
		{"no question", "POST", "/ask", `{"ask":"run"}`, func(*http.Request) {}, http.StatusBadRequest},
		{"no JSON", "POST", "/ask", `{`, func(*http.Request) {}, http.StatusBadRequest},
		{"too much", "POST", "/ask", `{"text":"` + strings.Repeat("x", mostRequest) + `"}`, func(*http.Request) {},
			http.StatusBadRequest},
		{"another method", "DELETE", "/job", "", func(*http.Request) {}, http.StatusMethodNotAllowed},
	} {
		r := request(c.method, c.path, c.body)
		c.change(r)
		if got := answer(h, r); got.Code != c.want {
			t.Errorf("%s: %d %.200s, want %d", c.name, got.Code, got.Body, c.want)
		}
	}
	page := answer(h, request("GET", "/", ""))
	if p := page.Header().Get("Content-Security-Policy"); !strings.Contains(p, "default-src 'none'") ||
		!strings.Contains(p, "frame-ancestors 'none'") {
		t.Errorf("the page may do %q", p)
	}
}

// TestSave: a file is written in the place of what the page had, and of nothing else.
func TestSave(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	put := func(h http.Handler, c content) (int, content) {
		body, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		w := answer(h, request("PUT", "/job", string(body)))
		var got content
		if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		return w.Code, got
	}
	read := func(name string) string {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	if err := os.WriteFile("mine.yaml", []byte("mine\n"), 0o640); err != nil {
		t.Fatal(err)
	}
	// A new job: not over a file, not elsewhere.
	h := newHandler(&file{}, port)
	for _, name := range []string{"mine.yaml", "../job.yaml", `..\job.yaml`, "/job.yaml", "", ".", ".."} {
		if code, got := put(h, content{Name: name, Text: "a: 1\n"}); code != http.StatusConflict || got.Says == "" {
			t.Errorf("%q: %d %+v", name, code, got)
		}
	}
	code, got := put(h, content{Name: "new.yaml", Text: "a: 1\n"})
	if code != http.StatusOK || got.Stamp == "" || read("new.yaml") != "a: 1\n" {
		t.Fatalf("%d %+v", code, got)
	}
	if code, _ = put(h, content{Name: "new.yaml", Text: "a: 2\n", Stamp: got.Stamp}); code != http.StatusOK ||
		read("new.yaml") != "a: 2\n" {
		t.Errorf("%d %q", code, read("new.yaml"))
	}
	if code, got = put(h, content{Name: "new.yaml", Text: "a: 3\n", Stamp: got.Stamp}); code != http.StatusConflict ||
		got.Text != "a: 2\n" {
		t.Errorf("%d %+v", code, got)
	}
	// A job that is there: through a link, its rights kept; a name from the page changes nothing.
	if err := os.Symlink("mine.yaml", "link.yaml"); err != nil {
		t.Skip("no symbolic links here")
	}
	f, err := openFile("link.yaml")
	if err != nil {
		t.Fatal(err)
	}
	h = newHandler(f, port)
	if code, got = put(h, content{Name: "new.yaml", Text: "better\n", Stamp: f.now().Stamp}); code != http.StatusOK ||
		read("mine.yaml") != "better\n" {
		t.Errorf("%d %+v", code, got)
	}
	link, err := os.Lstat("link.yaml")
	if err != nil || link.Mode()&os.ModeSymlink == 0 {
		t.Error("the link is one no more")
	}
	if info, err := os.Stat("mine.yaml"); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("%v %v", info.Mode(), err)
	}
}

// TestBeside: files that the text names are opened within the job's folder, and outside only where the job's
// own file names them.
func TestBeside(t *testing.T) {
	dir := t.TempDir()
	jobs := filepath.Join(dir, "jobs")
	for name, text := range map[string]string{
		"shared.yaml": "shared", "secret.yaml": "secret", "jobs/near.yaml": "near",
		"jobs/job.yaml": "from: ../shared.yaml\n",
	} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	os.Symlink("../secret.yaml", filepath.Join(jobs, "way-out.yaml"))
	f, err := openFile(filepath.Join(jobs, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"near.yaml": "near", "../shared.yaml": "shared", "../secret.yaml": "", "way-out.yaml": "", "gone.yaml": "", ".": "",
		filepath.Join(dir, "secret.yaml"): "",
	} {
		got := ""
		if g, err := f.beside(name); err == nil {
			data, err := io.ReadAll(g)
			if err != nil {
				t.Error(err)
			}
			g.Close()
			got = string(data)
		}
		if got != want {
			t.Errorf("%s: read %q, want %q", name, got, want)
		}
	}
}

// TestServe: the page is served on this computer alone, tells of an edit of the job and of what it names, and ends when it is told to.
func TestServe(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte("a: 1\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	f, err := openFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- serve(ctx, f, 0, func(address string) { at <- address }) }()
	address := <-at
	host, _, err := net.SplitHostPort(strings.TrimSuffix(strings.TrimPrefix(address, "http://"), "/"))
	if err != nil || host != "127.0.0.1" {
		t.Fatalf("served at %s", address)
	}
	r, err := http.Get(address + "events")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	lines := bufio.NewScanner(r.Body)
	next := func() (c content) {
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				if err := json.Unmarshal([]byte(data), &c); err != nil {
					t.Error(err)
				}
				return c
			}
		}
		return c
	}
	if c := next(); c.Text != "a: 1\n" || !c.Saved {
		t.Errorf("%+v", c)
	}
	if err := os.WriteFile(path, []byte("a: 2\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if c := next(); c.Text != "a: 2\n" {
		t.Errorf("%+v", c)
	}
	// What the job names: a file that is not there yet, that is written, and that is written anew.
	look := `{"ask":"look","quick":true,"text":"template: {make: {by: laser, from: my.process.yaml}}"}`
	if r, err := http.Post(address+"ask", "application/json", strings.NewReader(look)); err != nil ||
		r.StatusCode != http.StatusOK {
		t.Fatal(r, err)
	}
	for i, text := range []string{"by: laser\n", "by: router\n"} {
		process := filepath.Join(filepath.Dir(path), "my.process.yaml")
		if err := errors.Join(os.WriteFile(process+"~", []byte(text), 0o666), os.Rename(process+"~", process)); err != nil {
			t.Fatal(err)
		}
		if c := next(); c.Named != i+1 || c.Text != "a: 2\n" {
			t.Errorf("%+v, want change %d of what the job names", c, i+1)
		}
	}
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Error("the server does not end")
	}
}

// TestSingleFile: the page as one file holds all that it needs, and may reach nothing else.
func TestSingleFile(t *testing.T) {
	text := string(Single("class Go {}", []byte("engine")))
	for _, want := range []string{`data-host="file"`, "class Go {}", "ZW5naW5l", "default-src 'none'"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	if strings.Contains(text, "{{") || strings.Contains(text, "src=\"") || strings.Contains(text, "connect-src") ||
		strings.Contains(text, "https://") {
		t.Error("a place was not filled, or something comes from elsewhere")
	}
}
