package engine

import (
	"bytes"
	"io/fs"
	"path"
	"time"
)

// OpenFrom opens files that are held in memory, by the names that a job has for them; where folders are not
// known, by the last part of the name.
func OpenFrom(files map[string][]byte) func(name string) (fs.File, error) {
	return func(name string) (fs.File, error) {
		data, ok := files[path.Clean(name)]
		if !ok {
			data, ok = files[path.Base(name)]
		}
		if !ok {
			return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
		}
		return held{bytes.NewReader(data), path.Base(name)}, nil
	}
}

// held is an open file in memory, and what is known of it: a regular file without a date.
type held struct {
	*bytes.Reader
	name string
}

func (h held) Stat() (fs.FileInfo, error) { return h, nil }
func (held) Close() error                 { return nil }
func (h held) Name() string               { return h.name }
func (held) Mode() fs.FileMode            { return 0o444 }
func (held) ModTime() time.Time           { return time.Time{} }
func (held) IsDir() bool                  { return false }
func (held) Sys() any                     { return nil }
