package dxfread

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"reseat/jig/geom"
)

const (
	// mostBytes bounds a file: an outline of 10 000 edges has 2 MB.
	mostBytes = 32 << 20
	// mostEntities bounds the entities of a drawing, those of inserted blocks counted at each insert.
	mostEntities = 100_000
	// mostEdges bounds the lines and arcs made of them.
	mostEdges = 100_000
	// deepest bounds blocks within blocks.
	deepest = 16
	// mostAgain bounds what is read again for inserted blocks, bytes: under a second.
	mostAgain = 2 * mostBytes
)

// Options says how a drawing is read.
type Options struct {
	UnitMM      float64 // millimetres to one unit; 0: as the file's header says, mm where it says nothing
	ToleranceMM float64 // how far the arcs may leave an ellipse or a spline, > 0
}

// Read reads a drawing. The error is an *Error: the text is no DXF, broken, cut short or beyond the bounds above.
// What is wrong with one entity alone stands in its Problem.
func Read(data []byte, o Options) (Drawing, error) {
	if err := refuse(data); err != nil {
		return Drawing{}, err
	}
	r := &reader{o: o, d: Drawing{Units: unitsOf(0), hidden: map[string]bool{}}, blocks: map[string]block{},
		names: map[string]string{}}
	s := &scanner{rest: strings.TrimPrefix(string(data), "\ufeff")}
	if err := r.sections(s); err != nil {
		return Drawing{}, err
	}
	return r.d, nil
}

// refuse tells files that are no DXF text by how they begin.
func refuse(data []byte) error {
	head := data[:min(len(data), 4096)]
	switch {
	case len(data) > mostBytes:
		return &Error{0, fmt.Sprintf("the file has %d MB, more than %d", len(data)>>20, mostBytes>>20), fewer}
	case bytes.HasPrefix(data, []byte("AutoCAD Binary DXF")):
		return &Error{0, "this is a binary DXF", saveAgain}
	case bytes.HasPrefix(data, []byte("AC10")):
		return &Error{0, "this is a DWG", saveAgain}
	case bytes.IndexByte(head, 0) >= 0:
		return &Error{0, "this is no text, so no text DXF", saveAgain}
	case len(bytes.TrimSpace(head)) == 0:
		return &Error{0, "the file is empty", saveAgain}
	}
	return nil
}

// block is a block definition: where its entities begin in the text.
type block struct {
	base geom.Vec
	from scanner
	head tag // of its first entity
}

type reader struct {
	o      Options
	d      Drawing
	blocks map[string]block
	names  map[string]string // layers and kinds, each kept once
	count  int               // entities read, blocks' and the insert itself at each insert
	again  int               // bytes of blocks read for inserts
	edges  int               // edges made of them
}

func (r *reader) sections(s *scanner) error {
	t, ok, err := s.next()
	if err == nil && (!ok || t.code != 0 || !strings.EqualFold(t.value, "SECTION")) {
		err = &Error{t.line, "want the start of a section (0, SECTION)", "this is no DXF text: " + saveAgain}
	}
	for ; err == nil && ok; t, ok, err = s.next() {
		switch {
		case t.code == 0 && strings.EqualFold(t.value, "EOF"):
			return nil
		case t.code != 0 || !strings.EqualFold(t.value, "SECTION"):
			return &Error{t.line, fmt.Sprintf("want a section or the end (0, EOF), got %d, %s", t.code, quoted(t.value)),
				saveAgain}
		}
		name, named, err := s.next()
		if err != nil {
			return err
		}
		if !named || name.code != 2 {
			return &Error{t.line, "a section without a name (code 2)", saveAgain}
		}
		switch strings.ToUpper(name.value) {
		case "HEADER":
			err = r.header(s, name)
		case "TABLES":
			err = r.each(s, name, r.layer)
		case "BLOCKS":
			err = r.each(s, name, nil)
		case "ENTITIES":
			err = r.each(s, name, func(e raw) error { return r.add(e, asDrawn) })
		default:
			err = s.skip(name)
		}
		if err != nil {
			return err
		}
	}
	return err
}

// header reads the units.
func (r *reader) header(s *scanner, section tag) error {
	var name string
	measurement, code := "", 0
	for {
		t, ok, err := s.next()
		switch {
		case err != nil:
			return err
		case !ok:
			return cutShort(section)
		case t.code == 0:
			return r.units(code, measurement)
		case t.code == 9:
			name = strings.ToUpper(t.value)
		case name == "$MEASUREMENT":
			measurement = t.value
		case name == "$INSUNITS":
			if code, err = strconv.Atoi(t.value); err != nil {
				return &Error{t.line, fmt.Sprintf("$INSUNITS: want a whole number, got %s", quoted(t.value)), saveAgain}
			}
		}
	}
}

