package job

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"gopkg.in/yaml.v3"
)

// Read reads the job file at path. What is not a regular file, or larger than
// MaxFileBytes, is refused unread. The error is a *Problems.
func Read(path string) (*Job, error) {
	fail := func(says, remedy string, err error) (*Job, error) {
		return nil, &Problems{List: []*Problem{{File: path, Says: says, Remedy: remedy, Err: err}}}
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fail("there is no such file", "reseat new "+path+" writes a starter job", err)
	case err != nil:
		return fail("cannot be read: "+cause(err), "", err)
	case info.IsDir():
		return fail("is a directory", "give the job file in it", nil)
	case !info.Mode().IsRegular():
		return fail("is not a regular file", "give a text file", nil)
	case info.Size() > MaxFileBytes:
		return fail(fmt.Sprintf("has %d bytes; a job file has at most %d", info.Size(), MaxFileBytes),
			"is this the job file?", nil)
	}
	f, err := os.Open(path)
	if err != nil {
		return fail("cannot be read: "+cause(err), "", err)
	}
	defer f.Close()
	// One byte beyond the limit, so that Parse sees a file that has grown since.
	data, err := io.ReadAll(io.LimitReader(f, MaxFileBytes+1))
	if err != nil {
		return fail("cannot be read: "+cause(err), "", err)
	}
	return Parse(path, data, onDisk(path))
}

// cause returns the reason of a file error without the path, which is told already.
func cause(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// Parse reads the text of a job file. file is its name, for messages and for the
// title when the job has none; the files that it names are opened by open, which a job
// that names none does not need. The error is a *Problems with every fault that was
// found; the job is nil then.
func Parse(file string, data []byte, open ...Opener) (*Job, error) {
	root, src, p := treeOf(file, data, "job file")
	if p == nil && (root == nil || isNull(root)) {
		p = &Problem{File: file, Says: "is empty", Remedy: "reseat new FILE writes a starter job"}
	}
	if p != nil {
		return nil, &Problems{List: []*Problem{p}, src: src}
	}
	r := newReader(file, src, openerOf(open))
	r.refuse(root, "", 0)
	j := r.job(root)
	if err := r.problems(); err != nil {
		return nil, err
	}
	j.SHA256 = checksum(data, r.files)
	return j, nil
}

// treeOf is the tree of a file of the kind that what names, and its source; nil where it
// holds nothing but comments. src is nil for what is no text.
func treeOf(file string, data []byte, what string) (root *yaml.Node, src *source, p *Problem) {
	if len(data) > MaxFileBytes { // before the source is split
		return nil, nil, screen(file, data, what)
	}
	text := strings.TrimPrefix(string(data), byteOrderMark)
	src = newSource(text)
	if p = screen(file, []byte(text), what); p == nil {
		root, p = parseTree(file, text, what, src)
	}
	return root, src, p
}

// openerOf is the first opener, nil without.
func openerOf(open []Opener) Opener {
	if len(open) == 0 {
		return nil
	}
	return open[0]
}
