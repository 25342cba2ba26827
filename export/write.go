package export

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
)

// maxOwnBytes bounds what is read to learn whose file stands at an output's place.
// The largest output, a printed plate, is a few megabytes; anything beyond this
// was not written by the tool. Our own figure.
const maxOwnBytes = 256 << 20

// Write puts every output into dir, which is made when missing, and returns the
// files in the order in which they were added. On error the earlier files are
// whole; see the package comment for what counts as the tool's own.
//
// Errors: *NameError, *DirError, *ForeignFileError (nothing written in these
// three cases), *WriteError.
func (b *Bundle) Write(dir string) ([]File, error) {
	b.dir, b.stale = "", nil
	if err := b.checkNames(); err != nil {
		return nil, err
	}
	made, err := makeDir(dir)
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		removeDirs(made)
		return nil, &DirError{dir, "cannot be opened", err}
	}
	defer root.Close()
	if err := b.writeInto(root, dir); err != nil {
		removeDirs(made) // only what is empty goes
		return nil, err
	}
	return b.Files(), nil
}

// Stale lists the files of an earlier run that stand unchanged in dir but are no
// longer among the outputs, sorted. They are known from the record that the last
// Write found there, and were left alone. It is empty when the last Write failed
// or went elsewhere.
func (b *Bundle) Stale(dir string) []string {
	if dir != b.dir {
		return nil
	}
	return b.stale
}

func (b *Bundle) writeInto(root *os.Root, dir string) error {
	stale, err := b.checkOwners(root, dir)
	if err != nil {
		return err
	}
	staged, err := b.stage(root)
	if errors.Is(err, fs.ErrPermission) {
		return &DirError{dir, "is not writable: change its permissions or choose another (-o DIR)", err}
	}
	if err != nil {
		return err
	}
	if err := b.place(root, staged); err != nil {
		return err
	}
	b.dir, b.stale = dir, stale
	return nil
}

// checkOwners looks at every output's place before anything is written.
func (b *Bundle) checkOwners(root *os.Root, dir string) (stale []string, err error) {
	var sums map[string]string
	genuine := false
	if data, why := readOwn(root, RecordName); why == "" {
		sums, genuine = vouched(data)
	}
	foreign := &ForeignFileError{Dir: dir}
	wanted := map[string]bool{}
	for _, o := range b.outputs {
		wanted[o.name] = true
		data, why := readOwn(root, o.name)
		switch {
		case why == missing || why == "" && bytes.Equal(data, o.data):
			continue
		case why != "":
		case o.name == RecordName:
			if genuine {
				continue
			}
			why = "was not written by reseat, or was changed since"
		case !genuine:
			why = "was not written by reseat (no genuine " + RecordName + " beside it lists it)"
		case sums[o.name] == "":
			why = "was not written by reseat (" + RecordName + " beside it does not list it)"
		case sums[o.name] == digest(data):
			continue
		default:
			why = "was changed since reseat wrote it"
		}
		foreign.Files = append(foreign.Files, Foreign{o.name, why})
	}
	if len(foreign.Files) > 0 {
		return nil, foreign
	}
	for name, sum := range sums {
		if wanted[name] || badName(name) != "" {
			continue
		}
		if data, why := readOwn(root, name); why == "" && digest(data) == sum {
			stale = append(stale, name)
		}
	}
	sort.Strings(stale)
	return stale, nil
}

// missing is what readOwn says of a place that is free.
const missing = "is missing"

// readOwn reads a regular file of the directory; otherwise it says what stands there.
func readOwn(root *os.Root, name string) (data []byte, why string) {
	info, err := root.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, missing
	case err != nil:
		return nil, "cannot be looked at (" + err.Error() + ")"
	case info.Mode()&fs.ModeSymlink != 0:
		return nil, "is a link, which reseat never writes"
	case info.IsDir():
		return nil, "is a directory"
	case !info.Mode().IsRegular():
		return nil, "is not a plain file"
	case info.Size() > maxOwnBytes:
		return nil, "is larger than anything reseat writes"
	}
	f, err := root.Open(name)
	if err != nil {
		return nil, "cannot be read (" + err.Error() + ")"
	}
	defer f.Close()
	data, err = io.ReadAll(io.LimitReader(f, maxOwnBytes))
	if err != nil {
		return nil, "cannot be read (" + err.Error() + ")"
	}
	return data, ""
}

