// Package reading reads what was measured: tables of readings for datum, locate and zero, each fault
// with its place.
package reading

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/spelling"
)

// What a reading can be of, beside a mark's own name. Left and right are the board's
// own, as it was drawn: looking from the start end, top up.
const (
	OnDatum = "datum" // the datum line; for CheckDatum
	OnLeft  = "left"
	OnRight = "right"
	OnStart = "start" // the start end; for Locate and ZeroEdges
	OnRim   = "rim"   // of a hole, a dot or a pin; for ZeroRim
	OnTop   = "top"   // for package height
)

// IsEdge reports whether a reading's name is that of one of the board's edges, in any case.
func IsEdge(name string) bool {
	return slices.Contains([]string{OnLeft, OnRight, OnStart}, strings.ToLower(name))
}

// RimPoints lay a circle.
const RimPoints = 3

// Reading is one measured point in machine coordinates, millimetres, or one
// reading of a dial.
type Reading struct {
	Line int    // of the file it came from
	On   string // what was measured: a mark's name, or one of the constants above
	At   geom.Vec
	// Dial marks a reading of a dial that is carried along the machine's axis
	// with its plunger against an edge: At.X is the station along the datum line
	// from the board's start, At.Y what the dial shows, more when the edge pushes
	// the plunger in. Where the dial was set to zero does not matter.
	Dial          bool
	ZMM, FeelerMM float64 // of the tool's tip, and of paper or gauge under it; for OnTop only
}

// form is a kind of readings file.
type form struct {
	layouts []layout
	on      []string     // what its first column may hold; none: any name
	enough  func(*table) // refuses readings that cannot give an answer
}

var (
	datumForm = form{
		[]layout{{"on", "x_mm", "y_mm"}, {"on", "x_in", "y_in"}, {"on", "station_mm", "dial_mm"}, {"on", "station_in",
			"dial_in"}},
		[]string{OnDatum, OnLeft, OnRight}, enoughForDatum,
	}
	markForm = form{[]layout{{"name", "x_mm", "y_mm"}, {"name", "x_in", "y_in"}}, nil, enoughMarks}
	zeroForm = form{
		[]layout{
			{"kind", "x_mm", "y_mm"}, {"kind", "x_in", "y_in"},
			{"kind", "x_mm", "y_mm", "z_mm", "feeler_mm"}, {"kind", "x_in", "y_in", "z_in", "feeler_in"},
		},
		[]string{OnRim, OnLeft, OnRight, OnStart, OnTop}, enoughToZero,
	}
)

// Datum reads the points for CheckDatum from CSV text: a header `on,x_mm,y_mm`,
// `on` being datum, left or right; or `on,station_mm,dial_mm` for a dial along the
// left or right edge.
//
// In this file and those of Marks and Touches the columns stand in any order, one
// reading per line. The unit stands in the header: x_in and its like are inches. Empty
// lines and lines that start with # are skipped; blanks around a field, quotes and a byte
// order mark do no harm. Numbers are plain, with a decimal point. file is used in messages
// only. The error joins every fault in the file, each with its place and what would do.
func Datum(file string, data []byte) ([]Reading, error) { return datumForm.read(file, data) }

// Marks reads the points for Locate: a header `name,x_mm,y_mm`, `name` being a
// feature, a pin, or left, right or start for a point touched along that edge. Whether a
// name is known is for Locate. See Datum.
func Marks(file string, data []byte) ([]Reading, error) { return markForm.read(file, data) }

// Touches reads the touches for ZeroRim, ZeroEdges and package height: a header
// `kind,x_mm,y_mm`, `kind` being rim, left, right, start or top. A top needs the columns
// z_mm and feeler_mm as well, which stay empty for the others. See Datum.
func Touches(file string, data []byte) ([]Reading, error) { return zeroForm.read(file, data) }

// usualMost is how many readings room is made for at once; a file may have more.
const usualMost = 100_000

func (f form) read(file string, data []byte) ([]Reading, error) {
	rows := min(bytes.Count(data, []byte("\n")), usualMost)
	t := table{form: f, file: file, readings: make([]Reading, 0, rows), seen: make(map[Reading]int, rows)}
	t.read(data)
	if len(t.faults) == 0 {
		t.enough(&t)
	}
	if len(t.faults) > 0 {
		return nil, Joined(t.faults)
	}
	return t.readings, nil
}

