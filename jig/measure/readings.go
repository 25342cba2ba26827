package measure

import (
	"fmt"
	"strings"

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
	OnStart Edge = "start" // the start end; for Locate only
)

// Reading is one measured point in machine coordinates, millimetres, or one
// reading of a dial.
type Reading struct {
	Line int // of the file it came from
	On   Edge
	At   geom.Vec
	// Dial marks a reading of a dial that is carried along the machine's axis
	// with its plunger against an edge: At.X is the station along the datum line
	// from the board's start, At.Y what the dial shows, more when the edge pushes
	// the plunger in. Where the dial was set to zero does not matter.
	Dial bool
}

// The layouts of a readings file: points, and a dial's readings.
var readingLayouts = []layout{
	{"on", "x_mm", "y_mm"},
	{"on", "x_in", "y_in"},
	{"on", "station_mm", "dial_mm"},
	{"on", "station_in", "dial_in"},
}

// ReadReadings reads measured points from CSV text: a header `on,x_mm,y_mm` in
// any order, then one point per line, `on` being datum, left or right. With the
// header `on,station_mm,dial_mm` it reads a dial along the left or right edge.
// The unit stands in the header; x_in, y_in, station_in and dial_in are inches.
// Empty lines and lines that start with # are skipped; blanks around a field,
// quotes and a byte order mark do no harm. Numbers are plain, with a decimal
// point. file is used in messages only.
//
// The error is Faults: every fault in the file with its place and what would do.
func ReadReadings(file string, data []byte) ([]Reading, error) {
	p := readingsParser{table: table{file: file, layouts: readingLayouts}, seen: map[Reading]int{}}
	if p.read(data, p.row) && len(p.faults) == 0 {
		p.checkEnough()
	}
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.readings, nil
}

// readingsParser holds what was read so far and every fault found.
type readingsParser struct {
	table
	readings []Reading
	seen     map[Reading]int // reading without line -> line where it stood first
}

func (p *readingsParser) row(number int, fields []field) {
	before := len(p.faults)
	r := Reading{Dial: strings.HasPrefix(p.in[1], "station")}
	r.On = p.edge(number, fields[p.columns["on"]], r.Dial)
	r.At.X = p.length(number, 1, fields)
	r.At.Y = p.length(number, 2, fields)
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

func (p *readingsParser) edge(number int, f field, dial bool) Edge {
	words, may := []string{string(OnDatum), string(OnLeft), string(OnRight)}, "a point lies on datum, left or right"
	if dial {
		words, may = words[1:], "a dial runs along left or right"
	}
	for _, w := range words {
		if strings.EqualFold(f.text, w) {
			return Edge(w)
		}
	}
	if g := nearest(strings.ToLower(f.text), words); g != "" {
		may = fmt.Sprintf("did you mean %q?", g)
	}
	p.fault(number, f.column, fmt.Sprintf("unknown line of the board %q", f.text), may)
	return ""
}

// checkEnough refuses readings that give no direction, one fault per line of the
// board that was touched once only. How far apart the others lie is for
// CheckDatum, which knows the board and can tell inches by it.
func (p *readingsParser) checkEnough() {
	if len(p.readings) == 0 {
		p.fault(0, 0, "holds no readings", "measure at least two points along one line of the board")
		return
	}
	for _, e := range []Edge{OnDatum, OnLeft, OnRight} {
		n, line := 0, 0
		for _, r := range p.readings {
			if r.On == e {
				n, line = n+1, r.Line
			}
		}
		if n == 1 {
			p.fault(line, 1, fmt.Sprintf("the only point on %s", e), "one point gives no direction; measure a second one far from it")
		}
	}
}
