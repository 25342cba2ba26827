package climate

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"reseat/jig/sourced"
)

// The tables, each row with its source; how to read them stands in their first lines.
var (
	//go:embed woods.csv
	woodsCSV string
	//go:embed sheets.csv
	sheetsCSV string
)

// woods and sheets are read when a material is first asked for.
var (
	woods  = sync.OnceValue(func() table[Wood] { return readTable(woodsCSV, woodOf) })
	sheets = sync.OnceValue(func() table[sheet] { return readTable(sheetsCSV, sheetOf) })
)

// table holds the rows of a file by the keys of their names.
type table[T any] struct {
	rows  []T
	names [][]string // of each row, the name that is shown first
	keys  [][]string // of the names
	at    map[string]int
}

// cells is one line by its column heads.
type cells map[string]string

// readTable reads one of the tables above, which a test holds sound: a fault in
// them is a fault of this package.
func readTable[T any](text string, of func(cells) T) table[T] {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("climate: %v", err))
	}
	t := table[T]{at: map[string]int{}}
	c := cells{} // every line has all of the heads
	for i, line := range lines[1:] {
		for k, head := range lines[0] {
			c[head] = line[k]
		}
		names := append([]string{c["name"]}, append(c.list("also"), c.list("genus")...)...)
		var keys []string
		for _, n := range names {
			keys = append(keys, key(n))
			t.at[keys[len(keys)-1]] = i
		}
		t.rows, t.names, t.keys = append(t.rows, of(c)), append(t.names, names), append(t.keys, keys)
	}
	return t
}

func (t table[T]) find(name string) (found T, ok bool) {
	i, ok := t.at[key(name)]
	if ok {
		found = t.rows[i]
	}
	return found, ok
}

func (c cells) list(head string) []string {
	if c[head] == "" {
		return nil
	}
	return strings.Split(c[head], "; ")
}

// number is 0 for an empty cell.
func (c cells) number(head string) float64 { return number(c[head]) }

func number(text string) float64 {
	if text == "" {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("climate: %v", err))
	}
	return v
}

// source is what people read: the mark first.
func (c cells) source() string { return c["mark"] + ": " + c["source"] }

func (c cells) mark() sourced.Mark { return sourced.Mark(c["mark"]) }
