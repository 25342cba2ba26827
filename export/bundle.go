package export

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
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
	name string
	data []byte
	sum  string
}

func digest(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// Add puts an output into the bundle. Names are judged by Write. The data is not
// copied and must not be changed before Write.
func (b *Bundle) Add(name string, data []byte) {
	b.outputs = append(b.outputs, output{name, data, digest(data)})
}

// Data returns what was added under the name, or nil.
func (b *Bundle) Data(name string) []byte {
	for _, o := range b.outputs {
		if o.name == name {
			return o.data
		}
	}
	return nil
}

// Files lists the outputs in the order in which they were added.
func (b *Bundle) Files() []File {
	out := make([]File, len(b.outputs))
	for i, o := range b.outputs {
		out[i] = File{o.name, len(o.data), o.sum}
	}
	return out
}

// maxNameLen is short enough for every file system in use (255 bytes) with room
// for the temporary name's ending.
const maxNameLen = 120

// checkNames reports every name that cannot be a file of its own in any directory.
func (b *Bundle) checkNames() error {
	seen := map[string]bool{}
	for _, o := range b.outputs {
		if why := badName(o.name); why != "" {
			return fmt.Errorf("output name %q %s", o.name, why)
		}
		// Two names that differ only in case are one file on some systems.
		key := strings.ToLower(o.name)
		if seen[key] {
			return fmt.Errorf("output name %q is used twice", o.name)
		}
		seen[key] = true
	}
	return nil
}

func badName(name string) string {
	switch {
	case name == "":
		return "is empty"
	case len(name) > maxNameLen:
		return "is too long"
	case strings.ContainsAny(name, `/\`):
		return "holds a path separator"
	case name[0] == '.' || name[0] == '-':
		return "starts with a dot or a dash"
	}
	for _, r := range name {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("._-", r)) {
			return "holds a sign other than letters, digits, dot, dash and underscore"
		}
	}
	return ""
}
