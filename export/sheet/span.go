package sheet

import "reseat/jig/geom"

// span is a piece lo..hi of a line across the board.
type span struct{ lo, hi float64 }

// spans returns where the line at station u lies inside a contour, from right to left.
func spans(l geom.Loop, u float64) []span {
	vs := l.Across(u, chordMM)
	var out []span
	for i := 0; i+1 < len(vs); i += 2 {
		out = append(out, span{vs[i], vs[i+1]})
	}
	return out
}

// without cuts the pieces b out of the pieces a; a piece with lo >= hi is none.
func without(a []span, b ...span) []span {
	for _, c := range b {
		var next []span
		for _, s := range a {
			if c.lo >= c.hi || c.hi <= s.lo || c.lo >= s.hi {
				next = append(next, s)
				continue
			}
			if c.lo > s.lo {
				next = append(next, span{s.lo, c.lo})
			}
			if c.hi < s.hi {
				next = append(next, span{c.hi, s.hi})
			}
		}
		a = next
	}
	return a
}
