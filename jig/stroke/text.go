package stroke

import (
	"fmt"

	"reseat/jig/geom"
)

// Text returns the strokes of s with capitals of heightMM: open polylines in
// reading order; a ring is a polyline that ends where it began. The baseline is
// y = 0 and every point lies in 0 <= y <= heightMM, x >= 0; a cut of width w
// reaches w/2 beyond. From a height of 1 mm on, no piece of a stroke is shorter
// than 0.02 mm, and no piece is drawn twice. a to z are written as capitals.
//
// An empty text, or one of spaces, has no strokes. A rune without a drawing is an
// error.
func Text(s string, heightMM float64) ([][]geom.Vec, error) {
	var strokes [][]geom.Vec
	pen := 0.0 // in heights
	for _, r := range s {
		g, ok := drawing(r)
		if !ok {
			return nil, fmt.Errorf("no letter for %q; "+
				"there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓", r)
		}
		for _, p := range g.paths {
			line := make([]geom.Vec, len(p))
			for j, v := range p {
				line[j] = geom.Vec{X: (pen + v.X) * heightMM, Y: v.Y * heightMM}
			}
			strokes = append(strokes, line)
		}
		pen += g.width
	}
	return strokes, nil
}

// HasGlyph reports whether a rune has a drawing.
func HasGlyph(r rune) bool {
	_, ok := drawing(r)
	return ok
}

func drawing(r rune) (g glyph, ok bool) {
	if 'a' <= r && r <= 'z' {
		// Not unicode.ToUpper: other scripts fold in ways that nobody expects on
		// a part.
		r += 'A' - 'a'
	}
	g, ok = glyphs()[r]
	return g, ok
}

// Place returns the strokes moved by m; the given ones stay. A mirrored move
// writes mirrored, which is right for a mark on the far side of a clear plate.
func Place(strokes [][]geom.Vec, m geom.Rigid) [][]geom.Vec {
	out := make([][]geom.Vec, len(strokes))
	for i, s := range strokes {
		out[i] = make([]geom.Vec, len(s))
		for j, p := range s {
			out[i][j] = m.Apply(p)
		}
	}
	return out
}

// Bounds returns the smallest box around the strokes' centre lines;
// geom.EmptyBox when there are none. Grow it by half the width of the cut for the
// ground that the mark takes.
func Bounds(strokes [][]geom.Vec) geom.Box {
	b := geom.EmptyBox()
	for _, s := range strokes {
		for _, p := range s {
			b = b.Include(p)
		}
	}
	return b
}
