package coupon

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"reseat/jig/reading"
	"reseat/jig/spelling"
	"reseat/jig/units"
)

const (
	// largestForm bounds a form in bytes: room for mostRows rows of 100 characters.
	largestForm = 1 << 20
	// mostRows is eight forms in one. What is estimated from so many takes a second, and with the
	// square of their number.
	mostRows = 1000
	// mostFields is more than any program pads a line to that has seven.
	mostFields = 64
	// mostReadMM is beyond every caliper, with the point of a reading lost.
	mostReadMM = 1e5
	longestID  = 40
)

const noComma = "a decimal comma splits a number in two; write 12.5, or save with semicolons"

// firstLine is that of a form; programs for tables quote it, split and pad it.
var firstLine = regexp.MustCompile(
	`^#\s*coupon\s+([0-9a-z]+)\s*,\s*pin\s+([0-9]+(?:\.[0-9]+)?)\s*(?:mm)?\s*([a-z]+[0-9]+)?$`)

// Read reads a coupon's form from CSV text as programs for tables save it: cells padded
// and quoted, a byte order mark, any line ends, empty lines, columns in any order, capital
// letters; semicolons or tabs for commas, and then decimal commas; measured_in for readings in inches. Whether it belongs to a
// coupon is for Match. file is used in messages only. The error joins every fault, each
// with its place and what would do.
func Read(file string, data []byte) (Form, error) {
	r := reader{file: file}
	if err := reading.Lines(file, data, largestForm, r.line); err != nil {
		r.faults = append(r.faults, err)
	} else if r.columns == nil && len(r.faults) == 0 {
		r.fault(0, 0, "holds no form", "start with the line # coupon ..., then "+strings.Join(header, ","))
	}
	if len(r.faults) == 0 && !r.inches && r.form.inInches() {
		r.fault(0, 0, "these are readings in inches, 25.4 times smaller than what is drawn",
			"name the column "+measuredIn+", or write millimetres")
	}
	if len(r.faults) > 0 {
		return Form{}, reading.Joined(r.faults)
	}
	return r.form, nil
}

// inInches reports whether the usual reading is an inch for a millimetre drawn, or near it: no process
// is off by a tenth.
func (f Form) inInches() bool {
	var of []float64
	for _, r := range f.Rows {
		if r.Measured != nil && r.DrawnMM > 0 {
			of = append(of, *r.Measured*units.Inch.MM()/r.DrawnMM)
		}
	}
	slices.Sort(of)
	return len(of) > 0 && math.Abs(of[len(of)/2]-1) < 0.1
}

// reader is a form while it is read, with every fault found so far.
type reader struct {
	file      string
	form      Form
	separator byte
	columns   map[string]int // nil: not read yet
	inches    bool           // the readings, not what is drawn
	faults    []error
}

func (r *reader) fault(line, column int, says, remedy string) {
	r.faults = append(r.faults, reading.Fault(r.file, line, column, says, remedy))
}

// measured is the column of the readings, measuredIn the same in inches.
const measured, measuredIn = "measured_mm", "measured_in"

// line reads one line and reports whether to go on.
func (r *reader) line(number int, line string) bool {
	separators := strings.Count(line, ",") + strings.Count(line, ";") + strings.Count(line, "\t")
	text := strings.ToLower(strings.Trim(line, "\",; \t"))
	switch {
	case separators > mostFields:
		r.fault(number, 1, fmt.Sprintf("a line of more than %d cells", mostFields), "save the form alone, as CSV")
		return false
	case text == "":
	case text[0] == '#':
		r.first(number, text)
	case r.columns == nil:
		return r.header(number, line)
	case len(r.form.Rows) >= mostRows:
		r.fault(number, 1, fmt.Sprintf("more than %d rows", mostRows), "a form has about 120")
		return false
	default:
		r.row(number, reading.Split(line, r.separator))
	}
	return len(r.faults) <= reading.FaultsShown
}

// first reads the line that says whose form it is; other remarks are left alone.
func (r *reader) first(number int, text string) {
	if word := strings.Fields(strings.TrimPrefix(text, "#")); len(word) == 0 || word[0] != "coupon" {
		return
	}
	text = strings.NewReplacer(`"`, "", ";", ",", "\t", ",").Replace(text)
	pin := strings.Index(text, "pin")
	if pin > 0 {
		text = text[:pin] + strings.ReplaceAll(text[pin:], ",", ".")
	}
	m := firstLine.FindStringSubmatch(text)
	size := 0.0
	if m != nil {
		size, _ = strconv.ParseFloat(m[2], 64)
	}
	switch {
	case m == nil || size <= 0 || size > mostReadMM:
		r.fault(number, 1, "the line that names the coupon cannot be read",
			"leave it as it was written: # coupon 0a1b2c3d, pin 6 m6")
		r.form.Checksum = "?" // told once
	case r.form.Checksum != "":
		r.fault(number, 1, "a second line that names a coupon", "one form in a file")
	default:
		r.form.Checksum, r.form.PinMM, r.form.PinClass = m[1], size, m[3]
	}
}