// step calls the test hook.
func (b *Bundle) step(step, name string) error {
	if b.hook == nil {
		return nil
	}
	return b.hook(step, name)
}

// stage writes and flushes every output under a temporary name, in the order in
// which place renames: the record last. On error all temporaries are gone again.
func (b *Bundle) stage(root *os.Root) (temps []staged, err error) {
	order := make([]output, 0, len(b.outputs))
	var last []output
	for _, o := range b.outputs {
		if o.name == RecordName {
			last = append(last, o)
		} else {
			order = append(order, o)
		}
	}
	for _, o := range append(order, last...) {
		temp, err := b.writeTemp(root, o)
		if temp != "" {
			temps = append(temps, staged{temp, o.name})
		}
		if err != nil {
			removeTemps(root, temps)
			return nil, &WriteError{Name: o.name, Err: err}
		}
	}
	return temps, nil
}

type staged struct{ temp, name string }

func removeTemps(root *os.Root, temps []staged) {
	for _, t := range temps {
		root.Remove(t.temp) // best effort: the first error is the one to tell
	}
}

// maxTempTries is how many leftovers of killed runs may stand in the way.
const maxTempTries = 1000

// writeTemp returns the temporary's name as soon as it exists, even with an error.
func (b *Bundle) writeTemp(root *os.Root, o output) (temp string, err error) {
	if err := b.step("create", o.name); err != nil {
		return "", err
	}
	var f *os.File
	for n := 0; ; n++ {
		temp = fmt.Sprintf(".%s.%d-%d.tmp", o.name, os.Getpid(), n)
		f, err = root.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) || n == maxTempTries {
			return "", err
		}
	}
	if err = b.step("write", o.name); err == nil {
		_, err = f.Write(o.data)
	}
	if err == nil {
		err = f.Sync()
	}
	return temp, errors.Join(err, f.Close())
}

// place renames what was staged.
func (b *Bundle) place(root *os.Root, temps []staged) error {
	var done []string
	for i, t := range temps {
		err := b.step("rename", t.name)
		if err == nil {
			err = root.Rename(t.temp, t.name)
		}
		if err != nil {
			removeTemps(root, temps[i:])
			return &WriteError{t.name, done, err}
		}
		done = append(done, t.name)
	}
	// The renames themselves reach the disk with the directory. Some systems cannot
	// flush a directory; the files are whole either way.
	if d, err := root.Open("."); err == nil {
		d.Sync()
		d.Close()
	}
	return nil
}

// makeDir makes dir and its parents and returns those that it made, outermost first.
func makeDir(dir string) (made []string, err error) {
	if dir == "" {
		return nil, &DirError{dir, "no directory is named", nil}
	}
	for p := filepath.Clean(dir); ; p = filepath.Dir(p) {
		info, err := os.Stat(p)
		if err == nil {
			if !info.IsDir() {
				return nil, &DirError{dir, p + " is a file, not a directory: choose another name (-o DIR)", nil}
			}
			break
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, &DirError{dir, "cannot be looked at", err}
		}
		if _, err := os.Lstat(p); err == nil {
			return nil, &DirError{dir, p + " is a link that leads nowhere", nil}
		}
		made = append([]string{p}, made...)
		if filepath.Dir(p) == p {
			break
		}
	}
	for i, p := range made {
		if err := os.Mkdir(p, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
			removeDirs(made[:i])
			return nil, &DirError{dir, "cannot be made", err}
		}
	}
	return made, nil
}

// removeDirs removes empty directories, innermost first.
func removeDirs(made []string) {
	for i := len(made) - 1; i >= 0; i-- {
		os.Remove(made[i])
	}
}
