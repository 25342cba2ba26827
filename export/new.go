package export

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// WriteNew writes a file that must not exist yet, flushed to the disk. It never
// overwrites: the error says so, whatever stands at the path (a link that leads
// nowhere included). A file that could not be written whole is removed again.
func WriteNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already and is never overwritten: choose another name, or move it away", path)
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, err)
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing %s: %w", path, err)
	}
	return nil
}
