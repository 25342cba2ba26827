package reading

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"reseat/jig/spelling"
	"reseat/jig/units"
)

// A measured table is CSV text with a header and one reading per line. The
// header may be one of several layouts, so that the unit of a length stands in
// its column's name: x_mm or x_in.

const (
	// largestTable bounds a measured table in bytes: room for 100 000 readings of 160
	// characters.
	largestTable = 16 << 20
	// largestMM bounds every coordinate: a hundred metres, beyond every machine.
	largestMM = 1e5
	// FaultsShown bounds a list of faults: a file of the wrong kind has one on every
	// line, and nobody reads past the first screen.
	FaultsShown = 20
	// planned begins the names of columns that are left alone: those of a plan of touches.
	planned = "plan_"
)

// layout is one set of columns that a table may have, in the order shown to people.
type layout []string

func (l layout) String() string { return strings.Join(l, ",") }

// table is a measured table while it is read, with every fault found so far.
type table struct {
	form
	file     string
	in       layout         // the header's layout
	columns  map[string]int // column name -> index
	width    int            // number of columns
	readings []Reading
	seen     map[Reading]int // reading without line -> line where it stood first
	faults   []error
}

// fault notes what is wrong at a place.
func (t *table) fault(line, column int, says, remedy string) {
	t.faults = append(t.faults, Fault(t.file, line, column, says, remedy))
}

// Joined returns the faults as one error, nil for none, the first of too many.
func Joined(faults []error) error {
	if n := len(faults); n > FaultsShown {
		faults = append(slices.Clip(faults[:FaultsShown]), fmt.Errorf("and %d faults more; mend these first", n-FaultsShown))
	}
	return errors.Join(faults...)
}

// read takes the table apart, line by line, and notes what is wrong with it.
func (t *table) read(data []byte) {
	lines := func(number int, line string) bool {
		if s := strings.TrimSpace(line); s == "" || s[0] == '#' {
			return true
		}
		fields := Split(line, ',')
		if t.columns == nil {
			return t.readHeader(number, line, fields) // nothing below could be understood
		}
		t.readRow(number, fields)
		if len(t.faults) >= FaultsShown {
			t.fault(number, 1, "too many faults to go on", "mend these first")
			return false
		}
		return true
	}
	switch err := Lines(t.file, data, largestTable, lines); {
	case err != nil:
		t.faults = append(t.faults, err)
	case t.columns == nil:
		t.fault(0, 0, "holds no header", "start with the line "+t.layouts[0].String())
	}
}

// readHeader maps the columns. It returns false when rows cannot be read.
func (t *table) readHeader(number int, line string, fields []Field) bool {
	t.columns, t.width = map[string]int{}, len(fields)
	if i := strings.IndexAny(line, ";\t"); len(fields) == 1 && i >= 0 {
		t.fault(number, 1, fmt.Sprintf("fields are separated by %q", line[i:i+1]),
			"separate them by commas and write decimals with a point")
		return false
	}
	// The layout that shares most names with the header, the first one of those that tie.
	t.in = slices.MaxFunc(t.layouts, func(a, b layout) int { return a.shared(fields) - b.shared(fields) })
	guessed := map[string]bool{}
	for i, f := range fields {
		name := strings.ToLower(f.Text)
		_, twice := t.columns[name]
		switch {
		case len(t.faults) >= FaultsShown:
			return false
		case twice:
			t.fault(number, f.Column, fmt.Sprintf("column %q stands twice", name), "leave one out")
		case slices.Contains(t.in, name):
			t.columns[name] = i
		case strings.HasPrefix(name, planned):
		default:
			remedy := "the columns are " + strings.Join(t.in, ", ")
			if g := t.columnMeant(name); g != "" {
				guessed[g] = true
				remedy = fmt.Sprintf("did you mean %q?", g)
			}
			t.fault(number, f.Column, fmt.Sprintf("unknown column %q", f.Text), remedy)
		}
	}
	for _, k := range t.in {
		if _, ok := t.columns[k]; !ok && !guessed[k] {
			t.fault(number, 1, fmt.Sprintf("column %q is missing", k), "the header is "+t.in.String())
		}
	}
	return len(t.faults) == 0
}

func (l layout) shared(fields []Field) (n int) {
	for _, f := range fields {
		if slices.Contains(l, strings.ToLower(f.Text)) {
			n++
		}
	}
	return n
}

// columnMeant guesses the column of the layout that an unknown name stands for.
func (t *table) columnMeant(name string) string {
	bare := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune("_ ([", r) })
	for _, k := range t.in {
		if stem, _, unit := strings.Cut(k, "_"); unit && len(bare) > 0 && stem == bare[0] {
			return k
		}
	}
	return spelling.Nearest(name, t.in)
}

// at returns the field in the i-th column of the layout.
func (t *table) at(i int, fields []Field) Field { return fields[t.columns[t.in[i]]] }

// length reads the length in the i-th column of the layout, in millimetres.
func (t *table) length(number, i int, fields []Field) float64 {
	name, f := t.in[i], t.at(i, fields)
	v := t.number(number, name, f)
	if strings.HasSuffix(name, "_in") {
		v *= units.MMPerInch
	}
	if math.Abs(v) > largestMM {
		t.fault(number, f.Column, fmt.Sprintf("%s %s is beyond 100 m", name, f.Text), "write millimetres")
		return 0
	}
	return v
}

// number reads a plain decimal number. Words such as nan and inf, hexadecimal
// numbers and digit separators, which strconv takes, are refused.
func (t *table) number(number int, name string, f Field) float64 {
	s := f.Text
	v, err := strconv.ParseFloat(s, 64)
	if err == nil && strings.Trim(s, "+-.0123456789eE") == "" {
		return v
	}
	says, remedy := fmt.Sprintf("%s %q is not a number", name, s), "write a plain number, such as 12.35"
	switch {
	case s == "":
		says, remedy = name+" is empty", "write a number, or leave the line out"
	case strings.Contains(s, ","):
		says, remedy = fmt.Sprintf("%s %q has a decimal comma", name, s), "write a decimal point: "+strings.ReplaceAll(s,
			",", ".")
	default:
		cut := strings.TrimRightFunc(s, func(r rune) bool { return r == ' ' || r == '"' || unicode.IsLetter(r) })
		switch inch := strings.HasSuffix(s, "in") || strings.HasSuffix(s, `"`); {
		case cut == s || cut == "":
		case inch && strings.HasSuffix(name, "_mm"):
			remedy = "write millimetres (1 in is 25.4 mm)"
		default:
			remedy = "the unit stands in the header; write " + cut
		}
	}
	t.fault(number, f.Column, says, remedy)
	return 0
}
