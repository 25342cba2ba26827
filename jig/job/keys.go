package job

import (
	"cmp"
	_ "embed" // the table is a file, so that it can be read as such
	"encoding/csv"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"reseat/jig/units"
)

// keysCSV is the table of the job file's keys: what each can hold, and what the job has
// without it. It is the one place that says so; reading, messages and the list of
// defaults follow from it.
//
//go:embed keys.csv
var keysCSV string

// key is one row of the table.
type key struct {
	path         string   // dotted; "[]" stands for any entry of a list
	kind         kind     //
	span         span     // of a length in mm, a number or a count; of a list, its number of entries
	unit         string   // of a number that is no length, as told
	words        []string // of a choice; the first is the default
	need         string   // what to write when it is missing; "": it can be left out
	value        any      // what the job has without it: float64, int or string; nil: zero
	defaultWords string   // the default in words, where value does not say it
	why          string   // of the default
	only         string   // the process of a make section that the key goes with; "": any

	meaning string // for people
	mark    string // of the source of the default's figure; "": it has none
}

// kind is what a key holds.
type kind int

const (
	aSection   kind = iota // in the order of kindNames
	aLength                // in the file's unit or its own
	aNumber                // plain, in the key's unit
	aCount                 // a whole number
	aChoice                // one of the words
	aText                  // one line
	aList                  // of what the key with "[]" holds
	aPlace                 // [u, v]
	aWidth                 // a length, or a section with both ends
	aCrown                 // a length; 0 is flat
	aDot                   // a fret number, or a section
	aCutter                // a diameter, or a section with the keys below cutterKeys
	aFile                  // the name of a file, as found from the job file's folder
	someOf                 // a section with at least one of its keys
	anOutline              // a list of corners, or a section
	aDatum                 // two places in a drawing's own coordinates, or a layer
	aCorner                // a place, or a section with the arc that ends there
	aDate                  // 2026-11-29
	anEstimate             // a number, or a section with the keys below estimateKeys
)

// kindNames are the kinds as the table has them.
var kindNames = strings.Fields("section length number count choice text list place width crown dot cutter " +
	"file some outline datum corner date figure")

// span is a closed range that a value can lie in at all. Whether it is wise is
// for the rules to say.
//
// A board is anything from a small inlay plate to a neck of a double bass; a machine is
// one that stands in a workshop. All bounds: common practice, no source, chosen wide, so
// that only a slip (a wrong unit, a lost point) falls outside.
type span struct{ least, most float64 }

func (s span) holds(v float64) bool { return v >= s.least && v <= s.most }

// in tells the range in the unit u, for a message.
func (s span) in(u units.Unit) string {
	return fmt.Sprintf("%s to %s %s", units.Significant(s.least/u.MM(), 4), units.Significant(s.most/u.MM(), 4), u)
}

// templateMaterial is what a plate is usually of, by how it is made.
var templateMaterial = map[string]string{
	"laser": "cast acrylic", "router": "birch plywood", "drill": "birch plywood", "ream": "birch plywood", "print": "pla",
}

// standardOf is the usual standard of pins in a job of either unit.
var standardOf = map[units.Unit]string{units.MM: "iso 8734", units.Inch: "asme b18.8.2"}

// keyTable is the table read: its rows; the keys by path, those of each cutter and estimate
// written out; and the names of a section's keys in the order in which they are told.
type keyTable struct {
	rows  []key
	at    map[string]key
	below map[string][]string
}

var keys = sync.OnceValue(func() keyTable {
	t := keyTable{readKeys(), map[string]key{}, map[string][]string{}}
	for _, k := range everyKey(t.rows) {
		t.at[k.path] = k
		i := strings.LastIndexByte(k.path, '.')
		if name := k.path[i+1:]; !strings.HasSuffix(name, "[]") {
			t.below[k.path[:max(i, 0)]] = append(t.below[k.path[:max(i, 0)]], name)
		}
	}
	return t
})

func keyAt(path string) key { return keys().at[path] }

func keysBelow(path string) []string { return keys().below[path] }

// readKeys reads the table. A row that cannot be read is a fault of the program.
func readKeys() []key {
	r := csv.NewReader(strings.NewReader(keysCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(cmp.Or(s, "0"), 64)
		if err != nil {
			panic(err)
		}
		return v
	}
	var out []key
	for _, c := range rows[1:] {
		k := key{path: c[0], kind: kind(slices.Index(kindNames, c[1])), span: span{number(c[2]), number(c[3])}, unit: c[4],
			only: c[6], defaultWords: c[8], need: c[9], why: c[10], mark: c[11], meaning: c[12]}
		if c[5] != "" {
			k.words = strings.Split(c[5], "|")
		}
		switch value := c[7]; {
		case value == "":
		case k.kind == aText:
			k.value = value
		case k.kind == aCount:
			k.value = int(number(value))
		default:
			k.value = number(value)
		}
		out = append(out, k)
	}
	return out
}

// Paths in the table whose keys every cutter and every estimate has.
const (
	cutterKeys   = "any cutter"
	estimateKeys = "any figure"
)

// processFile is the path in the table whose keys a process file has.
const processFile = "process file"

// everyKey is the table with the keys of each cutter and estimate written out.
func everyKey(rows []key) []key {
	common := map[kind]string{aCutter: cutterKeys, anEstimate: estimateKeys}
	of := map[kind][]key{} // the keys of each, their paths without what stands for it
	for kind, stands := range common {
		for _, c := range rows {
			if below, ok := strings.CutPrefix(c.path, stands); ok {
				c.path = below
				of[kind] = append(of[kind], c)
			}
		}
	}
	var out []key
	for _, k := range rows {
		if !strings.HasPrefix(k.path, "any ") {
			out = append(out, k)
		}
		for _, c := range of[k.kind] {
			c.path = k.path + c.path
			out = append(out, c)
		}
	}
	return out
}

// sectionsWith returns the sections that have a key of the name, sorted; for a key that
// stands in the wrong one.
func sectionsWith(name string) []string {
	var out []string
	for path, names := range keys().below {
		if k := keyAt(path).kind; path != "" && k != aCutter && k != anEstimate && path != processFile &&
			slices.Contains(names, name) {
			out = append(out, path)
		}
	}
	sort.Strings(out)
	return out
}