func (r *reader) units(code int, measurement string) error {
	r.d.Units = unitsOf(code)
	r.d.Units.Inches = code == 0 && measurement == "0"
	if r.d.Units.Name == "" && r.o.UnitMM == 0 {
		return &Error{0, fmt.Sprintf("the drawing's unit ($INSUNITS %d) is none that a board is drawn in", code),
			"save it in millimetres or inches"}
	}
	if r.o.UnitMM > 0 {
		r.d.Units.MM = r.o.UnitMM
	}
	return nil
}

// unitsOf returns the unit of an $INSUNITS code (DXF Reference, HEADER section); no name where a board is not drawn in it.
func unitsOf(code int) Units {
	switch code {
	case 0:
		return Units{Name: "none", MM: 1}
	case 1:
		return Units{Name: "inches", MM: 25.4}
	case 2:
		return Units{Name: "feet", MM: 304.8}
	case 4:
		return Units{Name: "mm", MM: 1}
	case 5:
		return Units{Name: "cm", MM: 10}
	case 6:
		return Units{Name: "m", MM: 1000}
	case 9:
		return Units{Name: "mils", MM: 0.0254}
	case 14:
		return Units{Name: "dm", MM: 100}
	}
	return Units{MM: 1}
}

// each hands every entity of a section to do; in the section of blocks (do is nil) it notes where each begins.
func (r *reader) each(s *scanner, section tag, do func(raw) error) error {
	t, ok, err := s.next()
	for err == nil && ok {
		if t.code != 0 { // stray tags before the first entity, as a table's own
			t, ok, err = s.next()
			continue
		}
		if kind := strings.ToUpper(t.value); kind == "ENDSEC" {
			return nil
		} else if kind == "EOF" || kind == "SECTION" {
			break
		}
		var e raw
		if e, t, ok, err = r.entity(s, t); err == nil && do != nil {
			err = do(e)
		} else if err == nil {
			r.define(&e, t, *s)
		}
	}
	if err != nil {
		return err
	}
	return cutShort(section)
}

// skip passes over a section: CLASSES, OBJECTS, thumbnails and what programs add of their own.
func (s *scanner) skip(section tag) error {
	for {
		t, ok, err := s.next()
		if err == nil && !ok {
			err = cutShort(section)
		}
		if err != nil || t.code == 0 && strings.EqualFold(t.value, "ENDSEC") {
			return err
		}
	}
}

func cutShort(section tag) error {
	name := quoted(strings.ToUpper(section.value))
	return &Error{section.line, "section " + name + " has no end (0, ENDSEC): the file is cut short", saveAgain}
}

// entity reads an entity and counts it. A polyline gets the tags of its vertices, a tag 0 before each.
func (r *reader) entity(s *scanner, head tag) (raw, tag, bool, error) {
	if r.count++; r.count > mostEntities {
		return raw{}, head, false, tooMany(head)
	}
	e, t, ok, err := s.entity(head)
	for err == nil && ok && e.kind == "POLYLINE" && strings.EqualFold(t.value, "VERTEX") {
		var v raw
		v, next, more, problem := s.entity(t)
		e.tags = append(append(e.tags, t), v.tags...)
		if t, ok, err = next, more, problem; err == nil && len(e.tags) > mostTags {
			err = &Error{e.line, fmt.Sprintf("more than %d groups in one POLYLINE", mostTags), fewer}
		}
	}
	return e, t, ok, err
}

// define notes a block.
func (r *reader) define(e *raw, head tag, from scanner) {
	if name, ok := e.text(2); ok && e.kind == "BLOCK" {
		r.blocks[strings.ToUpper(name)] = block{geom.Vec{X: e.number(10, 0), Y: e.number(20, 0)}, from, head}
	}
}

// layer notes how a layer is shown.
func (r *reader) layer(e raw) error {
	if name, ok := e.text(2); ok && e.kind == "LAYER" {
		r.d.hidden[strings.ToUpper(plain(name))] = e.number(62, 7) < 0 || e.whole(70)&1 != 0
	}
	return nil
}

// setting is how the entities of a block lie in the drawing.
type setting struct {
	affine
	layer  string   // of the insert: the block's entities on layer 0 lie on it
	name   string   // of the block
	blocks []string // those that it lies in, itself included
}

var asDrawn = setting{affine: shifted(geom.Vec{})}

