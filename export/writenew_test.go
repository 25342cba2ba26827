package export

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWriteNew(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "job.yaml")
	if err := WriteNew(path, []byte("title: a\n")); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "link.yaml")
	if err := os.Symlink(filepath.Join(dir, "nowhere"), link); err != nil {
		link = path
	}
	for _, taken := range []string{path, dir, link} {
		if err := WriteNew(taken, []byte("title: b\n")); err == nil || !strings.Contains(err.Error(), "exists already") {
			t.Errorf("%s is taken, yet: %v", taken, err)
		}
	}
	if got := snapshot(t, dir)["job.yaml"]; got != "title: a\n" {
		t.Errorf("overwritten: %q", got)
	}
	for content, want := range map[string]bool{"title: a\n": true, "title: b\n": false} {
		write := func(w io.Writer) error { _, err := io.WriteString(w, content); return err }
		if FileEquals(path, write) != want || FileEquals(dir, write) {
			t.Errorf("%q: the file holds it, or not; want %v", content, want)
		}
	}
	if err := WriteNew(filepath.Join(dir, "gone", "job.yaml"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no such directory, yet: %v", err)
	}
}

func TestChecksum(t *testing.T) {
	doc := fmt.Appendf(nil, `{"title": "\"seal_sha256\": \"", "made_by": %q, "files": [], "seal_sha256": %q}`, MadeBy,
		ChecksumBlank)
	checked, err := WithChecksum(doc)
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := WithChecksum(checked); !bytes.Equal(again, checked) {
		t.Error("a second checksum changes the record")
	}
	if !IsGenuine(checked) {
		t.Error("a record with its checksum is not genuine")
	}
	// Every single-byte change breaks it.
	for i := range checked {
		bad := bytes.Clone(checked)
		bad[i] ^= 1
		if IsGenuine(bad) {
			t.Errorf("byte %d changed from %q to %q, still genuine", i, checked[i], bad[i])
		}
	}
	for _, bad := range []string{"", "{}", `{"seal_sha256": ""}`, `{"seal_sha256": "12`, `{"seal_sha256": "` +
		ChecksumBlank} {
		if _, err := WithChecksum([]byte(bad)); err == nil {
			t.Errorf("%q has no checksum key, yet no error", bad)
		}
	}
}
