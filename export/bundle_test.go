package export

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// design returns a bundle as the design command makes it, all files depending on content.
func design(content string, more ...string) *Bundle {
	b := &Bundle{}
	for _, name := range append([]string{"template.dxf", "holes.csv", RecordName}, more...) {
		b.Add(name, []byte(name+" "+content))
	}
	return b
}

// snapshot reads a directory without its ledger: names to content, links and
// directories by kind.
func snapshot(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		if e.Name() == LedgerName {
			continue
		}
		if !e.Type().IsRegular() {
			out[e.Name()] = "kind " + e.Type().String()
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

func mustWrite(t *testing.T, b *Bundle, dir string) Result {
	t.Helper()
	done, err := b.Write(dir)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func put(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestAddFunc: an output that is made as it is written is listed, written and known like
// one that is held.
func TestAddFunc(t *testing.T) {
	dir := t.TempDir()
	var held, made Bundle
	held.Add("bores.nc", []byte("G21\nM2\n"))
	if err := made.AddFunc("bores.nc", func(w io.Writer) error {
		_,
			err := io.WriteString(w, "G21\nM2\n")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	want, got := mustWrite(t, &held, dir), mustWrite(t, &made, dir)
	if d := cmp.Diff(want, got); d != "" || snapshot(t, dir)["bores.nc"] != "G21\nM2\n" {
		t.Errorf("%v %s", snapshot(t, dir), d)
	}
	full := errors.New("no room")
	if err := made.AddFunc("pockets.nc", func(io.Writer) error { return full }); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}

func TestWriteTellsWhatItWrote(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there", "yet")
	b := design("one")
	files := mustWrite(t, b, dir).Files
	got := snapshot(t, dir)
	if len(got) != len(files) || len(files) != 3 {
		t.Fatalf("wrote %v, directory holds %v", files, got)
	}
	for _, f := range files {
		if got[f.Name] != string(b.Data(f.Name)) || f.Bytes != len(got[f.Name]) {
			t.Errorf("%s: listed %d bytes, holds %q", f.Name, f.Bytes, got[f.Name])
		}
	}
	// sha256sum of GNU coreutils is the outside judge of the ledger's sums.
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip("sha256sum is not installed")
	}
	cmd := exec.Command(tool, "--check", "--strict", LedgerName)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil || strings.Count(string(out), ": OK") != len(files) {
		t.Errorf("sha256sum says %s (%v)", out, err)
	}
}

// TestWhoseFile holds the rule of ownership: what may be replaced and what not.
func TestWhoseFile(t *testing.T) {
	written := func(t *testing.T, dir string) { mustWrite(t, design("old"), dir) }
	link := func(t *testing.T, to, from string) {
		if err := os.Symlink(to, from); err != nil {
			t.Skip("no symbolic links here")
		}
	}
	for _, tc := range []struct {
		name, reason string
		before       func(t *testing.T, dir string)
		foreign      []string // nil: the run is allowed
	}{
		{"empty directory", "nothing stands in the way", func(*testing.T, string) {}, nil},
		{"own files, same content", "two runs of one job", func(t *testing.T, dir string) {
			mustWrite(t, design("new"), dir)
		}, nil},
		{"own files, other content", "the job was changed", written, nil},
		{"unrelated files", "not among the outputs, so not in the way", func(t *testing.T, dir string) {
			put(t, dir, "notes.txt", "mine")
		}, nil},
		{"own file deleted", "the place is free", func(t *testing.T, dir string) {
			written(t, dir)
			os.Remove(filepath.Join(dir, "holes.csv"))
		}, nil},
		{"same bytes without a ledger", "nothing would change", func(t *testing.T, dir string) {
			put(t, dir, "template.dxf", "template.dxf new")
		}, nil},
		{"two user's files, one empty", "all are named at once", func(t *testing.T, dir string) {
			put(t, dir, "holes.csv", "")
			put(t, dir, "template.dxf", "mine")
		}, []string{"template.dxf was not written", "holes.csv was not written"}},
		{"own file edited since", "the edit is the user's work", func(t *testing.T, dir string) {
			written(t, dir)
			put(t, dir, "template.dxf", "moved a hole")
		}, []string{"template.dxf was changed since"}},
		{"ledger of elsewhere", "its sums are of other files", func(t *testing.T, dir string) {
			put(t, dir, "template.dxf", "mine")
			put(t, dir, LedgerName, fmt.Sprintf("%s  template.dxf\n", digest([]byte("theirs"))))
		}, []string{"template.dxf was changed since"}},
		{"ledger deleted", "nothing tells whose the files are any more", func(t *testing.T, dir string) {
			written(t, dir)
			os.Remove(filepath.Join(dir, LedgerName))
		}, []string{"template.dxf", "holes.csv", RecordName}},
		{"ledger is binary", "its lines are none", func(t *testing.T, dir string) {
			written(t, dir)
			put(t, dir, LedgerName, "\x00\xff\n  \n")
		}, []string{"template.dxf", "holes.csv", RecordName}},
		{"directory in the place", "not a file", func(t *testing.T, dir string) {
			os.Mkdir(filepath.Join(dir, "template.dxf"), 0o755)
		}, []string{"template.dxf is a directory"}},
		{"link out of the directory", "its target is outside", func(t *testing.T, dir string) {
			outside := filepath.Join(t.TempDir(), "outside.dxf")
			put(t, filepath.Dir(outside), "outside.dxf", "mine")
			t.Cleanup(func() {
				if data, _ := os.ReadFile(outside); string(data) != "mine" {
					t.Errorf("the link's target was changed to %q", data)
				}
			})
			link(t, outside, filepath.Join(dir, "template.dxf"))
		}, []string{"template.dxf is a link"}},
		{"link to identical bytes inside", "a link is never the tool's", func(t *testing.T, dir string) {
			put(t, dir, "same.dxf", "template.dxf new")
			link(t, "same.dxf", filepath.Join(dir, "template.dxf"))
		}, []string{"template.dxf is a link"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			tc.before(t, dir)
			before := snapshot(t, dir)
			b := design("new")
			_, err := b.Write(dir)
			if tc.foreign == nil {
				if err != nil {
					t.Fatalf("%s, yet: %v", tc.reason, err)
				}
				after := snapshot(t, dir)
				for _, f := range b.Files() {
					if after[f.Name] != string(b.Data(f.Name)) {
						t.Errorf("%s holds %q", f.Name, after[f.Name])
					}
				}
				return
			}
			var foreign *ForeignError
			if !errors.As(err, &foreign) || len(foreign.Files) != len(tc.foreign) {
				t.Fatalf("%s, yet: %v", tc.reason, err)
			}
			for _, want := range append(tc.foreign, "-o DIR") {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("%v does not say %q", err, want)
				}
			}
			if d := cmp.Diff(before, snapshot(t, dir)); d != "" {
				t.Errorf("refused, yet the directory changed:\n%s", d)
			}
		})
	}
}

// TestNoLongerWritten: a file that the bundle no longer has goes when it is unchanged,
// is named when it was edited, at every run, and never blocks one.
func TestNoLongerWritten(t *testing.T) {
	dir := t.TempDir()
	mustWrite(t, design("first", "rails.dxf", "template.stl"), dir)
	put(t, dir, "rails.dxf", "edited")
	for _, run := range []struct {
		name            string
		bundle          *Bundle
		removed, edited []string
	}{
		{"without both", design("second"), []string{"template.stl"}, []string{"rails.dxf"}},
		{"again", design("third"), nil, []string{"rails.dxf"}},
		{"with the unedited one again", design("fourth", "template.stl"), nil, []string{"rails.dxf"}},
		{"and without", design("fifth"), []string{"template.stl"}, []string{"rails.dxf"}},
	} {
		done := mustWrite(t, run.bundle, dir)
		if d := cmp.Diff([][]string{run.removed, run.edited}, [][]string{done.Removed, done.Edited}); d != "" {
			t.Errorf("%s (-want +got):\n%s", run.name, d)
		}
	}
	os.Remove(filepath.Join(dir, "rails.dxf"))
	if done := mustWrite(t, design("sixth"), dir); len(done.Edited) > 0 {
		t.Errorf("a file that is gone is still named: %v", done.Edited)
	}
}

// TestWriteBeside: a file put beside a design leaves the others, is the tool's own, is
// replaced while unedited, and goes with the next whole design.
func TestWriteBeside(t *testing.T) {
	dir := t.TempDir()
	mustWrite(t, design("one"), dir)
	beside := func(content string) error {
		b := &Bundle{}
		b.Add("pockets-1.nc", []byte(content))
		_, err := b.WriteBeside(dir)
		return err
	}
	for _, content := range []string{"step 1", "step 1 with another cutter"} {
		if err := beside(content); err != nil {
			t.Fatal(err)
		}
		if got := snapshot(t, dir); got["pockets-1.nc"] != content || len(got) != 4 {
			t.Errorf("directory holds %v", got)
		}
	}
	put(t, dir, "pockets-1.nc", "edited by hand")
	var foreign *ForeignError
	if err := beside("step 2"); !errors.As(err, &foreign) {
		t.Errorf("an edited program was replaced: %v", err)
	}
	put(t, dir, "pockets-1.nc", "step 1 with another cutter")
	if done := mustWrite(t, design("two"), dir); len(done.Removed) != 1 || done.Removed[0] != "pockets-1.nc" {
		t.Errorf("removed %v", done.Removed)
	}
}

var errFull = errors.New("no space left on device")

// breakAt makes the bundle fail at a step of a file.
func (b *Bundle) breakAt(step, name string) *Bundle {
	b.hook = func(s, n string) error {
		if s == step && n == name {
			return errFull
		}
		return nil
	}
	return b
}

// TestBrokenRun breaks a run at every step of every file and looks at what is left.
func TestBrokenRun(t *testing.T) {
	for _, step := range []string{"create", "write", "rename"} {
		for _, name := range []string{"template.dxf", "holes.csv", RecordName, LedgerName} {
			if step == "rename" && name == LedgerName {
				continue
			}
			t.Run(step+" "+name, func(t *testing.T) {
				dir := t.TempDir()
				mustWrite(t, design("old"), dir)
				b := design("new").breakAt(step, name)
				_, err := b.Write(dir)
				if !errors.Is(err, errFull) || !strings.Contains(err.Error(), name) {
					t.Fatalf("the error does not tell the failed file and its cause: %v", err)
				}
				for n, data := range snapshot(t, dir) {
					replaced := step == "rename" && strings.Contains(err.Error(), n) && n != name
					want := n + " old"
					if replaced {
						want = n + " new"
					}
					if data != want {
						t.Errorf("%s holds %q, want %q whole", n, data, want)
					}
				}
				// Another job, run into the same place, is not blocked by what is left.
				mustWrite(t, design("newer still"), dir)
			})
		}
	}
}

// TestKilledRun: a run killed between two renames leaves temporary files and files of
// two runs. The next run knows them all as the tool's own and sweeps the temporaries.
func TestKilledRun(t *testing.T) {
	dir := t.TempDir()
	mustWrite(t, design("old", "rails.dxf"), dir)
	type killed struct{}
	func() {
		defer func() {
			if recover() == nil {
				t.Fatal("the run was not cut short")
			}
		}()
		b := design("new")
		b.hook = func(s, n string) error {
			if s == "rename" && n == "holes.csv" {
				panic(killed{})
			}
			return nil
		}
		b.Write(dir)
	}()
	put(t, dir, ".notes.txt.12.tmp", "not the tool's")
	if got := snapshot(t, dir); got["template.dxf"] != "template.dxf new" || got["holes.csv"] != "holes.csv old" ||
		len(got) != 7 {
		t.Fatalf("the kill left %v", got)
	}
	done := mustWrite(t, design("newer still"), dir)
	want := map[string]string{
		"template.dxf": "template.dxf newer still", "holes.csv": "holes.csv newer still",
		RecordName: RecordName + " newer still", ".notes.txt.12.tmp": "not the tool's",
	}
	if d := cmp.Diff(want, snapshot(t, dir)); d != "" || len(done.Removed) != 1 {
		t.Errorf("removed %v; directory (-want +got):\n%s", done.Removed, d)
	}
}

func TestBrokenFirstRunLeavesNoDirectory(t *testing.T) {
	parent := t.TempDir()
	if _, err := design("new").breakAt("write", RecordName).Write(filepath.Join(parent, "a", "b")); err == nil {
		t.Fatal("no error")
	}
	if left := snapshot(t, parent); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestNames(t *testing.T) {
	for _, tc := range []struct {
		name  string
		names []string
	}{
		{"none", []string{""}},
		{"path", []string{"a/b.dxf"}},
		{"path up", []string{"../b.dxf"}},
		{"other system's path", []string{`a\b.dxf`}},
		{"hidden", []string{".b.dxf"}},
		{"looks like a flag", []string{"-o"}},
		{"drive", []string{"c:b.dxf"}},
		{"line break", []string{"a\nb.dxf"}},
		{"NUL", []string{"a\x00.dxf"}},
		{"long", []string{strings.Repeat("a", 121)}},
		{"twice but for case", []string{"a.dxf", "A.DXF"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			parent := t.TempDir()
			b := &Bundle{}
			for _, n := range tc.names {
				b.Add(n, []byte("x"))
			}
			if _, err := b.Write(filepath.Join(parent, "out")); err == nil {
				t.Error("no error")
			}
			if left := snapshot(t, parent); len(left) > 0 {
				t.Errorf("refused, yet wrote %v", left)
			}
		})
	}
}

func TestBadDirectories(t *testing.T) {
	for _, tc := range []struct {
		name, says string
		dir        func(t *testing.T, parent string) string
	}{
		{"none", "no directory", func(*testing.T, string) string { return "" }},
		{"below a file", "not a directory", func(t *testing.T, p string) string {
			put(t, p, "out", "mine")
			return filepath.Join(p, "out", "deeper")
		}},
		{"a link that leads nowhere", "leads nowhere", func(t *testing.T, p string) string {
			if err := os.Symlink(filepath.Join(p, "gone"), filepath.Join(p, "out")); err != nil {
				t.Skip("no symbolic links here")
			}
			return filepath.Join(p, "out")
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := tc.dir(t, parent)
			before := snapshot(t, parent)
			if _, err := design("new").Write(dir); err == nil || !strings.Contains(err.Error(), tc.says) {
				t.Errorf("want an error that says %q, got %v", tc.says, err)
			}
			if d := cmp.Diff(before, snapshot(t, parent)); d != "" {
				t.Errorf("refused, yet something changed:\n%s", d)
			}
		})
	}
}
