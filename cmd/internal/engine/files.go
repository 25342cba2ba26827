package engine

import (
	"archive/zip"
	"bytes"
	"sync"

	"reseat/cmd/internal/outputs"
	"reseat/export"
	"reseat/jig"
)

// Engine keeps the last design and its files, so that a job that did not change is not designed again. The
// zero value is ready for use, from several goroutines too.
type Engine struct {
	mu      sync.Mutex
	sha     string // of the job that was designed
	name    string
	made    *jig.Design
	options outputs.Options
	files   *export.Bundle // nil: not rendered yet
}

// design takes a job to its design. quick: without the search for what helps; such a design is not kept.
func (e *Engine) design(j Job, quick bool) (*jig.Design, error) {
	read, err := j.read()
	if err != nil {
		return nil, err
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.made != nil && e.sha == read.SHA256 && e.name == j.Name {
		return e.made, nil
	}
	if quick {
		return jig.Judged(read)
	}
	d, err := jig.Build(read)
	if err == nil {
		e.sha, e.name, e.made, e.files = read.SHA256, j.Name, d, nil
	}
	return d, err
}

// Files are all files of a job's design, with the bytes that the command writes.
func (e *Engine) Files(j Job, o outputs.Options) (*export.Bundle, error) {
	d, err := e.design(j, false)
	if err != nil {
		return nil, err
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.files != nil && e.made == d && e.options == o {
		return e.files, nil
	}
	b, err := outputs.Of(d, o)
	if err == nil && e.made == d {
		e.options, e.files = o, b
	}
	return b, err
}

// Listed is a file as the page offers it.
type Listed struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
	For   string `json:"for"`
}

func listed(b *export.Bundle) (out []Listed) {
	for _, f := range b.Files() {
		out = append(out, Listed{f.Name, f.Bytes, export.Purpose(f.Name)})
	}
	return out
}

// content is one file of a bundle, or all of them in a ZIP archive without dates.
func content(b *export.Bundle, name string) ([]byte, error) {
	var out bytes.Buffer
	if name != "" {
		err := b.WriteOne(&out, name)
		return out.Bytes(), err
	}
	z := zip.NewWriter(&out)
	for _, f := range b.Files() {
		w, err := z.Create(f.Name)
		if err == nil {
			err = b.WriteOne(w, f.Name)
		}
		if err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}
