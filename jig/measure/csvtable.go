package measure

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A measured table is CSV text with a header and one reading per line. The
// header may be one of several layouts, so that the unit of a length stands in
// its column's name: x_mm or x_in.

// largestTable bounds the size of a measured table in bytes: room for 100 000 readings of
// 160 characters.
const largestTable = 16 << 20

// faultsShown bounds the list of faults: a file of the wrong kind has one on
// every line, and nobody reads past the first screen.
const faultsShown = 20

// mmPerInch is exact: the international inch of 1959.
const mmPerInch = 25.4

// layout is one set of columns that a table may have, in the order shown to
// people.
type layout []string

func (l layout) String() string { return strings.Join(l, ",") }

// table collects what is wrong with a measured table while it is read.
type table struct {
	file    string
	layouts []layout
	in      layout         // the header's layout
	columns map[string]int // column name -> index
	width   int            // number of columns
	faults  Faults
}

func (t *table) fault(line, column int, says, remedy string) {
	t.faults = append(t.faults, Fault{t.file, line, column, says, remedy})
}

// read takes the table apart and calls row for every line below the header. It
// returns false when there is a fault that leaves no table.
func (t *table) read(data []byte, row func(number int, fields []field)) bool {
	switch {
	case len(data) > largestTable:
		t.fault(0, 0, fmt.Sprintf("is %d bytes long", len(data)), fmt.Sprintf("a readings file has at most %d", largestTable))
		return false
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		t.fault(0, 0, "is not text", "save the readings as CSV in UTF-8")
		return false
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	number := 0
	for line := range strings.Lines(text) {
		number++
		line = strings.TrimRight(line, "\r\n")
		if i := strings.IndexFunc(line, unprintable); i >= 0 {
			r, _ := utf8.DecodeRuneInString(line[i:])
			t.fault(number, utf8.RuneCountInString(line[:i])+1, fmt.Sprintf("the control character %U", r), "save the readings as plain text")
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
		if t.wide(number, len(fields)) {
			row(number, fields)
		}
		if len(t.faults) >= faultsShown {
			t.fault(number, 1, "too many faults to go on", "mend these first")
			return false
		}
	}
	if t.columns == nil {
		t.fault(0, 0, "holds no header", "start with the line "+t.layouts[0].String())
		return false
	}
	return true
}

// unprintable reports whether r would steer a terminal instead of being seen on it.
func unprintable(r rune) bool {
	return r != '\t' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)
}

// readHeader maps the columns. It returns false when rows cannot be read.
func (t *table) readHeader(number int, line string, fields []field) bool {
	t.columns, t.width = map[string]int{}, len(fields)
	for _, sep := range []string{";", "\t"} {
		if len(fields) == 1 && strings.Contains(line, sep) {
			t.fault(number, 1, fmt.Sprintf("fields are separated by %q", sep), "separate them by commas and write decimals with a point")
			return false
		}
	}
	t.in = t.meant(fields)
	guessed := map[string]bool{}
	for i, f := range fields {
		name := strings.ToLower(f.text)
		if len(t.faults) >= faultsShown {
			return false
		}
		_, twice := t.columns[name]
		switch {
		case twice:
			t.fault(number, f.column, fmt.Sprintf("column %q stands twice", name), "leave one out")
		case slices.Contains(t.in, name):
			t.columns[name] = i
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

// meant returns the layout that shares most names with the header, the first one
// of those that tie.
func (t *table) meant(fields []field) layout {
	best, most := t.layouts[0], -1
	for _, l := range t.layouts {
		n := 0
		for _, f := range fields {
			if slices.Contains(l, strings.ToLower(f.text)) {
				n++
			}
		}
		if n > most {
			best, most = l, n
		}
	}
	return best
}

// columnMeant guesses the column of the layout that an unknown name stands for.
func (t *table) columnMeant(name string) string {
	bare := strings.FieldsFunc(name, func(r rune) bool { return r == '_' || r == ' ' || r == '(' || r == '[' })
	if len(bare) > 0 {
		for _, k := range t.in {
			if stem, _, unit := strings.Cut(k, "_"); unit && stem == bare[0] {
				return k
			}
		}
	}
	return nearest(name, t.in)
}

// wide refuses a line that does not have one field per column.
func (t *table) wide(number, got int) bool {
	if got == t.width {
		return true
	}
	remedy := "every line has one field per column"
	if got > t.width {
		remedy = "a decimal comma splits a number in two; write 12.5, not 12,5"
	}
	t.fault(number, 1, fmt.Sprintf("%d fields, the header has %d", got, t.width), remedy)
	return false
}

// length reads the length in the i-th column of the layout, in millimetres.
func (t *table) length(number, i int, fields []field) float64 {
	name := t.in[i]
	v := t.number(number, name, fields[t.columns[name]])
	if strings.HasSuffix(name, "_in") {
		v *= mmPerInch
	}
	if math.Abs(v) > largestMM {
		t.fault(number, fields[t.columns[name]].column, fmt.Sprintf("%s %s is beyond 100 m", name, fields[t.columns[name]].text), "write millimetres")
		return 0
	}
	return v
}

// number reads a plain decimal number. Words such as nan and inf, hexadecimal
// numbers and digit separators, which strconv takes, are refused.
func (t *table) number(number int, name string, f field) float64 {
	s := f.text
	switch {
	case s == "":
		t.fault(number, f.column, name+" is empty", "write a number, or leave the line out")
		return 0
	case strings.Contains(s, ","):
		t.fault(number, f.column, fmt.Sprintf("%s %q has a decimal comma", name, s), "write a decimal point: "+strings.ReplaceAll(s, ",", "."))
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if strings.Trim(s, "+-.0123456789eE") != "" || err != nil {
		remedy := "write a plain number, such as 12.35"
		if cut := strings.TrimRight(s, " abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ\""); cut != s && cut != "" {
			remedy = "the unit stands in the header; write " + cut
			if inch := strings.HasSuffix(s, "in") || strings.HasSuffix(s, "\""); inch && strings.HasSuffix(name, "_mm") {
				remedy = "write millimetres (1 in is 25.4 mm)"
			}
		}
		t.fault(number, f.column, fmt.Sprintf("%s %q is not a number", name, s), remedy)
		return 0
	}
	return v
}
