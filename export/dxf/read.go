package dxf

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
)

// Drawing is what a file holds.
type Drawing struct {
	Comments       []string // at the top, one per line
	Version        string   // $ACADVER: "AC1015"
	InsUnits       int      // $INSUNITS: 4 is millimetres
	Measurement    int      // $MEASUREMENT: 1 is metric
	ExtMin, ExtMax geom.Vec // $EXTMIN, $EXTMAX, mm
	HandSeed       uint64   // $HANDSEED
	KerfApplied    bool     // the note layer says so
	Layers         []jig.Layer
	Shapes         []jig.Shape // in the order of the file
}

// Read reads a file that Write wrote, strictly: anything that Write would not
// have written in the header, the layers or the entities is an error. Classes,
// blocks and objects are passed over.
//
// Errors: *ReadError, or the reader's own.
func Read(r io.Reader) (*Drawing, error) {
	tags, err := scan(r)
	if err != nil {
		return nil, err
	}
	d := &Drawing{}
	rd := reader{d: d, tags: tags, layers: map[string]bool{}}
	if err := rd.file(); err != nil {
		return nil, err
	}
	return d, nil
}

// reader walks through the tags.
type reader struct {
	d      *Drawing
	tags   []tag
	at     int
	layers map[string]bool // of the layer table
	noted  bool            // a note layer was read
}

// peek returns the next tag; behind the end one that fits nothing.
func (r *reader) peek() tag {
	if r.at < len(r.tags) {
		return r.tags[r.at]
	}
	line := 1
	if n := len(r.tags); n > 0 {
		line = r.tags[n-1].line + 2
	}
	return tag{code: -1, line: line}
}

func (r *reader) next() tag {
	t := r.peek()
	r.at++
	return t
}

func bad(t tag, format string, args ...any) error {
	return &ReadError{t.line, fmt.Sprintf(format, args...)}
}

// record returns the tags from the next 0 up to the following one.
func (r *reader) record() []tag {
	n := recordLen(r.tags[r.at:])
	rec := r.tags[r.at : r.at+n]
	r.at += n
	return rec
}

// sections are in this order, each once.
var sections = []string{"HEADER", "CLASSES", "TABLES", "BLOCKS", "ENTITIES", "OBJECTS"}

func (r *reader) file() error {
	for r.peek().code == 999 {
		r.d.Comments = append(r.d.Comments, r.next().value)
	}
	for _, name := range sections {
		if t := r.next(); !t.is(0, "SECTION") {
			return bad(t, "want section %s here", name)
		}
		if t := r.next(); !t.is(2, name) {
			return bad(t, "want section %s here, got %.40q", name, t.value)
		}
		if err := r.section(name); err != nil {
			return err
		}
		if t := r.next(); !t.is(0, "ENDSEC") {
			return bad(t, "section %s does not end", name)
		}
	}
	if t := r.next(); !t.is(0, "EOF") {
		return bad(t, "the file does not end with EOF")
	}
	if t := r.peek(); t.code != -1 {
		return bad(t, "something follows EOF")
	}
	if len(r.d.Shapes) == 0 {
		return bad(r.peek(), "the file holds no shapes")
	}
	return nil
}

func (r *reader) section(name string) error {
	if name == "HEADER" {
		return r.header()
	}
	for r.peek().code == 0 && !r.peek().is(0, "ENDSEC") {
		rec := r.record()
		var err error
		switch {
		case name == "ENTITIES":
			err = r.entity(rec)
		case name == "TABLES" && rec[0].value == "LAYER":
			err = r.layer(rec)
		case name == "BLOCKS" && rec[0].value != "BLOCK" && rec[0].value != "ENDBLK":
			err = bad(rec[0], "%.40s inside a block", rec[0].value)
		}
		if err != nil {
			return err
		}
	}
	if name == "TABLES" && !r.noted {
		return bad(r.peek(), "no layer %s or %s", noteTrueSize, noteKerf)
	}
	return nil
}

