package export

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// WriteNew writes a file that must not exist yet, flushed to the disk. It never
// overwrites: the error says so, whatever stands at the path (a link that leads
// nowhere included). A file that could not be written whole is removed again.
func WriteNew(path string, data []byte) error {
	return WriteNewFunc(path, func(w io.Writer) error { _, err := w.Write(data); return err })
}

// WriteNewFunc is WriteNew for a file that may be too large to be held.
func WriteNewFunc(path string, write func(io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already and is never overwritten: choose another name, or move it away", path)
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, err)
	}
	err = write(f)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing %s: %w", path, err)
	}
	return nil
}

// FileEquals reports whether the file at the path has the bytes that write makes.
func FileEquals(path string, write func(io.Writer) error) bool {
	if st, err := os.Stat(path); err != nil || !st.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	there, wanted := hasher{Hash: sha256.New()}, hasher{Hash: sha256.New()}
	_, err = io.Copy(&there, f)
	return err == nil && write(&wanted) == nil && there.sum() == wanted.sum()
}