// add reads an entity and keeps it.
func (r *reader) add(e raw, in setting) error {
	if e.kind == "SEQEND" || e.kind == "ATTRIB" { // of an insert
		return nil
	}
	if e.whole(67) == 1 {
		r.d.Paper++
		return nil
	}
	if e.whole(60) == 1 {
		r.d.Unseen++
		return nil
	}
	out := Entity{Type: r.name(e.kind), Layer: r.layerOf(e, in), Block: in.name, Line: e.line}
	if h, ok := e.text(5); ok {
		out.Handle = plain(h)
	}
	if e.kind == "INSERT" {
		return r.insert(e, out, in)
	}
	e.shape(&out, r.o.ToleranceMM/r.d.Units.MM/math.Sqrt(math.Abs(in.det())), mostEdges-r.edges)
	in.place(&out)
	if r.edges += len(out.Edges); r.edges >= mostEdges {
		return &Error{e.line, fmt.Sprintf("more than %d lines and arcs", mostEdges), fewer}
	}
	r.d.Entities = append(r.d.Entities, out)
	return nil
}

func (r *reader) name(s string) string {
	if kept, ok := r.names[s]; ok {
		return kept
	}
	r.names[s] = plain(s)
	return r.names[s]
}

func (r *reader) layerOf(e raw, in setting) string {
	name, ok := e.text(8)
	switch {
	case len(in.blocks) > 0 && (!ok || name == "0"):
		return in.layer
	case !ok:
		return "0"
	}
	return r.name(name)
}

// mostCopies bounds the rows and columns of an insert.
const mostCopies = 10_000

// insert adds what the inserted block holds, where it lies.
func (r *reader) insert(e raw, out Entity, in setting) error {
	name, _ := e.text(2)
	b, ok := r.blocks[strings.ToUpper(name)]
	m := affine{a: e.number(41, 1), d: e.number(42, 1)}
	phi := e.number(50, 0) * math.Pi / 180
	turned := affine{a: math.Cos(phi), b: -math.Sin(phi), c: math.Sin(phi), d: math.Cos(phi)}
	at := geom.Vec{X: e.number(10, 0), Y: e.number(20, 0)}
	mirrored := e.facing()
	out.At = in.apply(mirrored.apply(at))
	columns, rows := max(1, e.whole(70)), max(1, e.whole(71))
	step := geom.Vec{X: e.number(44, 0), Y: e.number(45, 0)}
	switch {
	case e.fault != "":
	case !ok:
		e.wrong("there is no block %s", quoted(plain(name)))
	case len(in.blocks) >= deepest || slices.Contains(in.blocks, strings.ToUpper(name)):
		e.wrong("block %s is inserted in itself, or in more than %d others", quoted(plain(name)), deepest)
	case m.det() == 0:
		e.wrong("block %s is inserted with scale 0", quoted(plain(name)))
	case float64(columns)*float64(rows) > mostCopies:
		e.wrong("block %s is inserted %d x %d times", quoted(plain(name)), columns, rows)
	}
	if e.fault != "" {
		out.Problem = e.fault
		r.d.Entities = append(r.d.Entities, out)
		return nil
	}
	for i := range columns * rows {
		shift := geom.Vec{X: step.X * float64(i%columns), Y: step.Y * float64(i/columns)}
		inner := shifted(b.base.Scale(-1)).then(m).then(shifted(shift)).then(turned).then(shifted(at)).then(mirrored)
		within := append(slices.Clip(in.blocks), strings.ToUpper(name))
		if err := r.block(b, setting{inner.then(in.affine), out.Layer, plain(name), within}); err != nil {
			return err
		}
	}
	return nil
}

// block adds the entities of a block.
func (r *reader) block(b block, in setting) error {
	s, t, ok := b.from, b.head, true
	var err error
	if r.count++; r.count > mostEntities { // one that holds nothing takes time too
		return tooMany(b.head)
	}
	for ok && err == nil && !slices.Contains(endsBlock, strings.ToUpper(t.value)) {
		var e raw
		before := len(s.rest)
		e, t, ok, err = r.entity(&s, t)
		if r.again += before - len(s.rest); err == nil && r.again > mostAgain {
			err = &Error{b.head.line, fmt.Sprintf("its inserted blocks come to more than %d MB", mostAgain>>20), fewer}
		}
		if err == nil {
			err = r.add(e, in)
		}
	}
	return err
}

func tooMany(at tag) error {
	return &Error{at.line, fmt.Sprintf("more than %d entities", mostEntities), fewer}
}

// endsBlock are the kinds that end a block, the last three where its own end is missing.
var endsBlock = []string{"ENDBLK", "BLOCK", "ENDSEC", "EOF"}

// LayerNames returns the layers that entities lie on, in order.
func (d Drawing) LayerNames() []string {
	seen := map[string]bool{}
	for _, e := range d.Entities {
		seen[e.Layer] = true
	}
	return slices.Sorted(maps.Keys(seen))
}
