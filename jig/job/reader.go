package job

import (
	"sort"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/units"
)

// reader reads a tree of nodes and gathers faults.
type reader struct {
	file      string
	src       *source
	unit      units.Unit
	unitGiven bool
	bad       map[string]bool      // paths that have a fault
	needed    map[string]bool      // paths that the job must have
	val       map[string]any       // what was read, by path; a length as float64 in mm
	split     map[string]string    // entries of lists that can be half of a number with a comma: the remedy
	opener    Opener               // of files that the job names; nil: there are none
	files     map[string][]byte    // that were opened, by name
	measured  map[string]*Measured // process files, by make section
	list      []*Problem
	more      int
}

func newReader(file string, src *source, open Opener) *reader {
	return &reader{file: file, src: src, bad: map[string]bool{}, needed: map[string]bool{}, val: map[string]any{},
		split: map[string]string{}, opener: open, files: map[string][]byte{}, measured: map[string]*Measured{}}
}

// maxKept bounds the memory that faults take; only the first maxListed in the
// order of the file are told.
const maxKept = 2000

// faultAt notes a fault. A value has at most one: what follows from it is left out.
func (r *reader) faultAt(at Position, path, says, remedy string) {
	r.bad[path] = true
	if len(r.list) >= maxKept {
		r.more++
		return
	}
	r.list = append(r.list, &Problem{File: r.file, Pos: at, Path: path, Says: says, Remedy: remedy})
}

func (r *reader) fault(n *yaml.Node, path, says, remedy string) {
	r.faultAt(placeOf(n), path, says, remedy)
}

func placeOf(n *yaml.Node) Position { return Position{n.Line, n.Column} }

// faultKey notes a fault that the values of several keys share, at the place of
// the first.
func (r *reader) faultKey(path, says, remedy string) {
	j := Job{src: r.src}
	r.faultAt(j.Pos(path), path, says, remedy)
}

// isFaultless reports whether no path, and no section around it, has a fault.
func (r *reader) isFaultless(paths ...string) bool {
	for _, p := range paths {
		for ; p != ""; p = p[:max(strings.LastIndexAny(p, ".["), 0)] {
			if r.bad[p] {
				return false
			}
		}
	}
	return true
}

// problems returns what was found, in the order of the file, what lies in other files after
// it, or nil.
func (r *reader) problems() error {
	if len(r.list) == 0 {
		return nil
	}
	sort.SliceStable(r.list, func(i, k int) bool {
		a, b := r.list[i], r.list[k]
		if a.src != b.src {
			return a.src == nil || b.src != nil && a.File < b.File
		}
		return a.Pos.Line < b.Pos.Line || a.Pos.Line == b.Pos.Line && a.Pos.Column < b.Pos.Column
	})
	out := &Problems{List: r.list, More: r.more, src: r.src}
	if n := len(out.List); n > maxListed {
		out.List, out.More = out.List[:maxListed], out.More+n-maxListed
	}
	return out
}
