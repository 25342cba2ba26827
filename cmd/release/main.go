// Command release writes what makers download: reseat for Windows, macOS and Linux, the page
// as one file, and the checksums of all. The same source gives the same bytes, wherever it lies.
package main

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
)

// sumsFile lists the checksums, as sha256sum -c reads them.
const sumsFile = "SHA256SUMS"

// product is one file of a release.
type product struct {
	name     string
	os, arch string // of a program; "": the page
}

var products = []product{
	{"reseat-windows-amd64.exe", "windows", "amd64"},
	{"reseat-macos-amd64", "darwin", "amd64"},
	{"reseat-macos-arm64", "darwin", "arm64"},
	{"reseat-linux-amd64", "linux", "amd64"},
	{"reseat-linux-arm64", "linux", "arm64"},
	{"reseat.html", "", ""},
}

func main() {
	dir := flag.String("o", "", "directory for the files: a new one, or one with an earlier release alone")
	flag.Parse()
	if *dir == "" || flag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "release: name the directory: go run ./cmd/release -o DIR")
		os.Exit(2)
	}
	if err := release(*dir, build); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// build makes one product with the Go tool, stripped, without paths or state of the checkout.
func build(p product, out string) error {
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", out, "reseat/cmd/reseat")
	cmd.Env = append(os.Environ(), "GOOS="+p.os, "GOARCH="+p.arch, "CGO_ENABLED=0", "GOAMD64=v1", "GOARM64=v8.0", "GOFLAGS=")
	if p.os == "" {
		cmd = exec.Command("go", "run", "reseat/cmd/page", "-o", out)
	}
	cmd.Stderr = os.Stderr
	return cmd.Run()
}

// release makes every product and its checksum beside the directory, and moves all of them in
// when the last is done. Nothing that is no part of a release is replaced.
func release(dir string, build func(product, string) error) error {
	if err := onlyReleases(dir); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	made, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".release-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(made)
	var sums bytes.Buffer
	for _, p := range products {
		out := filepath.Join(made, p.name)
		if err := build(p, out); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		data, err := os.ReadFile(out)
		if err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(data), p.name)
	}
	if err := os.WriteFile(filepath.Join(made, sumsFile), sums.Bytes(), 0o666); err != nil {
		return err
	}
	for _, name := range names() {
		if err := os.Rename(filepath.Join(made, name), filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return nil
}

// names are the files of a release.
func names() []string {
	var out []string
	for _, p := range products {
		out = append(out, p.name)
	}
	return append(out, sumsFile)
}

// onlyReleases refuses a directory with other files in it.
func onlyReleases(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	for _, e := range entries {
		if !slices.Contains(names(), e.Name()) {
			return fmt.Errorf("%s holds %s, which is no part of a release: name another directory", dir, e.Name())
		}
	}
	return err
}
