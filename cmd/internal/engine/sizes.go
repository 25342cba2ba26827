package engine

import (
	_ "embed" // the table is a file, so that it can be read as such
	"encoding/csv"
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"reseat/jig/job"
)

//go:embed sizes.csv
var sizesCSV string

// Size is a main size of a job as a field of the page.
type Size struct {
	Key     string   `json:"key"`
	Label   string   `json:"label"`
	Measure string   `json:"measure"` // where and how it is measured
	Meaning string   `json:"meaning"`
	Unit    string   `json:"unit"` // of a bare number; "": it is no number
	Words   []string `json:"words,omitempty"`
	Default string   `json:"default"` // what an empty field means; "": it must be there
	Value   string   `json:"value"`   // as it stands in the text; "": left out
	Line    int      `json:"line"`    // of the text; 0: left out
}

var (
	sizes = sync.OnceValue(readSizes)
	keys  = sync.OnceValue(job.Keys)
)

// readSizes reads the table. A row that cannot be read is a fault of the program.
func readSizes() [][]string {
	r := csv.NewReader(strings.NewReader(sizesCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	return rows[1:]
}

func keyOf(path string) (job.Key, bool) {
	i := slices.IndexFunc(keys(), func(k job.Key) bool { return k.Path == path })
	if i < 0 {
		return job.Key{}, false
	}
	return keys()[i], true
}

// always are sections whose sizes are shown though the text may leave them out.
var always = []string{"", "board", "bed", "machine", "machine.travel", "dowel", "template", "template.make"}

// sizesOf are the sizes that a text has, or may have in sections that it has. Sizes that are sections
// themselves are left to the text.
func sizesOf(text string) (out []Size) {
	root, err := treeOf(text)
	if err != nil || root == nil || root.Kind != yaml.MappingNode {
		return nil
	}
	e := edit{text: text, lines: lineStarts(text)}
	unit := "mm"
	if _, n := child(root, "units"); n != nil && n.Value == "in" {
		unit = "in"
	}
	for _, row := range sizes() {
		path := row[0]
		k, _ := keyOf(path)
		n, section := root, root
		above := path[:max(0, strings.LastIndexByte(path, '.'))]
		for _, name := range strings.Split(path, ".") {
			if section = n; n != nil {
				_, n = child(n, name)
			}
		}
		if section == nil && !slices.Contains(always, above) || section != nil && section.Kind != yaml.MappingNode ||
			n != nil && n.Kind != yaml.ScalarNode || drawn(root) && slices.Contains(byOutline, path) {
			continue
		}
		s := Size{Key: path, Label: row[1], Measure: row[2], Meaning: k.Meaning, Unit: k.Unit, Words: k.Words,
			Default: k.Default}
		if k.Unit == "mm" {
			s.Unit = unit
		}
		if n != nil {
			s.Line = n.Line
			if at := e.at(n); at >= 0 {
				s.Value = unquoted(text[at:e.end(at, section.Style&yaml.FlowStyle != 0)])
			}
		}
		out = append(out, s)
	}
	return out
}

// byOutline are the sizes that follow from a drawn outline.
var byOutline = []string{"board.length", "board.width", "board.corner_radius"}

// drawn reports whether a job's board has an outline of its own.
func drawn(root *yaml.Node) bool {
	_, board := child(root, "board")
	if board == nil {
		return false
	}
	_, outline := child(board, "outline")
	return outline != nil
}

// unquoted is a text value without its quotes.
func unquoted(s string) string {
	var plain string
	if strings.IndexAny(s, `"'`) == 0 && yaml.Unmarshal([]byte(s), &plain) == nil {
		return plain
	}
	return s
}
