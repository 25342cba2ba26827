package measure

import "fmt"

// The layouts of a file of measured marks.
var markLayouts = []layout{
	{"name", "x_mm", "y_mm"},
	{"name", "x_in", "y_in"},
}

// ReadMarks reads measured marks from CSV text: a header `name,x_mm,y_mm` in any
// order, then one reading per line, `name` being a feature, a pin, or left, right
// or start for a point touched along that edge. The unit stands in the header;
// x_in and y_in are inches. Empty lines and lines that start with # are skipped;
// blanks around a field, quotes and a byte order mark do no harm. Numbers are
// plain, with a decimal point. Whether a name is known is for Locate. file is used
// in messages only.
//
// The error is Faults: every fault in the file with its place and what would do.
func ReadMarks(file string, data []byte) ([]MarkReading, error) {
	p := marksParser{table: table{file: file, layouts: markLayouts}, seen: map[MarkReading]int{}}
	if p.read(data, p.row) && len(p.faults) == 0 && len(p.readings) == 0 {
		p.fault(0, 0, "holds no readings", "measure two marks far apart, or one and an edge")
	}
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.readings, nil
}

// marksParser holds what was read so far and every fault found.
type marksParser struct {
	table
	readings []MarkReading
	seen     map[MarkReading]int // reading without line -> line where it stood first
}

func (p *marksParser) row(number int, fields []field) {
	before := len(p.faults)
	name := fields[p.columns["name"]]
	if name.text == "" {
		p.fault(number, name.column, "name is empty", "write what was measured, or leave the line out")
	}
	r := MarkReading{Name: name.text}
	r.At.X = p.length(number, 1, fields)
	r.At.Y = p.length(number, 2, fields)
	if len(p.faults) > before {
		return
	}
	if first, twice := p.seen[r]; twice {
		p.fault(number, 1, fmt.Sprintf("the same reading as on line %d", first), "leave one out, or measure again")
		return
	}
	p.seen[r] = number
	r.Line = number
	p.readings = append(p.readings, r)
}