// header reads the variables; those not known are passed over.
func (r *reader) header() error {
	seen := map[string]bool{}
	for r.peek().code == 9 {
		name := r.next()
		var vals []tag
		for c := r.peek().code; c != 9 && c > 0; c = r.peek().code {
			vals = append(vals, r.next())
		}
		if len(vals) == 0 || seen[name.value] {
			return bad(name, "%.40s has no value, or stands twice", name.value)
		}
		seen[name.value] = true
		if err := r.variable(name, vals); err != nil {
			return err
		}
	}
	for _, must := range []string{"$ACADVER", "$INSUNITS", "$MEASUREMENT", "$EXTMIN", "$EXTMAX", "$HANDSEED"} {
		if !seen[must] {
			return bad(r.peek(), "%s is missing", must)
		}
	}
	return nil
}

func (r *reader) variable(name tag, vals []tag) (err error) {
	d := r.d
	switch name.value {
	case "$ACADVER":
		if d.Version = vals[0].value; d.Version != "AC1015" {
			err = bad(vals[0], "version %.40s, want AC1015", d.Version)
		}
	case "$INSUNITS":
		if d.InsUnits, err = whole(vals[0]); err == nil && d.InsUnits != 4 {
			err = bad(vals[0], "$INSUNITS is %d, want 4 (mm)", d.InsUnits)
		}
	case "$MEASUREMENT":
		if d.Measurement, err = whole(vals[0]); err == nil && d.Measurement != 1 {
			err = bad(vals[0], "$MEASUREMENT is %d, want 1 (metric)", d.Measurement)
		}
	case "$EXTMIN":
		d.ExtMin, err = point(name, vals)
	case "$EXTMAX":
		d.ExtMax, err = point(name, vals)
	case "$HANDSEED":
		if d.HandSeed, err = strconv.ParseUint(vals[0].value, 16, 64); err != nil {
			err = bad(vals[0], "$HANDSEED is %.40q", vals[0].value)
		}
	}
	return err
}

// decimal is a number as Write prints it: a point, no exponent, at least four
// decimals.
var decimal = regexp.MustCompile(`^-?[0-9]{1,9}\.[0-9]{4,15}$`)

func number(t tag) (float64, error) {
	if !decimal.MatchString(t.value) {
		return 0, bad(t, "%.40q is not a decimal number such as 12.500000", t.value)
	}
	x, err := strconv.ParseFloat(t.value, 64)
	if err != nil {
		return 0, bad(t, "%.40q is not a number", t.value)
	}
	return x, nil
}

func whole(t tag) (int, error) {
	n, err := strconv.Atoi(t.value)
	if err != nil {
		return 0, bad(t, "%.40q is not a whole number", t.value)
	}
	return n, nil
}

// point reads groups 10, 20 and 30, the last of which must be 0.
func point(name tag, vals []tag) (v geom.Vec, err error) {
	if len(vals) != 3 || vals[0].code != 10 || vals[1].code != 20 || vals[2].code != 30 {
		return v, bad(name, "want groups 10, 20 and 30")
	}
	z := 0.0
	for i, to := range []*float64{&v.X, &v.Y, &z} {
		if *to, err = number(vals[i]); err != nil {
			return v, err
		}
	}
	if z != 0 {
		return v, bad(vals[2], "Z is %g, want 0", z)
	}
	return v, nil
}

// layer reads one entry of the layer table.
func (r *reader) layer(rec []tag) error {
	name := first(rec, 2)
	colour, err := whole(tag{value: first(rec, 62), line: rec[0].line})
	switch {
	case err != nil:
		return err
	case !layerName.MatchString(name) || r.layers[name]:
		return bad(rec[0], "layer name %.40q is not allowed, or stands twice", name)
	case first(rec, 70) != "0":
		return bad(rec[0], "layer %s is frozen or locked", name)
	case colour < 1 || colour > 7:
		return bad(rec[0], "layer %s: colour %d is not one of 1 to 7", name, colour)
	case !strings.EqualFold(first(rec, 6), "CONTINUOUS"):
		return bad(rec[0], "layer %s: line type %.40q", name, first(rec, 6))
	case name == "0":
		return nil
	case strings.HasPrefix(name, notePrefix):
		if r.noted || name != noteTrueSize && name != noteKerf {
			return bad(rec[0], "layer %s is unknown, or a second note", name)
		}
		r.noted, r.d.KerfApplied = true, name == noteKerf
		return nil
	}
	r.layers[name] = true
	r.d.Layers = append(r.d.Layers, jig.Layer{Name: name, Colour: colour, Cut: !isGuide(name)})
	return nil
}