// readRow reads one line below the header.
func (t *table) readRow(number int, fields []Field) {
	before := len(t.faults)
	if got := len(fields); got != t.width {
		remedy := "every line has one field per column"
		if got > t.width {
			remedy = "a decimal comma splits a number in two; write 12.5, not 12,5"
		}
		t.fault(number, 1, fmt.Sprintf("%d fields, the header has %d", got, t.width), remedy)
		return
	}
	r := Reading{Dial: strings.HasPrefix(t.in[1], "station")}
	r.On = t.name(number, t.at(0, fields), r.Dial)
	r.At = geom.Vec{X: t.length(number, 1, fields), Y: t.length(number, 2, fields)}
	switch deep := len(t.in) > 3; {
	case r.On != OnTop || t.on == nil:
		for _, f := range t.in[3:] {
			if text := fields[t.columns[f]]; text.Text != "" {
				t.fault(number, text.Column, fmt.Sprintf("%s %q stands in a line that is not of the top", f, text.Text),
					"leave it empty; heights belong to top")
			}
		}
	case deep:
		r.ZMM, r.FeelerMM = t.length(number, 3, fields), t.feeler(number, fields)
	default:
		want := t.layouts[2+slices.IndexFunc(t.layouts, func(l layout) bool { return l[1] == t.in[1] })]
		t.fault(number, 1, "a touch of the top has no height", "give the file the columns "+want.String())
	}
	if len(t.faults) > before {
		return
	}
	if first, twice := t.seen[r]; twice {
		t.fault(number, 1, fmt.Sprintf("the same reading as on line %d", first), "leave one out, or measure again")
		return
	}
	t.seen[r] = number
	r.Line = number
	t.readings = append(t.readings, r)
}

// name reads what was measured.
func (t *table) name(number int, f Field, dial bool) string {
	words := t.on
	if dial {
		words = []string{OnLeft, OnRight}
	}
	if len(words) == 0 {
		if f.Text == "" {
			t.fault(number, f.Column, "name is empty", "write what was measured, or leave the line out")
		}
		return f.Text
	}
	for _, w := range words {
		if strings.EqualFold(f.Text, w) {
			return w
		}
	}
	may := "it is one of " + strings.Join(words, ", ")
	if g := spelling.Nearest(f.Text, words); g != "" {
		may = fmt.Sprintf("did you mean %q?", g)
	}
	t.fault(number, f.Column, fmt.Sprintf("%s %q is not known", t.in[0], f.Text), may)
	return ""
}

// largestFeelerMM is thicker than any paper, feeler gauge or touch plate that is laid
// under a tool. Common practice, no source.
const largestFeelerMM = 50.0

// feeler reads the thickness of what lay between tool and top.
func (t *table) feeler(number int, fields []Field) float64 {
	v, f := t.length(number, 4, fields), t.at(4, fields)
	if v < 0 || v > largestFeelerMM {
		t.fault(number, f.Column, fmt.Sprintf("%s %s is no thickness of paper or gauge", t.in[4], f.Text),
			fmt.Sprintf("write 0 for none, at most %g mm", largestFeelerMM))
	}
	return v
}

// enoughForDatum refuses readings that give no direction, one fault per line of the
// board that was touched once only. How far apart the others lie is for
// CheckDatum, which knows the board and can tell inches by it.
func enoughForDatum(t *table) {
	if len(t.readings) == 0 {
		t.fault(0, 0, "holds no readings", "measure at least two points along one line of the board")
	}
	for _, on := range t.on {
		if n, line := t.count(on); n == 1 {
			t.fault(line, 1, "the only point on "+on, "one point gives no direction; measure a second one far from it")
		}
	}
}

func enoughMarks(t *table) {
	if len(t.readings) == 0 {
		t.fault(0, 0, "holds no readings", "measure two marks far apart, or one and an edge")
	}
}

// enoughToZero refuses a file without touches, and a rim of fewer than three.
func enoughToZero(t *table) {
	if len(t.readings) == 0 {
		t.fault(0, 0, "holds no touches", "touch a rim at three places, or an edge, or the top")
	}
	if n, line := t.count(OnRim); n > 0 && n < RimPoints {
		t.fault(line, 1, fmt.Sprintf("%d of the three points that a rim needs", n),
			"touch it at three or more places all round")
	}
}

// count returns the number of readings and the line of the first.
func (t *table) count(on string) (n, line int) {
	line = math.MaxInt
	for _, r := range t.readings {
		if r.On == on {
			n, line = n+1, min(line, r.Line)
		}
	}
	return n, line
}
