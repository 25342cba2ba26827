package job

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/jig/units"
)

// TestReadRefuses: what is no job file gets one clear message.
func TestReadRefuses(t *testing.T) {
	dir := t.TempDir()
	at := func(name string, data []byte) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, c := range []struct{ name, path, want string }{
		{"missing", filepath.Join(dir, "none.yaml"), "there is no such file (reseat new PATH writes a starter job)"},
		{"directory", dir, "is a directory (give the job file in it)"},
		{"empty", at("empty", nil), "is empty (reseat new FILE writes a starter job)"},
		{"comments", at("comments", []byte("# nothing\n\n")), "is empty (reseat new FILE writes a starter job)"},
		{"null", at("null", []byte("~\n")), "is empty (reseat new FILE writes a starter job)"},
		{"binary", at("binary", []byte("PK\x03\x04\x00\x00")), "is not text: byte 4 is zero (is this the job file?)"},
		{"utf-16", at("utf16", []byte("\xff\xfea\x00")), "is UTF-16 text (save it as UTF-8)"},
		{"large", at("large", bytes.Repeat([]byte("# x\n"), MaxFileBytes/4+1)),
			"has 1048580 bytes; a job file has at most 1048576 (is this the job file?)"},
		{"latin-1", at("latin1", []byte("title: a\nwood: p\xe4r\n")),
			":2:8: byte 0xe4 is not UTF-8 text (save the file as UTF-8)"},
		{"control character", at("control", []byte("title: a\x1b[31m\n")),
			":1:9: the control character U+001B cannot stand in a job file (remove it)"},
		{"below a file", filepath.Join(at("file", []byte("x")), "job.yaml"), "cannot be read: not a directory"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, err := Read(c.path)
			var ps *Problems
			if j != nil || !errors.As(err, &ps) || len(ps.List) != 1 {
				t.Fatalf("got %v, %v; want one fault", j, err)
			}
			got := strings.TrimPrefix(strings.TrimPrefix(err.Error(), c.path), ": ")
			if want := strings.ReplaceAll(c.want, "PATH", c.path); got != want {
				t.Errorf("\n got %s\nwant %s", got, want)
			}
			if !strings.HasPrefix(err.Error(), c.path) {
				t.Errorf("%s does not start with the file", err)
			}
		})
	}
	if _, err := Read(filepath.Join(dir, "none.yaml")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v is not fs.ErrNotExist", err)
	}
}

// TestReadFollowsLinks: a job may be kept elsewhere.
func TestReadFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link.yaml")
	if err := os.WriteFile(real, Starter(units.MM), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", link); err != nil {
		t.Skip("no links here")
	}
	if j, err := Read(link); err != nil || j.File != link {
		t.Errorf("got %v, %v", j, err)
	}
}

// TestParseLimits: a file full of faults is told in part, with the rest counted.
func TestParseLimits(t *testing.T) {
	var b strings.Builder
	for i := 0; i < 3000; i++ {
		b.WriteString(strings.Repeat("k", 1+i%7))
		b.WriteString(strings.Repeat("0", i/7%9))
		b.WriteString(": 1\n")
	}
	_, err := Parse("many.yaml", []byte(b.String()))
	var ps *Problems
	if !errors.As(err, &ps) || len(ps.List) != maxListed || ps.More < 2900 {
		t.Fatalf("listed %d, %d more", len(ps.List), ps.More)
	}
	if !strings.HasSuffix(ps.Detail(), " more\n") {
		t.Error("Detail does not end with the count of the rest")
	}
}

// TestParseKeepsNoHold: the caller may reuse its buffer.
func TestParseKeepsNoHold(t *testing.T) {
	data := Starter(units.MM)
	j, err := Parse("a.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	for i := range data {
		data[i] = 'x'
	}
	if j.Title != "Fingerboard, dots bored again" {
		t.Error("the job changed with the caller's bytes")
	}
}

// The checksum is that of the bytes that were parsed, byte order mark and all, so that a
// record can tell the very job that it was made from.
func TestChecksumIsOfTheBytesRead(t *testing.T) {
	data := append([]byte("\xef\xbb\xbf"), Starter(units.MM)...)
	j, err := Parse("a.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("%x", sha256.Sum256(data)); j.SHA256 != want {
		t.Errorf("got %s, want %s", j.SHA256, want)
	}
}
