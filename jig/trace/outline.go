package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/dxfread"
	"reseat/jig/geom"
	"reseat/jig/spelling"
	"reseat/jig/units"
)

const (
	// DefaultGapMM is what ends may lie apart and still be one corner: the rounding of programs that write two decimals,
	// and a fifth of what a caliper shows (derived).
	DefaultGapMM = 0.02
	// DefaultToleranceMM is how far arcs may leave the ellipse or spline that they stand for: a twentieth of the smallest
	// accuracy that is wanted of a job, 0.1 mm (derived).
	DefaultToleranceMM = 0.005
	// mostPieces bounds the lines and arcs of outline and holes: more than any board has.
	mostPieces = 10_000
	// leastMM is the length below which an edge is none: what rounding to six decimals leaves of a point drawn twice.
	leastMM = 2e-6
	// flatMM is how far an arc stands off its chord at least; a flatter one is a line. Its radius, a hundred metres and
	// more, would lose the digits that tell where it meets its neighbours.
	flatMM = 1e-4
)

// Want says what of a drawing is the board.
type Want struct {
	Layer       string  // of the outline and its holes; empty: all layers but the datum's and the features'
	Datum       Datum   // where the board's datum line lies
	Features    string  // layer whose circles are features; empty: none
	GapMM       float64 // ends of entities this far apart are joined; 0: DefaultGapMM
	ToleranceMM float64 // ellipses and splines are replaced by arcs that stay this near; 0: DefaultToleranceMM
	UnitMM      float64 // millimetres to one unit of the file; 0: as the file's header says
}

// Board is the board that a drawing shows, in mm in the board frame.
type Board struct {
	Outline  geom.Loop     // counter-clockwise from its vertex of least u; no arc of more than half a circle
	Holes    []geom.Loop   // clockwise; in the order of their vertices of least u
	Features []Feature     // in the order of u, then v
	Units    dxfread.Units // of the file
	Notes    []Finding     // harmless
}

// Outline reads the board that the DXF text in data shows. The error is an *Error with every fault of the drawing,
// or a *dxfread.Error where the text is no such drawing.
func Outline(data []byte, want Want) (Board, error) {
	want.GapMM = cmp.Or(want.GapMM, DefaultGapMM)
	want.ToleranceMM = cmp.Or(want.ToleranceMM, DefaultToleranceMM)
	d, err := dxfread.Read(data, dxfread.Options{UnitMM: want.UnitMM, ToleranceMM: want.ToleranceMM})
	if err != nil {
		return Board{}, err
	}
	t := &tracer{d: d, want: want}
	pieces := t.pieces()
	line := t.datum()
	circles := t.circles()
	contours := t.contours(t.chain(t.single(pieces)))
	t.said()
	if len(t.faults) > 0 {
		return Board{}, &Error{t.faults}
	}
	t.thin(contours)
	b := t.board(contours, line, circles)
	if len(t.faults) > 0 {
		return Board{}, &Error{t.faults}
	}
	b.Units, b.Notes = d.Units, t.notes
	return b, nil
}

// thin thins the contours that a program cut into chords.
func (t *tracer) thin(contours []contour) {
	before, after := 0, 0
	for i, c := range contours {
		contours[i].loop = thinned(c.loop, t.want.ToleranceMM)
		before, after = before+len(c.loop), after+len(contours[i].loop)
	}
	if after < before {
		t.note("%d lines and arcs laid out as %d, none off by more than %s", before, after, mm(t.want.ToleranceMM))
	}
	if after > mostEdges {
		t.missing("save the outline's layer alone, or take a larger tolerance",
			"the outline has %d lines and arcs, more than %d, though those that lie within %s of an arc count as one",
			after, mostEdges, mm(t.want.ToleranceMM))
	}
}

// piece is a line or arc of the contours, in mm.
type piece struct {
	geom.Edge
	of int // index of its entity
}

func same(a, b string) bool { return a != "" && strings.EqualFold(a, b) }

// wanted reports whether an entity is to be part of the outline or its holes.
func (t *tracer) wanted(e *dxfread.Entity) bool {
	if same(e.Layer, t.want.Features) && isCircle(e) {
		return false
	}
	if t.want.Layer != "" {
		return same(e.Layer, t.want.Layer)
	}
	return !same(e.Layer, t.want.Datum.Layer) && !same(e.Layer, t.want.Features) && !t.d.IsHidden(e.Layer)
}

