package export

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
)

// maxOwnBytes bounds what is read to learn whose file stands at an output's place.
// The largest output is a program of some 170 megabytes; anything beyond this was not
// written by the tool.
const maxOwnBytes = 256 << 20

// Result tells what a write did in the directory; names are sorted.
type Result struct {
	Files   []File   // as written, in the order in which they were added
	Removed []string // of an earlier run, unchanged since and no longer among the outputs
	Edited  []string // likewise no longer among the outputs, but changed by the user, and left
}

// ForeignError lists outputs whose place is taken by what the tool did not write.
// Nothing was written.
type ForeignError struct {
	Dir   string
	Files []string // "template.dxf was changed since reseat wrote it"; at least one
}

func (e *ForeignError) Error() string {
	them := "them"
	if len(e.Files) == 1 {
		them = "it"
	}
	return fmt.Sprintf("%s: nothing written to directory %s; move or delete %s, or choose another directory (-o DIR)",
		strings.Join(e.Files, "; "), e.Dir, them)
}

// Write makes dir hold the bundle: every output is put there, dir being made when
// missing, and files of earlier runs that are not among the outputs are removed when
// the user has not changed them. On error the earlier files are whole.
//
// Errors: *ForeignError; a bad name or directory (nothing is written in these cases);
// a step that failed while writing, with the files already in place.
func (b *Bundle) Write(dir string) (Result, error) { return b.write(dir, true) }

// WriteBeside puts the outputs into dir like Write, and leaves the other files there
// alone.
func (b *Bundle) WriteBeside(dir string) (Result, error) { return b.write(dir, false) }

func (b *Bundle) write(dir string, whole bool) (Result, error) {
	if err := b.checkNames(); err != nil {
		return Result{}, err
	}
	made, err := makeDir(dir)
	if err != nil {
		return Result{}, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		removeDirs(made)
		return Result{}, fmt.Errorf("directory %s cannot be opened: %w", dir, err)
	}
	defer root.Close()
	w := writer{bundle: b, root: root, dir: dir, before: readLedger(root)}
	done, err := w.run(whole)
	if err != nil {
		removeDirs(made) // only what is empty goes
	}
	return done, err
}

// writer is one run into one directory.
type writer struct {
	bundle *Bundle
	root   *os.Root
	dir    string
	before ledger // before the run
}

func (w *writer) run(whole bool) (Result, error) {
	if err := w.checkOwners(); err != nil {
		return Result{}, err
	}
	w.sweep()
	staged, err := w.stage()
	if errors.Is(err, fs.ErrPermission) {
		return Result{}, fmt.Errorf("directory %s is not writable: change its permissions or choose another (-o DIR): %w",
			w.dir, err)
	}
	if err != nil {
		return Result{}, err
	}
	after, done := w.plan(whole)
	both := ledger{}
	for _, l := range []ledger{w.before, after} {
		for name, sums := range l {
			for _, sum := range sums {
				both.add(name, sum)
			}
		}
	}
	if err := w.writeLedger(both); err != nil {
		removeTemps(w.root, staged)
		return Result{}, err
	}
	if err := w.place(staged); err != nil {
		return Result{}, err
	}
	for _, name := range done.Removed {
		if err := w.root.Remove(name); err != nil {
			return Result{}, fmt.Errorf("removing %s, which this design no longer writes: %w", name, err)
		}
	}
	return done, w.writeLedger(after)
}

// checkOwners looks at every output's place before anything is written.
func (w *writer) checkOwners() error {
	foreign := &ForeignError{Dir: w.dir}
	for _, o := range w.bundle.outputs {
		sum, why := sumOwn(w.root, o.Name)
		switch {
		case why == missing || why == "" && (sum == o.SHA256 || w.before.owns(o.Name, sum)):
			continue
		case why == "" && w.before[o.Name] != nil:
			why = "was changed since reseat wrote it"
		case why == "":
			why = "was not written by reseat"
		}
		foreign.Files = append(foreign.Files, o.Name+" "+why)
	}
	if len(foreign.Files) > 0 {
		return foreign
	}
	return nil
}

// plan tells what the ledger will hold after the run and what happens to the files
// that are no longer outputs. A file that is gone is forgotten.
func (w *writer) plan(whole bool) (after ledger, done Result) {
	after = ledger{}
	done.Files = w.bundle.Files()
	for _, f := range done.Files {
		after.add(f.Name, f.SHA256)
	}
	for name, sums := range w.before {
		if after[name] != nil {
			continue
		}
		sum, why := sumOwn(w.root, name)
		switch {
		case why == missing:
			continue
		case !whole:
		case why == "" && w.before.owns(name, sum):
			done.Removed = append(done.Removed, name)
			continue
		default:
			done.Edited = append(done.Edited, name)
		}
		after[name] = sums
	}
	sort.Strings(done.Removed)
	sort.Strings(done.Edited)
	return after, done
}

// missing is what readOwn says of a place that is free.
const missing = "is missing"

// sumOwn returns the checksum of a regular file of the directory; otherwise it says what
// stands there.
func sumOwn(root *os.Root, name string) (sum, why string) {
	h := hasher{Hash: sha256.New()}
	why = readOwn(root, name, &h)
	return h.sum(), why
}

