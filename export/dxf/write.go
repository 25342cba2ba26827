package dxf

import (
	"bufio"
	"fmt"
	"io"

	"reseat/jig"
	"reseat/jig/geom"
)

// Write writes a cut sheet as a DXF file. Shapes are taken as they come, holes
// first, and only rounded. Same sheet, same bytes.
//
// Errors: *SheetError before anything is written, or the writer's own.
func Write(w io.Writer, s *jig.CutSheet) error {
	shapes, err := prepare(s)
	if err != nil {
		return err
	}
	tags, err := draw(s, shapes, extent(shapes, nil))
	if err != nil {
		return fmt.Errorf("dxf: %s: %w", s.File, err)
	}
	if tags, err = mend(tags); err != nil {
		return fmt.Errorf("dxf: %s: %w", s.File, err)
	}
	out := bufio.NewWriter(w)
	for _, c := range comments(s, shapes) {
		fmt.Fprintf(out, "999\n%s\n", c)
	}
	for _, t := range tags {
		fmt.Fprintf(out, "%d\n%s\n", t.code, t.value)
	}
	return out.Flush() // bufio keeps the first error
}

// extent returns the box of the shapes whose layer is in the set; of all when the
// set is nil. Arcs are included.
func extent(shapes []jig.Shape, layers map[string]bool) geom.Box {
	b := geom.EmptyBox()
	for _, s := range shapes {
		if layers == nil || layers[s.Layer] {
			b = b.Union(bounds(s))
		}
	}
	return b
}

func bounds(s jig.Shape) geom.Box {
	if s.R > 0 {
		return geom.EmptyBox().Include(s.Center).Grow(s.R)
	}
	n := len(s.Loop)
	if s.Open {
		n--
	}
	b := geom.EmptyBox()
	for k := range n {
		b = b.Union(s.Loop.Edge(k).Bounds())
	}
	return b
}

// comments returns the words at the top of the file, for people who open it in an
// editor and for programs that show them. Many readers ignore the header's unit,
// so the size in words is what a cutter can check.
func comments(s *jig.CutSheet, shapes []jig.Shape) []string {
	cut := map[string]bool{}
	for _, l := range s.Layers {
		cut[l.Name] = l.Cut
	}
	what, box := "of what is cut", extent(shapes, cut)
	if box.Min.X > box.Max.X {
		what, box = "of the guides (nothing is cut)", extent(shapes, nil)
	}
	return []string{
		"made by reseat: " + s.File,
		"units: mm, one drawing unit is one millimetre",
		fmt.Sprintf("overall size %s: %.3f mm along X, %.3f mm along Y", what, box.Size().X, box.Size().Y),
		kerfWords(s.KerfMM),
	}
}

func kerfWords(kerf float64) string {
	if kerf == 0 {
		return "true size: no kerf applied"
	}
	return fmt.Sprintf("kerf %.3f mm applied: holes drawn smaller, outlines larger; do not compensate again", kerf)
}

// Names of the empty layer that says the same in a program's list of layers.
const (
	noteTrueSize = notePrefix + "TRUE-SIZE"
	noteKerf     = notePrefix + "KERF-APPLIED"
	noteColour   = 7
)

func noteLayer(kerf float64) string {
	if kerf == 0 {
		return noteTrueSize
	}
	return noteKerf
}
