package view

import (
	"fmt"
	"io"

	"reseat/export/solid"
)

// defaultWidthMM fits the text width of an A4 page in portrait, 210 mm less two
// margins of 15 mm. Common practice, no source.
const defaultWidthMM = 180

// Options say how large the picture is and what stands under it.
type Options struct {
	WidthMM float64 // of the page; 0: 180; the height follows from the parts
	Caption string  // one line under the picture; empty: none; see SizeCaption
}

// PlacedMesh is a body and where it stands. Bodies must not run into each other;
// a gap between them makes an exploded view.
type PlacedMesh struct {
	Mesh     *solid.Mesh
	OffsetMM [3]float64
}

// Write writes a picture of one body as SVG 1.1: width and height in
// millimetres, viewBox in the same unit, black lines, a few greys, no style sheet,
// no font but the generic sans-serif. The eye stands before the long side, towards the start
// end, 35 degrees above the plate: u runs to the right and up, engraved text is
// upright. Equal meshes give equal bytes.
//
// A mesh that is empty, not closed, or has a coordinate that is not a number, and
// an option out of range, give an *InputError.
func Write(w io.Writer, m *solid.Mesh, o Options) error {
	return WriteParts(w, []PlacedMesh{{Mesh: m}}, o)
}

// WriteParts writes one picture of several bodies in their places, as Write does.
func WriteParts(w io.Writer, parts []PlacedMesh, o Options) error {
	if o.WidthMM == 0 {
		o.WidthMM = defaultWidthMM
	}
	if err := validate(parts, o); err != nil {
		return err
	}
	p, err := newPicture(parts, o)
	if err != nil {
		return err
	}
	if _, err := w.Write(p.svg(o)); err != nil {
		return fmt.Errorf("view: write SVG: %w", err)
	}
	return nil
}

// SizeCaption returns the overall size of a body, to 0.1 mm: "520.0 x 110.0 x 14.0 mm".
func SizeCaption(m *solid.Mesh) string {
	lo, hi := m.Bounds()
	return fmt.Sprintf("%.1f x %.1f x %.1f mm", hi[0]-lo[0], hi[1]-lo[1], hi[2]-lo[2])
}

// picture is everything that stands on the page, in page millimetres, y up.
type picture struct {
	width, height float64
	areas         []area // far to near
	lines         [pens][]line
}

// line is a polyline in page millimetres.
type line []point

// newPicture computes the whole picture.
func newPicture(parts []PlacedMesh, o Options) (*picture, error) {
	s, err := newScene(parts, o)
	if err != nil {
		return nil, err
	}
	cand := s.candidates()
	cs := newCells(s)
	hid := s.hide(cs, cand, s.region, true)
	p := &picture{width: o.WidthMM, height: s.height}
	p.lines = chain(s, cs, cand, hid.visible)
	p.areas = s.paint(cs, cand, hid.covers)
	return p, nil
}
