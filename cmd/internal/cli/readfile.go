package cli

import (
	"fmt"
	"io"
	"os"
)

// mostReadings bounds a readings file: 10 000 points of 100 characters each, which
// no hand and no probe fills.
const mostReadings = 1 << 20

// readSmall reads a regular file of at most mostReadings bytes.
func readSmall(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	switch {
	case err != nil:
		return nil, err
	case !st.Mode().IsRegular():
		return nil, fmt.Errorf("%s: not a file (a readings file is a CSV)", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, mostReadings+1))
	switch {
	case err != nil:
		return nil, err
	case len(data) > mostReadings:
		return nil, fmt.Errorf("%s: larger than %d KiB; a readings file is a short CSV", path, mostReadings>>10)
	}
	return data, nil
}