// pieces returns the edges that are to make the contours.
func (t *tracer) pieces() []piece {
	var out []piece
	taken, points, aside := 0, 0, 0
	for i := range t.d.Entities {
		e := &t.d.Entities[i]
		switch {
		case !t.wanted(e):
			continue
		case e.Annotation:
			aside++
			continue
		case e.Problem != "":
			t.fault(e, e.At.Scale(t.d.Units.MM), t.orLayer("mend it, take it off this layer"), "%s", e.Problem)
			continue
		case e.Guessed:
			t.noteAt(e, e.At.Scale(t.d.Units.MM), "a spline through fit points alone: programs draw it otherwise near its ends")
		}
		taken++
		for _, g := range e.Edges {
			g.P, g.Q = g.P.Scale(t.d.Units.MM), g.Q.Scale(t.d.Units.MM)
			if g.P.Dist(g.Q) < leastMM {
				points++
				continue
			}
			if math.Abs(g.Bulge)*g.P.Dist(g.Q)/2 < flatMM {
				g.Bulge = 0
			}
			out = append(out, piece{g, i})
		}
	}
	if len(out) > mostPieces {
		t.missing("save the outline's layer alone, or take a larger tolerance",
			"the outline has %d lines and arcs, more than %d", len(out), mostPieces)
		return nil
	}
	if len(out) == 0 && len(t.faults) == 0 {
		t.nothing(t.want.Layer, "the outline")
	}
	if points > 0 {
		t.note("edges without length left out: %d", points)
	}
	if aside > 0 {
		t.note("texts, dimensions, hatches and points left out: %d", aside)
	}
	return out
}

// nothing is the fault that a layer holds nothing for what it was named for; no name means any layer.
func (t *tracer) nothing(layer, what string) {
	names := t.d.LayerNames()
	would := "name one of the layers that the drawing has: " + strings.Join(names[:min(len(names), faultsShown)], ", ")
	if near := spelling.Nearest(layer, names); near != "" && layer != "" {
		would = fmt.Sprintf("did you mean %s?", near)
	}
	switch {
	case len(names) == 0:
		would = "draw it with lines, arcs and polylines in the model"
	case slices.ContainsFunc(names, func(n string) bool { return same(n, layer) }):
		would = "draw it there with lines, arcs and polylines, in the model"
	}
	if layer == "" {
		t.missing(would, "the drawing has nothing that could be %s", what)
	} else {
		t.missing(would, "nothing on layer %s that could be %s", layer, what)
	}
}

// said notes what a maker should know of the file as a whole.
func (t *tracer) said() {
	u := t.d.Units
	switch stated := u.Name; {
	case stated == "none" && t.want.UnitMM == 0 && u.Inches:
		t.note("the file states no unit, read as millimetres; its $MEASUREMENT says inches")
	case stated == "none" && t.want.UnitMM == 0:
		t.note("the file states no unit, read as millimetres")
	case stated != "none" && t.want.UnitMM > 0:
		t.note("the file's unit, %s, is set aside: one unit is %s mm", stated, units.Short(u.MM))
	}
	if t.d.Paper > 0 {
		t.note("entities on paper layouts left out: %d", t.d.Paper)
	}
	if t.d.Unseen > 0 {
		t.note("invisible entities left out: %d", t.d.Unseen)
	}
	for _, name := range t.d.LayerNames() {
		if !t.d.IsHidden(name) {
			continue
		}
		if slices.ContainsFunc([]string{t.want.Layer, t.want.Datum.Layer, t.want.Features}, func(s string) bool { return same(s, name) }) {
			t.note("layer %s is off or frozen in the file; it was named, so it is read", name)
		} else if t.want.Layer == "" {
			t.note("layer %s is off or frozen in the file and left out", name)
		}
	}
	curves, arcs := 0, 0
	for i := range t.d.Entities {
		if e := &t.d.Entities[i]; t.wanted(e) && (e.Type == "ELLIPSE" || e.Type == "SPLINE") {
			curves++
			arcs += len(e.Edges)
		}
	}
	if curves > 0 {
		t.note("ellipses and splines drawn as arcs within %s mm: %d as %d", units.Short(t.want.ToleranceMM), curves, arcs)
	}
}
