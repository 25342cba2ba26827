package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/stroke"
	"reseat/jig/units"
)

// Words tell a shop what the sheet is cut from, how many holes of each size it has, and whether
// the kerf is in the drawing: what is compared with a quotation, and what a reader that ignores
// the header can be checked by.
func (s *Sheet) Words() []string {
	var out []string
	if s.ThicknessMM > 0 {
		out = append(out, strings.TrimSpace(units.Decimal(s.ThicknessMM, 3)+" mm "+s.Material))
	}
	if s.counts != nil {
		out = append(out, s.counts...)
	} else {
		out = append(out, counts(s.Shapes, s.Coupon)...)
	}
	apart := ""
	if s.apart {
		apart = " to all but the coupon"
	}
	switch {
	case s.KerfMM != 0:
		out = append(out, "kerf "+fromTo(s.KerfMM, s.KerfToMM)+
			" mm applied"+apart+": holes drawn smaller, outlines larger; do not compensate again")
	case s.EdgeMM != 0:
		out = append(out, "edge "+fromTo(s.EdgeMM, s.EdgeToMM)+
			" mm applied"+apart+": window drawn smaller, outline larger; offset as for the coupon")
	default:
		out = append(out, "true size: no kerf applied")
	}
	if s.DrawnX != 0 {
		out = append(out, fmt.Sprintf("scale applied: X %s, Y %s times as long; lay it as the coupon lay",
			units.Fixed(s.DrawnX, 5), units.Fixed(s.DrawnY, 5)))
	}
	return append(out, s.Notes...)
}

func fromTo(least, most float64) string {
	if most == 0 {
		return units.Fixed(least, 3)
	}
	return units.Fixed(least, 3) + " to " + units.Fixed(most, 3)
}

// lineLetters is how long a line of counts may be: readers of R12 take 255. Common practice, no
// source.
const lineLetters = 100

// counts tells how many openings of each drawn size there are, holes before slots and windows,
// the smallest first, in lines; of a coupon, whose sizes all differ, from which to which.
func counts(shapes []Shape, coupon bool) (lines []string) {
	type kind struct {
		word       string
		wide, long float64
	}
	var kinds []kind
	count := map[kind]int{}
	for _, sh := range shapes {
		k := kind{word: "hole", wide: units.Round(2*sh.R, 3)}
		switch wide, long := slotSize(sh.Loop); {
		case sh.Layer == Opening:
			size := sh.bounds().Size()
			k = kind{"window", units.Round(size.X, 2), units.Round(size.Y, 2)}
		case rank(sh.Layer) != cutHole:
			continue
		case sh.R == 0:
			k = kind{"slot", units.Round(wide, 3), units.Round(long, 3)}
		}
		if count[k]++; count[k] == 1 {
			kinds = append(kinds, k)
		}
	}
	slices.SortStableFunc(kinds, func(a, b kind) int { // hole, slot, window
		return cmp.Or(cmp.Compare(a.word, b.word), cmp.Compare(a.wide, b.wide), cmp.Compare(a.long, b.long))
	})
	var captions []string
	for len(kinds) > 0 {
		first, n, of := kinds[0], count[kinds[0]], 1
		for ; coupon && of < len(kinds) && kinds[of].word == first.word; of++ {
			n += count[kinds[of]]
		}
		last := kinds[of-1]
		kinds = kinds[of:]
		says := plural(n, first.word) + " " + units.Decimal(first.wide, 3)
		if of > 1 {
			says += " to " + units.Decimal(last.wide, 3)
		}
		if first.long > 0 {
			says += " x " + units.Decimal(first.long, 3)
		}
		captions = append(captions, says)
	}
	if len(captions) == 0 {
		return nil
	}
	line := ""
	for _, says := range append(captions, "as drawn") {
		if line != "" && len(line)+len(says) > lineLetters {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += ", "
		}
		line += says
	}
	return append(lines, line)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprint(n, " ", what, "s")
}

// slotSize is the width of a slot and its length over all: its half circles end the one, its
// straight sides are the rest of the other.
func slotSize(l geom.Loop) (wide, long float64) {
	travel := 0.0
	for i := range l {
		if e := l.Edge(i); e.IsArc() {
			wide = e.P.Dist(e.Q)
		} else {
			travel = math.Max(travel, e.P.Dist(e.Q))
		}
	}
	return wide, wide + travel
}

// captionHeights are the heights of the caption's letters that are tried, and captionStep
// the distance of its lines, in heights; it is read on a screen. Common practice, no source.
var captionHeights = []float64{5, 4, 3, 2}

const captionStep = 1.7

// captionRow is the most phrases that are put beside each other to a line.
const captionRow = 4