// header maps the columns and reports whether rows can be read.
func (r *reader) header(number int, line string) bool {
	if r.form.Checksum == "" {
		r.fault(number, 1, "the first line does not name the coupon",
			"leave it as it was written: # coupon 0a1b2c3d, pin 6 m6")
	}
	r.separator = ','
	for _, s := range []byte{';', '\t'} {
		if strings.IndexByte(line, s) >= 0 {
			r.separator = s
		}
	}
	before := len(r.faults)
	r.columns = map[string]int{}
	guessed := map[string]bool{}
	for i, f := range reading.Split(line, r.separator) {
		name := strings.ToLower(f.Text)
		if name == measuredIn {
			name, r.inches = measured, true
		}
		_, twice := r.columns[name]
		switch {
		case name == "":
		case twice:
			r.fault(number, f.Column, fmt.Sprintf("column %q stands twice", name), "leave one out")
		case slices.Contains(header, name):
			r.columns[name] = i
		default:
			remedy := "the columns are " + strings.Join(header, ",")
			if g := spelling.Nearest(name, header); g != "" {
				guessed[g] = true
				remedy = fmt.Sprintf("did you mean %q?", g)
			}
			r.fault(number, f.Column, fmt.Sprintf("unknown column %q", f.Text), remedy)
		}
	}
	for _, k := range header {
		if _, ok := r.columns[k]; !ok && !guessed[k] {
			r.fault(number, 1, fmt.Sprintf("column %q is missing", k), "the header is "+strings.Join(header, ","))
		}
	}
	return len(r.faults) == before
}

// row reads a line below the header.
func (r *reader) row(number int, fields []reading.Field) {
	cells := make([]reading.Field, len(header))
	for i, name := range header {
		if at := r.columns[name]; at < len(fields) { // empty cells at the end may be left out
			cells[i] = fields[at]
		}
	}
	for i, f := range fields {
		known := false
		for _, at := range r.columns {
			known = known || at == i
		}
		if !known && f.Text != "" {
			r.fault(number, f.Column, fmt.Sprintf("%q stands in no column", f.Text), noComma)
			return
		}
	}
	if f := cells[len(cells)-1]; f.Text != "" && strings.Trim(f.Text, "0123456789") == "" {
		r.fault(number, f.Column, fmt.Sprintf("enters %q is a number", f.Text), noComma)
		return
	}
	row := Row{
		Line: number,
		ID:   strings.ToUpper(strings.ReplaceAll(cells[0].Text, " ", "")),
		Kind: Kind(r.word(number, "kind", cells[1], string(Hole), string(Slot), string(Bar), string(Web), string(Span),
			string(Pin), string(Ring))),
		Axis:   r.word(number, "axis", cells[2], "x", "y", ""),
		Face:   r.word(number, "face", cells[3], Top, Under, ""),
		Enters: r.word(number, "enters", cells[6], Passes, Tight, No, ""),
	}
	if row.ID == "" || len(row.ID) > longestID {
		r.fault(number, max(1, cells[0].Column), "id "+strconv.Quote(cells[0].Text)+" is none",
			"write what was measured, as it is marked: H01, or H01-H02")
	}
	if drawn := r.number(number, "drawn_mm", cells[4]); drawn != nil {
		row.DrawnMM = *drawn
	} else if cells[4].Text == "" {
		r.fault(number, 1, "drawn_mm is empty", "leave it as it was written")
	}
	row.Measured = r.number(number, measured, cells[5])
	if r.inches && row.Measured != nil {
		*row.Measured *= units.Inch.MM()
	}
	if row.Enters != "" && (row.Kind != Hole || row.Axis != "" || row.Face != "") {
		r.fault(number, cells[6].Column, fmt.Sprintf("enters %q stands in a line that is not of a hole's trial", row.Enters),
			"answer in the hole's line without axis and face")
	}
	r.form.Rows = append(r.form.Rows, row)
}

// word reads a cell that holds one of some words, in any case.
func (r *reader) word(number int, name string, f reading.Field, words ...string) string {
	got := strings.ToLower(f.Text)
	if slices.Contains(words, got) {
		return got
	}
	shown := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" })
	remedy := "it is one of " + strings.Join(shown, ", ")
	if len(shown) < len(words) {
		remedy += ", or empty"
	}
	if g := spelling.Nearest(got, shown); g != "" && got != "" {
		remedy = fmt.Sprintf("did you mean %q?", g)
	}
	r.fault(number, max(1, f.Column), fmt.Sprintf("%s %q is not known", name, f.Text), remedy)
	return ""
}

// number reads a length in mm; nil for an empty cell, and for a fault.
func (r *reader) number(number int, name string, f reading.Field) *float64 {
	text := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(f.Text), "mm"))
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1) // in a quoted cell, or between semicolons
	}
	if text == "" {
		return nil
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || strings.Trim(text, "+-.0123456789e") != "":
		r.fault(number, f.Column, fmt.Sprintf("%s %q is not a number", name, f.Text), "write millimetres, such as 12.35")
	case !(v > 0 && v <= mostReadMM) || math.IsInf(v, 0):
		r.fault(number, f.Column, fmt.Sprintf("%s %s is no reading of a caliper", name, f.Text),
			"write millimetres over 0, such as 12.35")
	default:
		return &v
	}
	return nil
}
