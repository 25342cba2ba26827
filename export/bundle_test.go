package export

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// design returns a bundle as the design command makes it: two files and a sealed
// record of them, all depending on content.
func design(t *testing.T, content string) *Bundle {
	t.Helper()
	b := &Bundle{}
	b.Add("template.dxf", []byte("plate "+content))
	b.Add("holes.csv", []byte("holes "+content))
	addRecord(t, b)
	return b
}

func addRecord(t *testing.T, b *Bundle) {
	t.Helper()
	var list []string
	for _, f := range b.Files() {
		list = append(list, fmt.Sprintf(`{"name": %q, "bytes": %d, "sha256": %q}`, f.Name, f.Bytes, f.SHA256))
	}
	sealed, err := Seal(fmt.Appendf(nil, "{\"made_by\": %q, \"files\": [%s], \"seal_sha256\": %q}\n",
		MadeBy, strings.Join(list, ", "), SealBlank))
	if err != nil {
		t.Fatal(err)
	}
	b.Add(RecordName, sealed)
}

// snapshot reads a directory: names to content, links and directories by kind.
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

func mustWrite(t *testing.T, b *Bundle, dir string) []File {
	t.Helper()
	files, err := b.Write(dir)
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func put(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestWriteTellsWhatItWrote(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there", "yet")
	b := design(t, "one")
	files := mustWrite(t, b, dir)
	got := snapshot(t, dir)
	if len(got) != len(files) || len(files) != 3 {
		t.Fatalf("wrote %v, directory holds %v", files, got)
	}
	for _, f := range files {
		if got[f.Name] != string(b.Data(f.Name)) || f.Bytes != len(got[f.Name]) {
			t.Errorf("%s: listed %d bytes, holds %q", f.Name, f.Bytes, got[f.Name])
		}
	}
	// sha256sum of GNU coreutils is the outside judge of the hashes.
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip("sha256sum is not installed")
	}
	for _, f := range files {
		out, err := exec.Command(tool, filepath.Join(dir, f.Name)).Output()
		if err != nil || !strings.HasPrefix(string(out), f.SHA256+" ") {
			t.Errorf("%s: listed %s, sha256sum says %s (%v)", f.Name, f.SHA256, out, err)
		}
	}
}

// TestWhoseFile holds the rule of ownership: what may be replaced and what not.
func TestWhoseFile(t *testing.T) {
	sealedElsewhere := string(design(t, "elsewhere").Data(RecordName))
	for _, tc := range []struct {
		name, reason string
		before       func(t *testing.T, dir string)
		foreign      []string // nil: the run is allowed
	}{
		{"empty directory", "nothing stands in the way", func(*testing.T, string) {}, nil},
		{"own files, same content", "two runs of one job", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "new"), dir)
		}, nil},
		{"own files, other content", "the job was changed", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "old"), dir)
		}, nil},
		{"unrelated files", "not among the outputs, so not in the way", func(t *testing.T, dir string) {
			put(t, dir, "notes.txt", "mine")
		}, nil},
		{"own file deleted", "the place is free", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "old"), dir)
			os.Remove(filepath.Join(dir, "holes.csv"))
		}, nil},
		{"same bytes without a record", "nothing would change", func(t *testing.T, dir string) {
			put(t, dir, "template.dxf", "plate new")
		}, nil},
		{"user's file", "never replaced", func(t *testing.T, dir string) {
			put(t, dir, "template.dxf", "mine")
		}, []string{"template.dxf"}},
		{"empty user's file", "even an empty one", func(t *testing.T, dir string) {
			put(t, dir, "template.dxf", "")
		}, []string{"template.dxf"}},
		{"two user's files", "all are named at once", func(t *testing.T, dir string) {
			put(t, dir, "holes.csv", "mine")
			put(t, dir, "template.dxf", "mine")
		}, []string{"template.dxf", "holes.csv"}},
		{"own file edited since", "the edit is the user's work", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "old"), dir)
			put(t, dir, "template.dxf", "plate old, moved a hole")
		}, []string{"template.dxf"}},
		{"record edited since", "a changed record vouches for nothing, itself included", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "old"), dir)
			data, _ := os.ReadFile(filepath.Join(dir, RecordName))
			put(t, dir, RecordName, string(bytes.Replace(data, []byte("holes.csv"), []byte("notes.txt"), 1)))
		}, []string{"template.dxf", "holes.csv", RecordName}},
		{"record of another program", "it has no seal", func(t *testing.T, dir string) {
			put(t, dir, RecordName, `{"made_by": "reseat", "files": []}`)
		}, []string{RecordName}},
		{"record is not JSON", "it has no seal", func(t *testing.T, dir string) {
			put(t, dir, RecordName, "\x00\xff")
		}, []string{RecordName}},
		{"record copied from elsewhere", "genuine, but its hashes are of other files", func(t *testing.T, dir string) {
			put(t, dir, RecordName, sealedElsewhere)
			put(t, dir, "template.dxf", "mine")
		}, []string{"template.dxf"}},
		{"record deleted", "nothing vouches for the files any more", func(t *testing.T, dir string) {
			mustWrite(t, design(t, "old"), dir)
			os.Remove(filepath.Join(dir, RecordName))
		}, []string{"template.dxf", "holes.csv"}},
		{"directory in the place", "not a file", func(t *testing.T, dir string) {
			os.Mkdir(filepath.Join(dir, "template.dxf"), 0o755)
		}, []string{"template.dxf"}},
		{"link out of the directory", "its target is outside", func(t *testing.T, dir string) {
			outside := filepath.Join(t.TempDir(), "outside.dxf")
			put(t, filepath.Dir(outside), "outside.dxf", "mine")
			t.Cleanup(func() {
				if data, _ := os.ReadFile(outside); string(data) != "mine" {
					t.Errorf("the link's target was changed to %q", data)
				}
			})
			if err := os.Symlink(outside, filepath.Join(dir, "template.dxf")); err != nil {
				t.Skip("no symbolic links here")
			}
		}, []string{"template.dxf"}},
		{"link to identical bytes inside", "a link is never the tool's", func(t *testing.T, dir string) {
			put(t, dir, "same.dxf", "plate new")
			if err := os.Symlink("same.dxf", filepath.Join(dir, "template.dxf")); err != nil {
				t.Skip("no symbolic links here")
			}
		}, []string{"template.dxf"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			tc.before(t, dir)
			before := snapshot(t, dir)
			b := design(t, "new")
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
			var foreign *ForeignFileError
			if !errors.As(err, &foreign) {
				t.Fatalf("%s, yet: %v", tc.reason, err)
			}
			var names []string
			for _, f := range foreign.Files {
				names = append(names, f.Name)
				if !strings.Contains(err.Error(), f.Name+" "+f.Reason) {
					t.Errorf("message does not say what is wrong with %s: %v", f.Name, err)
				}
			}
			if d := cmp.Diff(tc.foreign, names); d != "" {
				t.Errorf("foreign files (-want +got):\n%s", d)
			}
			if !strings.Contains(err.Error(), "-o DIR") {
				t.Errorf("message gives no remedy: %v", err)
			}
			if d := cmp.Diff(before, snapshot(t, dir)); d != "" {
				t.Errorf("refused, yet the directory changed:\n%s", d)
			}
		})
	}
}

