// Package command holds what the verbs of the command line share: where they read and
// write, how a wrong command line is told, tables and charts of text.
package command

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"reseat/export"
	"reseat/export/picture"
	"reseat/export/record"
)

// Streams are where a command reads and writes.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
	Wrote    *bool // set by a command that has written files
	// Open opens what is read by name; nil: from disk.
	Open func(name string) (fs.File, error)
}

// ErrFails is returned by a command that has done its work and found that
// something does not hold. It has been told already.
var ErrFails = errors.New("a rule fails")

// UsageError is a wrong command line; it is told with a hint at the help.
type UsageError struct{ Says string }

func (e *UsageError) Error() string { return e.Says }

// Usage makes a *UsageError.
func Usage(format string, a ...any) error { return &UsageError{fmt.Sprintf(format, a...)} }

// OneArg refuses anything but exactly one argument and names it.
func OneArg(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 1 {
			return nil
		}
		return Usage("%s wants one %s, got %d: reseat %s", cmd.Name(), what, len(args), cmd.Use)
	}
}

// DefaultDir is where a job's files go: the job file's name without its ending, beside
// it. A name that is all ending, or has none, gets one of its own.
func DefaultDir(jobFile string) string {
	name := filepath.Base(jobFile)
	stem := strings.TrimSuffix(name, filepath.Ext(name))
	if stem == "" || stem == name {
		stem = strings.TrimPrefix(name, ".") + "-files"
	}
	return filepath.Join(filepath.Dir(jobFile), stem)
}

// WritePicture writes a picture as SVG to a file that must not exist yet.
func WritePicture(path string, p *picture.Picture) error {
	var b bytes.Buffer
	if err := picture.WriteSVG(&b, p); err != nil {
		return err
	}
	return export.WriteNew(path, b.Bytes())
}

// WriteJSON prints a value as indented JSON. Angle brackets stay as they are.
func WriteJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// WriteRecord prints a value as design.json has it: numbers to a millionth.
func WriteRecord(w io.Writer, v any) error {
	data, err := record.JSON(v)
	if err == nil {
		_, err = w.Write(data)
	}
	return err
}
