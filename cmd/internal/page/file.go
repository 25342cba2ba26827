package page

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/engine"
	"reseat/export"
	"reseat/jig/job"
)

// file is the job's file on disk, which is the truth.
type file struct {
	mu   sync.Mutex
	path string // "": there is none yet

	named named
}

// content is the job as the page has it and gives it back.
type content struct {
	Name  string `json:"name"` // of the file, without a folder
	Text  string `json:"text"`
	Stamp string `json:"stamp"` // checksum of the text that it was made from; "": of none
	Saved bool   `json:"saved"` // it is a file
	Named int    `json:"named"` // changes of files that the job names, so far
	Says  string `json:"says,omitempty"`
}

// newName is what a job that is no file yet is called.
const newName = "job.yaml"

// openFile opens a job's file, or none.
func openFile(path string) (*file, error) {
	if path == "" {
		return &file{}, nil
	}
	// Whether it can be read at all; what is wrong with its text is shown in the page.
	if _, err := command.ReadRegular(path, job.MaxFileBytes); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: there is no such file; reseat new %s writes a starter job", path, path)
	} else if err != nil {
		return nil, err
	}
	path, err := filepath.EvalSymlinks(path) // a link stays one
	return &file{path: path}, err
}

func stamp(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// now is the file as it is; a file that is gone, or there is none, is a starter job or empty.
func (f *file) now() content {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.read()
}

func (f *file) read() content {
	if f.path == "" {
		return content{Name: newName, Text: engine.Starter(false)}
	}
	data, err := command.ReadRegular(f.path, job.MaxFileBytes)
	if err != nil {
		return content{Name: filepath.Base(f.path), Says: err.Error()}
	}
	return content{Name: filepath.Base(f.path), Text: string(data), Stamp: stamp(string(data)), Saved: true}
}

// save writes the page's text in the place of the text that it was made from. The error is for a file that
// was changed meanwhile, which stays, and comes back with it.
func (f *file) save(mine content) (content, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.path == "" {
		if filepath.Base(mine.Name) != mine.Name || strings.ContainsAny(mine.Name, `/\`) {
			return content{}, fmt.Errorf("%q is no name of a file", mine.Name)
		}
		if err := export.WriteNew(mine.Name, []byte(mine.Text)); err != nil {
			return content{}, err
		}
		f.path = mine.Name
		return f.read(), nil
	}
	now := f.read()
	if now.Stamp != mine.Stamp {
		return now, errors.New("the file was changed elsewhere since it was read here, and was not written")
	}
	if err := replace(f.path, mine.Text); err != nil {
		return now, err
	}
	return f.read(), nil
}

// replace writes a file whole or not at all, with the rights that it had.
func replace(path, text string) error {
	was, err := os.Stat(path)
	if err != nil {
		return err
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), ".reseat-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.WriteString(text)
	err = errors.Join(err, tmp.Chmod(was.Mode().Perm()), tmp.Sync(), tmp.Close())
	if err != nil {
		return err
	}
	return os.Rename(tmp.Name(), path)
}

// beside opens a file that the job names: within the job's folder, or wherever the job's own file, as it is
// on disk, names it. What is only typed in the page opens nothing elsewhere.
func (f *file) beside(name string) (fs.File, error) {
	now := f.now()
	dir := "."
	if f.path != "" {
		dir = filepath.Dir(f.path)
	}
	local := filepath.FromSlash(name)
	if !filepath.IsLocal(local) {
		if !now.Saved || !strings.Contains(now.Text, name) {
			return nil, fmt.Errorf("%s is outside the job's folder; write it into the job's file with an editor", name)
		}
		return openRegular(filepath.Join(dir, local))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	if info, err := root.Stat(local); err != nil || !info.Mode().IsRegular() {
		return nil, notRegular(name, err)
	}
	return root.Open(local)
}

func openRegular(path string) (fs.File, error) {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
		return nil, notRegular(path, err)
	}
	return os.Open(path)
}

// notRegular is the error of what is no regular file, or cannot be looked at.
func notRegular(name string, err error) error {
	if err != nil {
		return err
	}
	return fmt.Errorf("%s: not a regular file", name)
}