// TestBrokenRun breaks a run at every step of every file and looks at what is left.
func TestBrokenRun(t *testing.T) {
	full := errors.New("no space left on device")
	for _, step := range []string{"create", "write", "rename"} {
		for _, name := range []string{"template.dxf", "holes.csv", RecordName} {
			t.Run(step+" "+name, func(t *testing.T) {
				dir := t.TempDir()
				mustWrite(t, design(t, "old"), dir)
				before := snapshot(t, dir)

				b := design(t, "new")
				b.hook = func(s, n string) error {
					if s == step && n == name {
						return full
					}
					return nil
				}
				_, err := b.Write(dir)
				var werr *WriteError
				if !errors.As(err, &werr) || !errors.Is(err, full) || werr.Name != name {
					t.Fatalf("error does not tell the failed file and its cause: %v", err)
				}
				done := map[string]bool{}
				for _, d := range werr.Done {
					done[d] = true
				}
				if step != "rename" && len(done) > 0 {
					t.Errorf("files replaced before all were staged: %v", werr.Done)
				}
				after := snapshot(t, dir)
				if len(after) != len(before) {
					t.Errorf("temporaries left behind: %v", after)
				}
				for n, old := range before {
					want := old
					if done[n] {
						want = string(b.Data(n))
					}
					if after[n] != want {
						t.Errorf("%s holds %q, want %q whole", n, after[n], want)
					}
				}
				// The same job, run again, heals whatever the broken run left.
				mustWrite(t, design(t, "new"), dir)
			})
		}
	}
}

func TestDirectoryNotWritable(t *testing.T) {
	b := design(t, "new")
	b.hook = func(s, _ string) error {
		if s == "create" { // root may create anywhere, so the refusal is played
			return &os.PathError{Op: "openat", Path: "x", Err: os.ErrPermission}
		}
		return nil
	}
	_, err := b.Write(t.TempDir())
	var derr *DirError
	if !errors.As(err, &derr) || !strings.Contains(err.Error(), "not writable") {
		t.Errorf("want a *DirError that says so, got %v", err)
	}
}

