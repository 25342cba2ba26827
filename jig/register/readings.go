package register

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"reseat/jig/geom"
)

// Edge names the line of the board that a reading was taken on.
type Edge string

// The lines that readings are taken on. Left and right are the board's own, as
// it was drawn: looking from the start end, top up.
const (
	OnDatum Edge = "datum"
	OnLeft  Edge = "left"
	OnRight Edge = "right"
)

// Reading is one measured point in machine coordinates, millimetres.
type Reading struct {
	Line int // of the file it came from
	On   Edge
	At   geom.Vec
}

// largestReadings bounds the size of a readings file in bytes: room for some
// 50 000 points, far more than anyone takes by hand.
const largestReadings = 1 << 20

// faultsShown bounds the list of faults: a file of the wrong kind has one on
// every line, and nobody reads past the first screen.
const faultsShown = 20

// The columns of a readings file.
const (
	colOn = "on"
	colX  = "x_mm"
	colY  = "y_mm"
)

// ReadReadings reads measured points from CSV text: a header `on,x_mm,y_mm` in
// any order, then one point per line, `on` being datum, left or right. Empty
// lines and lines that start with # are skipped; blanks around a field, quotes
// and a byte order mark do no harm. Numbers are plain millimetres with a decimal
// point. file is used in messages only.
//
// The error is Faults: every fault in the file with its place and what would do.
func ReadReadings(file string, data []byte) ([]Reading, error) {
	p := &readingsParser{file: file}
	p.read(data)
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.readings, nil
}

// readingsParser holds what was read so far and every fault found.
type readingsParser struct {
	file     string
	columns  map[string]int // column name -> index
	header   int            // number of columns
	readings []Reading
	seen     map[Reading]int // point without line -> line where it stood first
	faults   Faults
}

func (p *readingsParser) fault(line, column int, says, remedy string) {
	p.faults = append(p.faults, Fault{p.file, line, column, says, remedy})
}

