package block

import "reseat/jig/geom"

// Span is a piece Lo..Hi of a line across the board.
type Span struct{ Lo, Hi float64 }

// Spans returns where the line at station u lies inside a contour, from right to left.
func Spans(l geom.Loop, u float64) []Span {
	vs := l.Across(u, ChordMM)
	var out []Span
	for i := 0; i+1 < len(vs); i += 2 {
		out = append(out, Span{vs[i], vs[i+1]})
	}
	return out
}

// Subtract cuts the pieces b out of the pieces a; a piece with Lo >= Hi is none.
func Subtract(a []Span, b ...Span) []Span {
	for _, c := range b {
		var next []Span
		for _, s := range a {
			if c.Lo >= c.Hi || c.Hi <= s.Lo || c.Lo >= s.Hi {
				next = append(next, s)
				continue
			}
			if c.Lo > s.Lo {
				next = append(next, Span{s.Lo, c.Lo})
			}
			if c.Hi < s.Hi {
				next = append(next, Span{c.Hi, s.Hi})
			}
		}
		a = next
	}
	return a
}
