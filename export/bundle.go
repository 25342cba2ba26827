package export

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"strings"
)

// RecordName is the output that holds the whole design for other programs.
const RecordName = "design.json"

// File is one output as written.
type File struct {
	Name   string // plain name within the directory
	Bytes  int    // length
	SHA256 string // of the content, lower-case hexadecimal
}

// Bundle is a set of named outputs that belong together. The zero value is empty
// and ready for use. It is not safe for use from several goroutines.
type Bundle struct {
	outputs []output

	// hook is called before each step that can fail on a real disk; tests set it
	// to break a run at a chosen place.
	hook func(step, name string) error
}

type output struct {
	File
	data  []byte // nil for one that write makes
	write func(io.Writer) error
}

// Add puts an output into the bundle. Names are judged by Write. The data is not
// copied and must not be changed before Write.
func (b *Bundle) Add(name string, data []byte) {
	write := func(w io.Writer) error { _, err := w.Write(data); return err }
	b.outputs = append(b.outputs, output{File{name, len(data), digest(data)}, data, write})
}

// AddFunc puts an output into the bundle that may be too large to be held: it is made now,
// for its length and checksum, and again when it is written, with the same bytes.
func (b *Bundle) AddFunc(name string, write func(io.Writer) error) error {
	h := hasher{Hash: sha256.New()}
	if err := write(&h); err != nil {
		return err
	}
	b.outputs = append(b.outputs, output{File{name, h.n, h.sum()}, nil, write})
	return nil
}

// hasher counts and sums what is written to it.
type hasher struct {
	hash.Hash
	n int
}

func (h *hasher) Write(p []byte) (int, error) {
	h.n += len(p)
	return h.Hash.Write(p)
}

func (h *hasher) sum() string { return hex.EncodeToString(h.Sum(nil)) }

func digest(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// Data returns what was added under the name, or nil.
func (b *Bundle) Data(name string) []byte {
	for _, o := range b.outputs {
		if o.Name == name {
			return o.data
		}
	}
	return nil
}

// WriteOne writes the output of the name; nothing where there is none.
func (b *Bundle) WriteOne(w io.Writer, name string) error {
	for _, o := range b.outputs {
		if o.Name == name {
			return o.write(w)
		}
	}
	return nil
}

// Files lists the outputs in the order in which they were added.
func (b *Bundle) Files() []File {
	out := make([]File, len(b.outputs))
	for i, o := range b.outputs {
		out[i] = o.File
	}
	return out
}

// plainName reports whether a name is one file in any directory of any system: short
// enough for every file system in use (255 bytes) with the temporary name's ending, and
// neither hidden nor like a flag.
func plainName(name string) bool {
	return len(name) > 0 && len(name) <= longestName && strings.Trim(name, inNames) == "" && !strings.ContainsAny(name[:1], ".-")
}

const (
	longestName = 120
	inNames     = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_.-"
)

// checkNames reports the first name that cannot be a file of its own in any directory.
func (b *Bundle) checkNames() error {
	seen := map[string]bool{}
	for _, o := range b.outputs {
		// Two names that differ only in case are one file on some systems.
		key := strings.ToLower(o.Name)
		if seen[key] || !plainName(o.Name) {
			return fmt.Errorf("output name %q is no plain file name, or is used twice", o.Name)
		}
		seen[key] = true
	}
	return nil
}
