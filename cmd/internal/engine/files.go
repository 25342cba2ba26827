package engine

import (
	"archive/zip"
	"bytes"
	"context"
	"sync/atomic"

	"reseat/cmd/internal/outputs"
	"reseat/export"
	"reseat/jig"
)

// Engine keeps the last design and its files, so that a job that did not change is not designed again. The
// zero value is ready for use, from several goroutines too: none waits for another.
type Engine struct{ last atomic.Pointer[made] }

// made is a design with its files; nil: they are not rendered yet. It never changes.
type made struct {
	design  *jig.Design
	options outputs.Options
	files   *export.Bundle
}

// design takes a job to its design. quick: without the search for what helps; such a design is not kept.
func (e *Engine) design(ctx context.Context, j Job, quick bool) (*jig.Design, error) {
	read, err := j.read()
	if err != nil {
		return nil, err
	}
	if m := e.last.Load(); m != nil && m.design.JobSHA256 == read.SHA256 && m.design.JobFile == j.Name {
		return m.design, nil
	}
	if quick {
		return jig.Judged(read)
	}
	d, err := jig.BuildContext(ctx, read)
	if err == nil {
		e.last.Store(&made{design: d})
	}
	return d, err
}

// Files are all files of a job's design, with the bytes that the command writes.
func (e *Engine) Files(ctx context.Context, j Job, o outputs.Options) (*export.Bundle, error) {
	d, err := e.design(ctx, j, false)
	if err != nil {
		return nil, err
	}
	if m := e.last.Load(); m != nil && m.design == d && m.options == o && m.files != nil {
		return m.files, nil
	}
	b, err := outputs.Render(d, o)
	if err == nil {
		e.last.Store(&made{d, o, b})
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
