package export

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func TestWriteNew(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "job.yaml")
	if err := WriteNew(path, []byte("title: a\n")); err != nil {
		t.Fatal(err)
	}
	var exists *ExistsError
	if err := WriteNew(path, []byte("title: b\n")); !errors.As(err, &exists) || exists.Path != path {
		t.Errorf("want *ExistsError for %s, got %v", path, err)
	}
	if got := snapshot(t, dir)["job.yaml"]; got != "title: a\n" {
		t.Errorf("overwritten: %q", got)
	}
	if err := WriteNew(dir, nil); !errors.As(err, &exists) {
		t.Errorf("a directory stands there, yet: %v", err)
	}
	var werr *WriteError
	if err := WriteNew(filepath.Join(dir, "gone", "job.yaml"), nil); !errors.As(err, &werr) {
		t.Errorf("no such directory, yet: %v", err)
	}
	link := filepath.Join(dir, "link.yaml")
	if os.Symlink(filepath.Join(dir, "nowhere"), link) == nil {
		if err := WriteNew(link, []byte("x")); !errors.As(err, &exists) {
			t.Errorf("a link stands there, yet: %v", err)
		}
	}
}

func TestSeal(t *testing.T) {
	doc := fmt.Appendf(nil, `{"title": "\"seal_sha256\": \"", "made_by": %q, "files": [], "seal_sha256": %q}`, MadeBy, SealBlank)
	sealed, err := Seal(doc)
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := Seal(sealed); !bytes.Equal(again, sealed) {
		t.Error("sealing twice changes the seal")
	}
	if _, ok := vouched(sealed); !ok {
		t.Error("a sealed record is not genuine")
	}
	// Every single-byte change breaks it.
	for i := range sealed {
		bad := bytes.Clone(sealed)
		bad[i] ^= 1
		if _, ok := vouched(bad); ok {
			t.Errorf("byte %d changed from %q to %q, still genuine", i, sealed[i], bad[i])
		}
	}
	for _, bad := range []string{"", "{}", `{"seal_sha256": ""}`, `{"seal_sha256": "12`, `{"seal_sha256": "` + SealBlank} {
		if _, err := Seal([]byte(bad)); err == nil {
			t.Errorf("%q has no seal, yet no error", bad)
		}
	}
}
