package reading

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

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

// fault notes what is wrong at a place, lines and columns counted from 1, columns in
// characters; line 0 is the whole file.
func (t *table) fault(line, column int, says, remedy string) {
	place := t.file
	if line > 0 {
		place = fmt.Sprintf("%s:%d:%d", t.file, line, column)
	}
	t.faults = append(t.faults, fmt.Errorf("%s: %s (%s)", place, says, remedy))
}

// Joined returns the faults as one error, nil for none, the first of too many.
func Joined(faults []error) error {
	if n := len(faults); n > FaultsShown {
		faults = append(slices.Clip(faults[:FaultsShown]), fmt.Errorf("and %d faults more; mend these first", n-FaultsShown))
	}
	return errors.Join(faults...)
}

// read takes the table apart, line by line. It returns false when there is a fault that
// leaves no table.
func (t *table) read(data []byte) bool {
	switch {
	case len(data) > largestTable:
		t.fault(0, 0, fmt.Sprintf("is %d bytes long", len(data)), fmt.Sprintf("a readings file has at most %d",
			largestTable))
		return false
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		t.fault(0, 0, "is not text", "save the readings as CSV in UTF-8")
		return false
	}
	number := 0
	for line := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
		number++
		line = strings.TrimRight(line, "\r\n")
		if i := strings.IndexFunc(line, unprintable); i >= 0 {
			r, _ := utf8.DecodeRuneInString(line[i:])
			t.fault(number, utf8.RuneCountInString(line[:i])+1, fmt.Sprintf("the control character %U", r),
				"save the readings as plain text")
			return false
		}
		if s := strings.TrimSpace(line); s == "" || s[0] == '#' {
			continue
		}
		fields := split(line)
		if t.columns == nil {
			if !t.readHeader(number, line, fields) {
				return false // nothing below can be understood
			}
			continue
		}
		t.readRow(number, fields)
		if len(t.faults) >= FaultsShown {
			t.fault(number, 1, "too many faults to go on", "mend these first")
			return false
		}
	}
	if t.columns == nil {
		t.fault(0, 0, "holds no header", "start with the line "+t.layouts[0].String())
	}
	return t.columns != nil
}

// unprintable reports whether r would steer a terminal instead of being seen on it.
func unprintable(r rune) bool {
	return r != '\t' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)
}

// readHeader maps the columns. It returns false when rows cannot be read.
func (t *table) readHeader(number int, line string, fields []field) bool {
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
		name := strings.ToLower(f.text)
		_, twice := t.columns[name]
		switch {
		case len(t.faults) >= FaultsShown:
			return false
		case twice:
			t.fault(number, f.column, fmt.Sprintf("column %q stands twice", name), "leave one out")
		case slices.Contains(t.in, name):
			t.columns[name] = i
		case strings.HasPrefix(name, planned):
		default:
			remedy := "the columns are " + strings.Join(t.in, ", ")
			if g := t.columnMeant(name); g != "" {
				guessed[g] = true
				remedy = fmt.Sprintf("did you mean %q?", g)
			}
			t.fault(number, f.column, fmt.Sprintf("unknown column %q", f.text), remedy)
		}
	}
	for _, k := range t.in {
		if _, ok := t.columns[k]; !ok && !guessed[k] {
			t.fault(number, 1, fmt.Sprintf("column %q is missing", k), "the header is "+t.in.String())
		}
	}
	return len(t.faults) == 0
}

func (l layout) shared(fields []field) (n int) {
	for _, f := range fields {
		if slices.Contains(l, strings.ToLower(f.text)) {
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
func (t *table) at(i int, fields []field) field { return fields[t.columns[t.in[i]]] }

// length reads the length in the i-th column of the layout, in millimetres.
func (t *table) length(number, i int, fields []field) float64 {
	name, f := t.in[i], t.at(i, fields)
	v := t.number(number, name, f)
	if strings.HasSuffix(name, "_in") {
		v *= units.MMPerInch
	}
	if math.Abs(v) > largestMM {
		t.fault(number, f.column, fmt.Sprintf("%s %s is beyond 100 m", name, f.text), "write millimetres")
		return 0
	}
	return v
}

// number reads a plain decimal number. Words such as nan and inf, hexadecimal
// numbers and digit separators, which strconv takes, are refused.
func (t *table) number(number int, name string, f field) float64 {
	s := f.text
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
	t.fault(number, f.column, says, remedy)
	return 0
}

// field is one field of a CSV line with its column, counted in characters from 1.
type field struct {
	text   string
	column int
}

// split takes a line apart at its commas. A field in double quotes may hold
// commas; blanks around a field are dropped. Fields do not run over lines.
func split(line string) []field {
	out, column := make([]field, 0, strings.Count(line, ",")+1), 1
	for {
		quoted, end := false, 0
		for ; end < len(line) && (quoted || line[end] != ','); end++ {
			quoted = quoted != (line[end] == '"')
		}
		raw := line[:end]
		lead := len(raw) - len(strings.TrimLeft(raw, " \t"))
		text := strings.TrimSpace(raw)
		if len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"' {
			text = strings.TrimSpace(strings.ReplaceAll(text[1:len(text)-1], `""`, `"`))
		}
		out = append(out, field{text, column + lead})
		if end == len(line) {
			return out
		}
		column += utf8.RuneCountInString(raw) + 1
		line = line[end+1:]
	}
}