// caption writes the sheet's size and words in single strokes on a layer of their own, in the
// tallest letters and the fewest phrases to a line that have room where nothing is cut: as near
// the middle as they go, which of a template with a window is the piece that falls out. A sheet
// without room has none; its words still stand at the head of the file.
func (s *Sheet) caption() []Shape {
	words := append([]string{fmt.Sprintf("%s x %s mm", units.Decimal(s.Size.X, 2), units.Decimal(s.Size.Y, 2))},
		s.Words()...)
	var phrases []string
	for _, phrase := range strings.FieldsFunc(strings.Join(words, ","),
		func(r rune) bool { return strings.ContainsRune(",;:", r) }) {
		if phrase = drawable(phrase); phrase != "" {
			phrases = append(phrases, phrase)
		}
	}
	lines := s.chords()
	var rows [captionRow][]geom.Box // of the lines in letters of 1 mm
	for n := range rows {
		for _, ink := range written(phrases, n+1, 1) {
			rows[n] = append(rows[n], stroke.Bounds(ink))
		}
	}
	for _, h := range captionHeights {
		up := geom.Vec{Y: captionStep * h}
		for n := range rows {
			box := geom.EmptyBox()
			for _, b := range rows[n] {
				box = geom.Box{Min: box.Min.Add(up), Max: box.Max.Add(up)}.Union(geom.Box{Min: b.Min.Scale(h), Max: b.Max.Scale(h)})
			}
			at, ok := s.clearPlace(box.Size(), lines, s.within)
			if !ok {
				continue
			}
			var ink [][]geom.Vec
			for _, line := range written(phrases, n+1, h) {
				ink = append(stroke.Place(ink, geom.Rigid{Shift: up}), line...)
			}
			return strokes(s.note(), stroke.Place(ink, geom.Rigid{Shift: at.Sub(box.Center())}))
		}
	}
	return nil
}

// HasCaption reports whether the caption found room.
func (s *Sheet) HasCaption() bool {
	return slices.ContainsFunc(s.Shapes, func(sh Shape) bool { return sh.Layer == s.note() })
}

// written returns the strokes of phrases, n of them to a line, each line by itself.
func written(phrases []string, n int, h float64) (lines [][][]geom.Vec) {
	for row := range slices.Chunk(phrases, n) {
		ink, _ := stroke.Text(strings.Join(row, " - "), h) // of what can be written alone
		lines = append(lines, ink)
	}
	return lines
}

// drawable is a text as far as there are letters for it.
func drawable(text string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if !stroke.HasGlyph(r) {
			return ' '
		}
		return r
	}, text)), " ")
}

// Label writes a part's name on it to be engraved, in the tallest letters for which there is
// room clear of every line, along X or else along Y, nearest to the middle; nil where there is
// none. It stays with the part: a window falls out.
func (s *Sheet) Label(name string) []Shape {
	lines := s.chords()
	stays := func(at geom.Vec) bool {
		return s.within(at) && !slices.ContainsFunc(s.Shapes,
			func(sh Shape) bool { return sh.Layer == Opening && sh.contains(at) })
	}
	for _, h := range markHeights {
		ink, err := stroke.Text(drawable(name), h)
		if err != nil || len(ink) == 0 {
			return nil
		}
		for _, along := range []geom.Rigid{{}, {Angle: math.Pi / 2}} {
			turned := stroke.Place(ink, along)
			box := stroke.Bounds(turned)
			if at, ok := s.clearPlace(box.Size(), lines, stays); ok {
				return strokes(Marking, stroke.Place(turned, geom.Rigid{Shift: at.Sub(box.Center())}))
			}
		}
	}
	return nil
}

// chords are the lines of all shapes, arcs laid out in chords.
func (s *Sheet) chords() (out []geom.Edge) {
	for _, sh := range s.Shapes {
		out = append(out, sh.chords()...)
	}
	return out
}

// within reports whether a point lies inside an outline.
func (s *Sheet) within(at geom.Vec) bool {
	return slices.ContainsFunc(s.Shapes, func(sh Shape) bool { return sh.Layer == Edge && sh.contains(at) })
}

// clearPlace finds the middle of a box where it may lie, markRoomMM clear of every line: of
// places in steps of a fortieth of the sheet the first from its middle outward.
func (s *Sheet) clearPlace(size geom.Vec, lines []geom.Edge, may func(geom.Vec) bool) (geom.Vec, bool) {
	room := size.Scale(0.5).Add(geom.Vec{X: markRoomMM, Y: markRoomMM})
	clear := func(at geom.Vec) bool {
		box := geom.Box{Min: at.Sub(room), Max: at.Add(room)}
		if box.Min.X <= 0 || box.Min.Y <= 0 || box.Max.X >= s.Size.X || box.Max.Y >= s.Size.Y {
			return false
		}
		if i := slices.IndexFunc(lines, func(e geom.Edge) bool { return crosses(box, e.P, e.Q) }); i >= 0 {
			lines[0], lines[i] = lines[i], lines[0] // the next place mostly meets it too
			return false
		}
		return may(at)
	}
	for ring := range 19 {
		for i := -ring; i <= ring; i++ {
			step := 1 // through the ring's sides, and from end to end between them
			if ring > 0 && i > -ring && i < ring {
				step = 2 * ring
			}
			for k := -ring; k <= ring; k += step {
				at := geom.Vec{X: s.Size.X * float64(20+i) / 40, Y: s.Size.Y * float64(20+k) / 40}
				if clear(at) {
					return at, true
				}
			}
		}
	}
	return geom.Vec{}, false
}

// crosses reports whether a line has a point in a box.
func crosses(b geom.Box, p, q geom.Vec) bool {
	if p.X < b.Min.X && q.X < b.Min.X || p.X > b.Max.X && q.X > b.Max.X ||
		p.Y < b.Min.Y && q.Y < b.Min.Y || p.Y > b.Max.Y && q.Y > b.Max.Y {
		return false
	}
	// The line's box meets it; the line misses it when all corners lie on one side.
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range []geom.Vec{b.Min, b.Max, {X: b.Min.X, Y: b.Max.Y}, {X: b.Max.X, Y: b.Min.Y}} {
		side := q.Sub(p).Cross(c.Sub(p))
		low, high = min(low, side), max(high, side)
	}
	return low <= 0 && high >= 0
}