func TestBrokenFirstRunLeavesNoDirectory(t *testing.T) {
	parent := t.TempDir()
	b := design(t, "new")
	b.hook = func(s, n string) error {
		if s == "write" && n == RecordName {
			return errors.New("no space left on device")
		}
		return nil
	}
	if _, err := b.Write(filepath.Join(parent, "a", "b")); err == nil {
		t.Fatal("no error")
	}
	if left := snapshot(t, parent); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestLeftoverTemporariesDoNotBlock(t *testing.T) {
	dir := t.TempDir()
	for n := range 3 {
		put(t, dir, fmt.Sprintf(".template.dxf.%d-%d.tmp", os.Getpid(), n), "of a killed run")
	}
	mustWrite(t, design(t, "new"), dir)
	if got := len(snapshot(t, dir)); got != 3+3 {
		t.Errorf("%d files, want the three outputs and the three leftovers", got)
	}
}

func TestStale(t *testing.T) {
	dir := t.TempDir()
	first := &Bundle{}
	first.Add("template.stl", []byte("printed"))
	first.Add("rails.dxf", []byte("rails"))
	first.Add("holes.csv", []byte("holes"))
	addRecord(t, first)
	mustWrite(t, first, dir)
	put(t, dir, "rails.dxf", "rails, edited")

	b := design(t, "laser")
	mustWrite(t, b, dir)
	// rails.dxf was edited, so it is the user's and no business of the tool.
	if d := cmp.Diff([]string{"template.stl"}, b.Stale(dir)); d != "" {
		t.Errorf("stale files (-want +got):\n%s", d)
	}
	if got := snapshot(t, dir)["template.stl"]; got != "printed" {
		t.Errorf("the stale file was touched: %q", got)
	}
	if got := b.Stale(t.TempDir()); len(got) > 0 {
		t.Errorf("stale files in a directory that was not written to: %v", got)
	}
	again := design(t, "laser")
	mustWrite(t, again, dir)
	if len(again.Stale(dir)) > 0 {
		t.Errorf("the record no longer lists it, yet: %v", again.Stale(dir))
	}
}

func TestNames(t *testing.T) {
	for _, tc := range []struct {
		name  string
		names []string
	}{
		{"none", []string{""}},
		{"up", []string{".."}},
		{"path", []string{"a/b.dxf"}},
		{"path up", []string{"../b.dxf"}},
		{"absolute", []string{"/b.dxf"}},
		{"other system's path", []string{`a\b.dxf`}},
		{"hidden", []string{".b.dxf"}},
		{"looks like a flag", []string{"-o"}},
		{"drive", []string{"c:b.dxf"}},
		{"line break", []string{"a\nb.dxf"}},
		{"NUL", []string{"a\x00.dxf"}},
		{"long", []string{strings.Repeat("a", maxNameLen+1)}},
		{"twice", []string{"a.dxf", "a.dxf"}},
		{"twice but for case", []string{"a.dxf", "A.DXF"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "out")
			b := &Bundle{}
			for _, n := range tc.names {
				b.Add(n, []byte("x"))
			}
			_, err := b.Write(dir)
			var nerr *NameError
			if !errors.As(err, &nerr) {
				t.Fatalf("want a *NameError, got %v", err)
			}
			if left := snapshot(t, parent); len(left) > 0 {
				t.Errorf("refused, yet wrote %v", left)
			}
		})
	}
}

func TestBadDirectories(t *testing.T) {
	for _, tc := range []struct {
		name string
		dir  func(t *testing.T, parent string) string
	}{
		{"none", func(*testing.T, string) string { return "" }},
		{"a file", func(t *testing.T, p string) string {
			put(t, p, "out", "mine")
			return filepath.Join(p, "out")
		}},
		{"below a file", func(t *testing.T, p string) string {
			put(t, p, "out", "mine")
			return filepath.Join(p, "out", "deeper")
		}},
		{"a link that leads nowhere", func(t *testing.T, p string) string {
			if err := os.Symlink(filepath.Join(p, "gone"), filepath.Join(p, "out")); err != nil {
				t.Skip("no symbolic links here")
			}
			return filepath.Join(p, "out")
		}},
		{"parent not writable", func(t *testing.T, p string) string {
			if os.Geteuid() == 0 {
				t.Skip("root may write anywhere")
			}
			os.Chmod(p, 0o555)
			t.Cleanup(func() { os.Chmod(p, 0o755) })
			return filepath.Join(p, "out")
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := tc.dir(t, parent)
			before := snapshot(t, parent)
			_, err := design(t, "new").Write(dir)
			var derr *DirError
			if !errors.As(err, &derr) {
				t.Fatalf("want a *DirError, got %v", err)
			}
			if d := cmp.Diff(before, snapshot(t, parent)); d != "" {
				t.Errorf("refused, yet something changed:\n%s", d)
			}
		})
	}
}

func TestWriteThroughLinkedDirectory(t *testing.T) {
	parent := t.TempDir()
	real := filepath.Join(parent, "real")
	if err := os.Mkdir(real, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", filepath.Join(parent, "out")); err != nil {
		t.Skip("no symbolic links here")
	}
	mustWrite(t, design(t, "new"), filepath.Join(parent, "out"))
	if got := len(snapshot(t, real)); got != 3 {
		t.Errorf("%d files in the directory that the user named by a link, want 3", got)
	}
}
