package stroke

import (
	"fmt"
	"strings"

	"reseat/jig/geom"
)

// Letters lists every rune that has a drawing; a to z are written as capitals.
const Letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .-+/→←↑↓"

// Heights that can be written, in millimetres. Below the least, the shortest
// stroke of a letter nears the shortest step of a machine and the letter fills
// up; above the most, a mark is larger than any plate. Common practice, no source.
const (
	LeastHeightMM = 1.0
	MostHeightMM  = 500.0
)

// MostRunes is the longest text that is set, in characters. A mark is a few
// words; this much is a slip.
const MostRunes = 1000

// StrokeShare is the widest line, as a share of the height, with which the
// letters were drawn to stay open: 0.8 mm for letters of 5 mm. Ours, judged by
// eye on pictures of all letters.
const StrokeShare = 0.16

// HeightError reports a height that cannot be written.
type HeightError struct{ GotMM float64 }

func (e *HeightError) Error() string {
	return fmt.Sprintf("stroke: letter height is %g mm; want %g to %g mm", e.GotMM, LeastHeightMM, MostHeightMM)
}

// LengthError reports a text that is too long for a mark.
type LengthError struct{ Runes int }

func (e *LengthError) Error() string {
	return fmt.Sprintf("stroke: text of %d characters; want at most %d", e.Runes, MostRunes)
}

// Unknown is one rune without a drawing; Place counts characters from 1.
type Unknown struct {
	Rune  rune
	Place int
}

// UnknownError reports every rune of a text that has no drawing.
type UnknownError struct {
	Text  string
	Runes []Unknown // in the order of the text, at least one
}

func (e *UnknownError) Error() string {
	const told = 5 // one by one; a text in another script would fill the screen
	var b strings.Builder
	fmt.Fprintf(&b, "stroke: no letter for")
	for i, u := range e.Runes {
		if i == told {
			fmt.Fprintf(&b, " and %d more", len(e.Runes)-told)
			break
		}
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, " %q (character %d)", u.Rune, u.Place)
	}
	b.WriteString("; there are A to Z, 0 to 9, space, . - + / and the arrows → ← ↑ ↓")
	return b.String()
}

// Text returns the strokes of s with capitals of heightMM, and the width of the
// line of writing. Strokes are open polylines in millimetres, in reading order;
// a ring is a polyline that ends where it began. The baseline is y = 0 and every
// point lies in 0 <= x <= widthMM, 0 <= y <= heightMM; a cut of width w reaches
// w/2 beyond. The width holds the side bearings of the first and last letter, so
// that
//
//	width(a + b) = width(a) + width(b)
//
// and texts can be set side by side. No piece of a stroke is shorter than 0.02 mm
// and no piece is drawn twice.
//
// An empty text, or one of spaces, has no strokes. Errors: *HeightError (NaN
// too), *LengthError, *UnknownError with all runes that have no drawing.
func Text(s string, heightMM float64) (strokes [][]geom.Vec, widthMM float64, err error) {
	if !(heightMM >= LeastHeightMM && heightMM <= MostHeightMM) {
		return nil, 0, &HeightError{heightMM}
	}
	runes := []rune(s)
	if len(runes) > MostRunes {
		return nil, 0, &LengthError{len(runes)}
	}
	var unknown []Unknown
	pen := 0.0 // in heights
	for i, r := range runes {
		g, ok := glyphs[capital(r)]
		if !ok {
			unknown = append(unknown, Unknown{r, i + 1})
			continue
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
	if unknown != nil {
		return nil, 0, &UnknownError{s, unknown}
	}
	return strokes, pen * heightMM, nil
}

// capital returns the capital of a to z and every other rune as it is: other
// scripts fold in ways that nobody expects on a part.
func capital(r rune) rune {
	if 'a' <= r && r <= 'z' {
		return r - 'a' + 'A'
	}
	return r
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

// Bounds returns the smallest box around the strokes' centre lines, bearings left
// out; geom.EmptyBox when there are none. Grow it by half the width of the cut
// for the ground that the mark takes.
func Bounds(strokes [][]geom.Vec) geom.Box {
	b := geom.EmptyBox()
	for _, s := range strokes {
		for _, p := range s {
			b = b.Include(p)
		}
	}
	return b
}

// Length returns the length of all strokes in millimetres, the way that the tool
// goes while it cuts.
func Length(strokes [][]geom.Vec) float64 {
	var sum float64
	for _, s := range strokes {
		for i := 1; i < len(s); i++ {
			sum += s[i].Dist(s[i-1])
		}
	}
	return sum
}
