package sheet

import (
	"math"
	"strings"

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
	right bool     // numbers stand to the right
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

// words returns columns of text with the given heads; a new line splits one.
func words(heads ...string) []column {
	var out []column
	for _, h := range heads {
		out = append(out, column{head: strings.Split(h, "\n")})
	}
	return out
}

// numbers returns columns of numbers with the given heads.
func numbers(heads ...string) []column {
	out := words(heads...)
	for i := range out {
		out[i].right = true
	}
	return out
}

// width returns the width of column j.
func (t table) width(j int) float64 {
	c := t.cols[j]
	if c.wide > 0 {
		return c.wide
	}
	w := 0.0
	for _, h := range c.head {
		w = math.Max(w, picture.TextWidth(h, small)*picture.BoldWider)
	}
	for _, r := range t.rows {
		w = math.Max(w, picture.TextWidth(picture.Plain(r[j]), small))
	}
	return w + 2*cellPad
}

// draw lays the table out with its upper left corner at the origin. Entries
// in a column of fixed width are wrapped, and the row grows.
func (t table) draw() *figure {
	f := &figure{}
	f.heading(geom.Vec{Y: -headHigh + 2.5}, middle, t.name)
	y := -headHigh
	heads := make([][]string, len(t.cols))
	xs := []float64{0} // of the lines between the columns
	for j, c := range t.cols {
		heads[j] = c.head
		xs = append(xs, xs[j]+t.width(j))
	}
	total := xs[len(t.cols)]
	// line draws one row of cells below y and moves y to its lower edge.
	line := func(row int, cells [][]string) {
		lines := 1
		for _, c := range cells {
			lines = max(lines, len(c))
		}
		high := rowHigh * float64(lines)
		for j, c := range t.cols {
			text := picture.Text{Height: small, Bold: row < 0, At: geom.Vec{X: xs[j] + cellPad}}
			if c.right {
				text.At.X, text.Anchor = xs[j+1]-cellPad, picture.End
			}
			for k, s := range cells[j] {
				text.At.Y, text.S = y-rowHigh*(float64(k)+0.5)-small/2, s
				if s != "" {
					f.Add(text)
				}
			}
			if c.paint != nil {
				c.paint(f, row, geom.Box{Min: geom.Vec{X: xs[j], Y: y - high}, Max: geom.Vec{X: xs[j+1], Y: y}})
			}
		}
		y -= high
	}
	line(-1, heads)
	f.Line(picture.PenOutline, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
	for i, r := range t.rows {
		cells := make([][]string, len(r))
		for j, s := range r {
			cells[j] = []string{picture.Plain(s)}
			if w := t.cols[j].wide; w > 0 {
				cells[j] = picture.Wrap(cells[j][0], small, w-2*cellPad)
			}
		}
		line(i, cells)
		if i < len(t.rows)-1 {
			f.Line(picture.PenThin, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
		}
	}
	for _, x := range xs[1:len(t.cols)] {
		f.Line(picture.PenThin, geom.Vec{X: x, Y: -headHigh}, geom.Vec{X: x, Y: y})
	}
	f.Box(picture.PenOutline, geom.Box{Min: geom.Vec{Y: y}, Max: geom.Vec{X: total, Y: -headHigh}})
	for _, s := range t.foot {
		wide := math.Max(total, picture.TextWidth(t.name, middle)*picture.BoldWider)
		for _, l := range picture.Wrap(picture.Plain(s), small, wide) {
			y -= rowHigh * 0.9
			f.Text(geom.Vec{Y: y}, small, picture.Start, l)
		}
	}
	return f
}

// prose is a block of wrapped sentences under a heading.
func prose(name string, sentences []string) *figure {
	f := &figure{}
	f.heading(geom.Vec{Y: -headHigh + 2.5}, middle, name)
	f.list(-headHigh+1.0, proseWide, sentences)
	return f
}

// list adds wrapped sentences below y, each behind a dash.
func (f *figure) list(y, width float64, sentences []string) {
	for _, s := range sentences {
		for k, l := range picture.Wrap(picture.Plain(s), small, width-4) {
			y -= rowHigh * 0.85
			if k == 0 {
				f.Text(geom.Vec{Y: y}, small, picture.Start, "-")
			}
			f.Text(geom.Vec{X: 3, Y: y}, small, picture.Start, l)
		}
	}
}
