package command

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Limits of what is read, in bytes.
const (
	// MostReadings bounds a readings file in bytes: 100 000 readings of 160 characters.
	MostReadings = 16 << 20
	// MostRecord bounds the record that is read: a design of twelve pins is 100 kB.
	MostRecord = 4 << 20
)

// ReadRegular reads a regular file of at most the given number of bytes. Anything else,
// such as a named pipe that nobody writes to, is refused before it is opened.
func ReadRegular(path string, most int64) ([]byte, error) {
	st, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, missingFile{path, err}
	case err != nil:
		return nil, err
	}
	if !st.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: not a regular file; give the name of a file", path)
	}
	return Streams{Open: func(name string) (fs.File, error) { return os.Open(name) }}.Read(path, most)
}

// missingFile is a file that is not there, in plain words.
type missingFile struct {
	path string
	err  error
}

func (e missingFile) Error() string {
	return e.path + ": there is no such file; look at its name and folder"
}
func (e missingFile) Unwrap() error { return e.err }

// Read reads a file of at most the given number of bytes, as ReadRegular does when there is nothing
// to open it with.
func (s Streams) Read(path string, most int64) ([]byte, error) {
	if s.Open == nil {
		return ReadRegular(path, most)
	}
	f, err := s.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	switch {
	case err != nil:
		return nil, err
	case int64(len(data)) > most:
		return nil, fmt.Errorf("%s: larger than %d KiB; is it the right file?", path, most>>10)
	}
	return data, nil
}
