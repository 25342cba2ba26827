package dxf

import (
	"bufio"
	"fmt"
	"io"

	"reseat/jig"
	"reseat/jig/units"
)

// Write writes a cut sheet as a DXF file of a flavour. Shapes are taken as they come, holes
// first, and only rounded. Same sheet, same bytes. Nothing is written when a shape
// cannot be cut; the error names the first one.
func Write(w io.Writer, s *jig.CutSheet, as Flavour) error {
	if len(s.Shapes) == 0 {
		return fmt.Errorf("%s holds no shapes", s.File)
	}
	shapes := make([]jig.Shape, len(s.Shapes))
	for i, sh := range s.Shapes {
		var err error
		if shapes[i], err = rounded(sh); err != nil {
			return fmt.Errorf("%s, layer %s: %w", s.File, sh.Layer, err)
		}
	}
	var tags []tag
	if as == R12 {
		tags = r12(s.Layers, shapes)
	} else {
		drawing, err := draw(s.Layers, shapes, as == LinesArcs)
		if err != nil {
			return fmt.Errorf("%s: %w", s.File, err)
		}
		tags = fixTags(drawing)
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
	return append([]string{
		"made by reseat: " + s.File,
		"units: mm, one drawing unit is one millimetre",
		fmt.Sprintf("overall size %s: %s mm along X, %s mm along Y",
			what, units.Fixed(box.Size().X, 3), units.Fixed(box.Size().Y, 3)),
	}, s.Words()...)
}