func (p *readingsParser) read(data []byte) {
	switch {
	case len(data) > largestReadings:
		p.fault(0, 0, fmt.Sprintf("is %d bytes long", len(data)), fmt.Sprintf("a readings file has at most %d", largestReadings))
		return
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		p.fault(0, 0, "is not text", "save the readings as CSV in UTF-8")
		return
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	number := 0
	for line := range strings.Lines(text) {
		number++
		line = strings.TrimRight(line, "\r\n")
		if t := strings.TrimSpace(line); t == "" || t[0] == '#' {
			continue
		}
		fields := split(line)
		if p.columns == nil {
			if !p.readHeader(number, line, fields) {
				return // nothing below can be understood
			}
			continue
		}
		p.readRow(number, fields)
		if len(p.faults) >= faultsShown {
			p.fault(number, 1, "too many faults to go on", "mend these first")
			return
		}
	}
	if p.columns == nil {
		p.fault(0, 0, "holds no header", "start with the line "+colOn+","+colX+","+colY)
		return
	}
	if len(p.faults) == 0 {
		p.checkEnough()
	}
}

// readHeader maps the columns. It returns false when rows cannot be read.
func (p *readingsParser) readHeader(number int, line string, fields []field) bool {
	p.columns, p.seen, p.header = map[string]int{}, map[Reading]int{}, len(fields)
	for _, sep := range []string{";", "\t"} {
		if len(fields) == 1 && strings.Contains(line, sep) {
			p.fault(number, 1, fmt.Sprintf("fields are separated by %q", sep), "separate them by commas and write decimals with a point")
			return false
		}
	}
	known := []string{colOn, colX, colY}
	guessed := map[string]bool{}
	for i, f := range fields {
		name := strings.ToLower(f.text)
		if len(p.faults) >= faultsShown {
			return false
		}
		switch {
		case name != colOn && name != colX && name != colY:
			remedy := "the columns are " + strings.Join(known, ", ")
			if g := columnMeant(name); g != "" {
				guessed[g] = true
				remedy = fmt.Sprintf("did you mean %q? Lengths are in millimetres", g)
			}
			p.fault(number, f.column, fmt.Sprintf("unknown column %q", f.text), remedy)
		case contains(p.columns, name):
			p.fault(number, f.column, fmt.Sprintf("column %q stands twice", name), "leave one out")
		default:
			p.columns[name] = i
		}
	}
	for _, k := range known {
		if !contains(p.columns, k) && !guessed[k] {
			p.fault(number, 1, fmt.Sprintf("column %q is missing", k), "the header is "+strings.Join(known, ","))
		}
	}
	return len(p.faults) == 0
}

func contains(m map[string]int, k string) bool { _, ok := m[k]; return ok }

// columnMeant guesses the column that an unknown name stands for.
func columnMeant(name string) string {
	bare := strings.FieldsFunc(name, func(r rune) bool { return r == '_' || r == ' ' || r == '(' || r == '[' })
	if len(bare) > 0 && (bare[0] == "x" || bare[0] == "y") {
		return bare[0] + "_mm"
	}
	return nearest(name, []string{colOn, colX, colY})
}

func (p *readingsParser) readRow(number int, fields []field) {
	if len(fields) != p.header {
		remedy := "every line has one field per column"
		if len(fields) > p.header {
			remedy = "a decimal comma splits a number in two; write 12.5, not 12,5"
		}
		p.fault(number, 1, fmt.Sprintf("%d fields, the header has %d", len(fields), p.header), remedy)
		return
	}
	before := len(p.faults)
	r := Reading{On: p.edge(number, fields[p.columns[colOn]])}
	r.At.X = p.number(number, colX, fields[p.columns[colX]])
	r.At.Y = p.number(number, colY, fields[p.columns[colY]])
	if len(p.faults) > before {
		return
	}
	if first, twice := p.seen[r]; twice {
		p.fault(number, 1, fmt.Sprintf("the same point as on line %d", first), "leave one out, or measure again")
		return
	}
	p.seen[r] = number
	r.Line = number
	p.readings = append(p.readings, r)
}

func (p *readingsParser) edge(number int, f field) Edge {
	e := Edge(strings.ToLower(f.text))
	switch e {
	case OnDatum, OnLeft, OnRight:
		return e
	}
	remedy := "a point lies on datum, left or right"
	if g := nearest(string(e), []string{string(OnDatum), string(OnLeft), string(OnRight)}); g != "" {
		remedy = fmt.Sprintf("did you mean %q?", g)
	}
	p.fault(number, f.column, fmt.Sprintf("unknown line of the board %q", f.text), remedy)
	return ""
}

// number reads a plain decimal number. Words such as nan and inf, hexadecimal
// numbers and digit separators, which strconv takes, are refused.
func (p *readingsParser) number(number int, name string, f field) float64 {
	t := f.text
	switch {
	case t == "":
		p.fault(number, f.column, name+" is empty", "write a number, or leave the line out")
		return 0
	case strings.Contains(t, ","):
		p.fault(number, f.column, fmt.Sprintf("%s %q has a decimal comma", name, t), "write a decimal point: "+strings.ReplaceAll(t, ",", "."))
		return 0
	}
	v, err := strconv.ParseFloat(t, 64)
	if strings.Trim(t, "+-.0123456789eE") != "" || err != nil {
		remedy := "write a plain number, such as 12.35"
		if cut := strings.TrimRight(t, " abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ\""); cut != t && cut != "" {
			remedy = "the unit stands in the header; write " + cut
			if strings.HasSuffix(t, "in") || strings.HasSuffix(t, "\"") {
				remedy = "write millimetres (1 in is 25.4 mm)"
			}
		}
		p.fault(number, f.column, fmt.Sprintf("%s %q is not a number", name, t), remedy)
		return 0
	}
	if math.Abs(v) > largestMM {
		p.fault(number, f.column, fmt.Sprintf("%s %s is beyond 100 m", name, t), "write millimetres")
		return 0
	}
	return v
}

// checkEnough refuses readings that give no direction, one fault per line of the
// board that was touched in one place only.
func (p *readingsParser) checkEnough() {
	if len(p.readings) == 0 {
		p.fault(0, 0, "holds no readings", "measure at least two points along one line of the board")
		return
	}
	for _, e := range []Edge{OnDatum, OnLeft, OnRight} {
		var of []Reading
		span := 0.0
		for _, r := range p.readings {
			if r.On == e {
				of = append(of, r)
				span = math.Max(span, r.At.Dist(of[0].At))
			}
		}
		switch {
		case len(of) == 1:
			p.fault(of[0].Line, 1, fmt.Sprintf("the only point on %s", e), "one point gives no direction; measure a second one far from it")
		case len(of) > 1 && span < leastSpanMM:
			p.fault(of[0].Line, 1, fmt.Sprintf("all %d points on %s lie within %.3g mm", len(of), e, span), "measure near both ends of the board")
		}
	}
}
