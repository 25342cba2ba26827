// Command page writes reseat.html: the page of reseat view as one file with the engine inside, which opens
// from disk without a network.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"reseat/cmd/internal/page"
)

func main() {
	out := flag.String("o", "reseat.html", "file to write; one of that name is replaced")
	flag.Parse()
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
}

func write(out string) error {
	dir, err := os.MkdirTemp("", "reseat-page-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	wasm := filepath.Join(dir, "engine.wasm")
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", wasm, "reseat/cmd/internal/page/wasm")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return fmt.Errorf("the engine does not build: %w", err)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	glue, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	engine, err := os.ReadFile(wasm)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(engine); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	if err := os.WriteFile(out, page.Single(string(glue), packed.Bytes()), 0o666); err != nil {
		return err
	}
	fmt.Printf("wrote %s: engine %.1f MB, %.1f MB compressed\n", out, float64(len(engine))/1e6, float64(packed.Len())/1e6)
	return nil
}
