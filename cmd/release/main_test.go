package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// fake writes a product's name in place of the product; what is made of it, CI sees.
func fake(p product, out string) error { return os.WriteFile(out, []byte(p.os+p.arch), 0o777) }

func TestRelease(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	for range 2 { // an earlier release is replaced
		if err := release(dir, fake); err != nil {
			t.Fatal(err)
		}
	}
	sums, err := os.ReadFile(filepath.Join(dir, sumsFile))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(sums), "\n"), "\n")
	if len(lines) != len(products) {
		t.Fatalf("%d checksums of %d files", len(lines), len(products))
	}
	for i, l := range lines {
		sum, name, _ := strings.Cut(l, "  ")
		data, err := os.ReadFile(filepath.Join(dir, name))
		if got := sha256.Sum256(data); err != nil || hex.EncodeToString(got[:]) != sum || name != products[i].name {
			t.Errorf("%s: %v", l, err)
		}
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(dir), ".release-*"))
	if len(left) > 0 || err != nil {
		t.Errorf("left behind: %v %v", left, err)
	}
}

// TestReleaseFails: a product that does not build leaves the directory as it was, and a
// directory with other files is refused.
func TestReleaseFails(t *testing.T) {
	dir := t.TempDir()
	broken := errors.New("broken")
	err := release(dir, func(p product, out string) error {
		if p.os == "linux" {
			return broken
		}
		return fake(p, out)
	})
	if entries, _ := os.ReadDir(dir); !errors.Is(err, broken) || len(entries) > 0 {
		t.Errorf("%v, %d files", err, len(entries))
	}
	mine := filepath.Join(dir, "mine.txt")
	if err := os.WriteFile(mine, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := release(dir, fake); err == nil || !strings.Contains(err.Error(), "mine.txt") {
		t.Errorf("a directory with other files: %v", err)
	}
}