// readOwn reads a regular file of the directory; otherwise it says what stands there.
func readOwn(root *os.Root, name string, to io.Writer) (why string) {
	info, err := root.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return missing
	case err != nil:
		return "cannot be looked at (" + err.Error() + ")"
	case info.Mode()&fs.ModeSymlink != 0:
		return "is a link, which reseat never writes"
	case info.IsDir():
		return "is a directory"
	case !info.Mode().IsRegular():
		return "is not a plain file"
	case info.Size() > maxOwnBytes:
		return "is larger than anything reseat writes"
	}
	f, err := root.Open(name)
	if err == nil {
		defer f.Close()
		_, err = io.Copy(to, io.LimitReader(f, maxOwnBytes))
	}
	if err != nil {
		return "cannot be read (" + err.Error() + ")"
	}
	return ""
}

// step calls the test hook.
func (w *writer) step(step, name string) error {
	if w.bundle.hook == nil {
		return nil
	}
	return w.bundle.hook(step, name)
}

// tempName matches the temporary names of this package and gives the output's name.
var tempName = regexp.MustCompile(`^\.(.+)\.[0-9-]+\.tmp$`)

// sweep removes the temporary files that killed runs left, of names that are the
// tool's here. What cannot be removed does no harm.
func (w *writer) sweep() {
	d, err := w.root.Open(".")
	if err != nil {
		return
	}
	defer d.Close()
	entries, _ := d.ReadDir(-1)
	ours := map[string]bool{LedgerName: true}
	for name := range w.before {
		ours[name] = true
	}
	for _, o := range w.bundle.outputs {
		ours[o.Name] = true
	}
	for _, e := range entries {
		if m := tempName.FindStringSubmatch(e.Name()); m != nil && ours[m[1]] && e.Type().IsRegular() {
			w.root.Remove(e.Name())
		}
	}
}

type staged struct{ temp, name string }

// stage writes and flushes every output under a temporary name. On error all
// temporaries are gone again.
func (w *writer) stage() (temps []staged, err error) {
	for _, o := range w.bundle.outputs {
		temp, err := w.writeTemp(o.Name, o.write)
		if temp != "" {
			temps = append(temps, staged{temp, o.Name})
		}
		if err != nil {
			removeTemps(w.root, temps)
			return nil, fmt.Errorf("writing %s: %w", o.Name, err)
		}
	}
	return temps, nil
}

func removeTemps(root *os.Root, temps []staged) {
	for _, t := range temps {
		root.Remove(t.temp) // best effort: the first error is the one to tell
	}
}

// writeTemp returns the temporary's name as soon as it exists, even with an error.
func (w *writer) writeTemp(name string, write func(io.Writer) error) (temp string, err error) {
	if err := w.step("create", name); err != nil {
		return "", err
	}
	temp = fmt.Sprintf(".%s.%d.tmp", name, os.Getpid())
	f, err := w.root.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return "", err
	}
	if err = w.step("write", name); err == nil {
		err = write(f)
	}
	if err == nil {
		err = f.Sync()
	}
	return temp, errors.Join(err, f.Close())
}

func (w *writer) writeLedger(l ledger) error {
	temp, err := w.writeTemp(LedgerName, l.write)
	if err == nil {
		err = w.root.Rename(temp, LedgerName)
	}
	if err != nil {
		w.root.Remove(temp)
		return fmt.Errorf("writing %s: %w", LedgerName, err)
	}
	return nil
}

// place renames what was staged.
func (w *writer) place(temps []staged) error {
	var done []string
	for i, t := range temps {
		err := w.step("rename", t.name)
		if err == nil {
			err = w.root.Rename(t.temp, t.name)
		}
		if err != nil {
			removeTemps(w.root, temps[i:])
			err = fmt.Errorf("writing %s: %w", t.name, err)
			if len(done) > 0 {
				err = fmt.Errorf("%w (already replaced, whole: %s)", err, strings.Join(done, ", "))
			}
			return err
		}
		done = append(done, t.name)
	}
	// The renames themselves reach the disk with the directory. Some systems cannot
	// flush a directory; the files are whole either way.
	if d, err := w.root.Open("."); err == nil {
		d.Sync()
		d.Close()
	}
	return nil
}

// makeDir makes dir and its parents and returns those that it made, outermost first.
func makeDir(dir string) (made []string, err error) {
	if dir == "" {
		return nil, errors.New("no directory is named")
	}
	for p := filepath.Clean(dir); ; p = filepath.Dir(p) {
		info, err := os.Stat(p)
		if err == nil {
			if !info.IsDir() {
				return nil, fmt.Errorf("directory %s: %s is a file: choose another name (-o DIR)", dir, p)
			}
			break
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("directory %s cannot be looked at: %w", dir, err)
		}
		if _, err := os.Lstat(p); err == nil {
			return nil, fmt.Errorf("directory %s: %s is a link that leads nowhere", dir, p)
		}
		made = append([]string{p}, made...)
		if filepath.Dir(p) == p {
			break
		}
	}
	for i, p := range made {
		if err := os.Mkdir(p, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
			removeDirs(made[:i])
			return nil, fmt.Errorf("directory %s cannot be made: %w", dir, err)
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
