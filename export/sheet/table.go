package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Table measures in millimetres.
const (
	rowHigh  = 5.0 // one line of 2.5 mm letters
	cellPad  = 1.5
	headHigh = 7.0 // the table's name above it
)

// column is one column of a table.
type column struct {
	head  []string // one or two lines
	right bool     // figures stand to the right
	wide  float64  // fixed width; 0: as wide as its longest entry

	// paint draws into a cell in place of text; row -1 is the head. Its column
	// has a fixed width.
	paint func(f *figure, row int, cell geom.Box)
}

// table is a ruled table with a heading.
type table struct {
	name string
	cols []column
	rows [][]string
	foot []string // lines below the table
}

// draw lays the table out with its upper left corner at the origin. Entries
// in a column of fixed width are wrapped, and the row grows.
func (t table) draw() *figure {
	f := &figure{}
	heads := 1
	widths := make([]float64, len(t.cols))
	for j, c := range t.cols {
		heads = max(heads, len(c.head))
		widths[j] = c.wide
		if c.wide > 0 {
			continue
		}
		for _, h := range c.head {
			widths[j] = math.Max(widths[j], picture.TextWidth(h, small)*picture.BoldWider)
		}
		for _, r := range t.rows {
			widths[j] = math.Max(widths[j], picture.TextWidth(picture.Plain(r[j]), small))
		}
		widths[j] += 2 * cellPad
	}
	total := 0.0
	for _, w := range widths {
		total += w
	}
	f.heading(geom.Vec{Y: -headHigh + 2.5}, middle, t.name)
	y := -headHigh
	top := y
	// write puts lines into a row's cells and returns the row's height.
	base := func(k int) float64 { return y - rowHigh*float64(k) - rowHigh/2 - small/2 }
	x := 0.0
	for j, c := range t.cols {
		for k, h := range c.head {
			at, a := geom.Vec{X: x + cellPad, Y: base(k)}, picture.Start
			if c.right {
				at.X, a = x+widths[j]-cellPad, picture.End
			}
			f.Add(picture.Text{At: at, Height: small, Anchor: a, Bold: true, S: picture.Plain(h)})
		}
		if c.paint != nil {
			c.paint(f, -1, geom.Box{Min: geom.Vec{X: x, Y: y - rowHigh*float64(heads)}, Max: geom.Vec{X: x + widths[j], Y: y}})
		}
		x += widths[j]
	}
	y -= rowHigh * float64(heads)
	f.Line(picture.PenOutline, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
	for i, r := range t.rows {
		lines := 1
		x := 0.0
		for j, c := range t.cols {
			cell := []string{picture.Plain(r[j])}
			if c.wide > 0 {
				cell = wrap(picture.Plain(r[j]), small, c.wide-2*cellPad, 0)
			}
			lines = max(lines, len(cell))
			for k, s := range cell {
				if c.right {
					f.Text(geom.Vec{X: x + widths[j] - cellPad, Y: base(k)}, small, picture.End, s)
				} else {
					f.Text(geom.Vec{X: x + cellPad, Y: base(k)}, small, picture.Start, s)
				}
			}
			if c.paint != nil {
				c.paint(f, i, geom.Box{Min: geom.Vec{X: x, Y: y - rowHigh}, Max: geom.Vec{X: x + widths[j], Y: y}})
			}
			x += widths[j]
		}
		y -= rowHigh * float64(lines)
		if i < len(t.rows)-1 {
			f.Line(picture.PenThin, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
		}
	}
	x = 0
	for _, w := range widths[:len(widths)-1] {
		x += w
		f.Line(picture.PenThin, geom.Vec{X: x, Y: top}, geom.Vec{X: x, Y: y})
	}
	f.Box(picture.PenOutline, geom.Box{Min: geom.Vec{Y: y}, Max: geom.Vec{X: total, Y: top}})
	for _, s := range t.foot {
		for _, l := range wrap(picture.Plain(s), small, math.Max(total, picture.TextWidth(t.name, middle)*picture.BoldWider), 0) {
			y -= rowHigh * 0.9
			f.Text(geom.Vec{Y: y}, small, picture.Start, l)
		}
	}
	return f
}

// prose is a block of wrapped sentences under a heading.
func prose(name string, width float64, sentences []string) *figure {
	f := &figure{}
	f.heading(geom.Vec{Y: -headHigh + 2.5}, middle, name)
	f.list(-headHigh+1.0, width, sentences)
	return f
}

// list adds wrapped sentences below y, each behind a dash.
func (f *figure) list(y, width float64, sentences []string) {
	for _, s := range sentences {
		for k, l := range wrap(picture.Plain(s), small, width-4, 0) {
			y -= rowHigh * 0.85
			if k == 0 {
				f.Text(geom.Vec{Y: y}, small, picture.Start, "-")
			}
			f.Text(geom.Vec{X: 3, Y: y}, small, picture.Start, l)
		}
	}
}
