package job

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// Opener opens a file that a job names beside itself, such as template.make.from. The name
// is as the job has it, with slashes, relative to the job file's folder; ".." may lead out
// of it, so that several jobs share one file. The Open of an fs.FS is an Opener of names
// that stay inside.
type Opener func(name string) (fs.File, error)

// errNotRegular is of a name that stands for a folder, a device or a pipe.
var errNotRegular = errors.New("not a regular file")

// onDisk opens files beside the job file at path. What is not a regular file is not opened:
// a pipe would be waited for.
func onDisk(path string) Opener {
	return func(name string) (fs.File, error) {
		at := filepath.Join(filepath.Dir(path), filepath.FromSlash(name))
		if info, err := os.Stat(at); err != nil {
			return nil, err
		} else if !info.Mode().IsRegular() {
			return nil, errNotRegular
		}
		return os.Open(at)
	}
}

// besideName is how a file that the job names is told: as it is found from where the job was.
func besideName(job, name string) string {
	return filepath.ToSlash(filepath.Join(filepath.Dir(job), filepath.FromSlash(name)))
}

// fileName reads the name of a file beside the job: relative, with slashes.
func (r *reader) fileName(n *yaml.Node, path string) string {
	name := r.text(n, path)
	switch {
	case strings.Contains(name, `\`):
		r.fault(n, path, "got "+quoted(name), "write slashes: "+strings.ReplaceAll(name, `\`, "/"))
	case strings.HasPrefix(name, "/"), len(name) > 1 && name[1] == ':':
		r.fault(n, path, quoted(name)+" holds on this computer alone", "write it as found from the job file's folder")
	default:
		return name
	}
	return ""
}

// beside returns the bytes of the file that the key at path names, and how the file is told
// in messages. What cannot be read, is no regular file or has more than most bytes is a fault
// at the key; text is then nil. The job's SHA256 covers what was read.
func (r *reader) beside(path string, most int) (shown string, text []byte) {
	name := r.word(path)
	if name == "" || !r.isFaultless(path) {
		return "", nil
	}
	shown = besideName(r.file, name)
	if text, ok := r.files[name]; ok {
		return shown, text
	}
	text, err := readAll(r.opener, name, most)
	if errors.Is(err, fs.ErrNotExist) {
		r.faultKey(path, "there is no file "+strconv.Quote(shown), "names are found from the job file's folder")
		return shown, nil
	} else if err != nil {
		r.faultKey(path, strconv.Quote(shown)+" cannot be read: "+cause(err), "")
		return shown, nil
	}
	r.files[name] = text
	return shown, text
}

// readAll reads a regular file of at most so many bytes.
func readAll(open Opener, name string, most int) ([]byte, error) {
	if open == nil {
		return nil, errors.New("the job was read by itself, without a folder")
	}
	f, err := open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, errNotRegular
	}
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	if err == nil && len(data) > most {
		err = fmt.Errorf("it has more than %d bytes", most)
	}
	if err == nil && data == nil {
		data = []byte{}
	}
	return data, err
}

// checksum is the SHA-256 of a job's bytes, and of those of the files that it names: where a
// file changes, the job is another one.
func checksum(data []byte, files map[string][]byte) string {
	h := sha256.New()
	h.Write(data)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(h, "\x00%s\x00%d\x00", name, len(files[name]))
		h.Write(files[name])
	}
	return hex.EncodeToString(h.Sum(nil))
}

// faultInside notes a fault at a place in another file that the key at path names. src is
// that file's text, for the line that is shown; nil: the file is no text to show.
func (r *reader) faultInside(file string, src *source, at Position, path, says, remedy string) {
	r.faultAt(at, path, says, remedy)
	if n := len(r.list); r.more == 0 {
		r.list[n-1].File, r.list[n-1].src = file, src
	}
}
