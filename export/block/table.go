package block

import (
	"math"
	"slices"
	"strings"

	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Table measures in millimetres.
const (
	RowHigh  = 5.0 // one line of 2.5 mm letters
	CellPad  = 1.5
	headHigh = 7.0 // the table's name above it
	footHigh = 0.9 * RowHigh
)

// proseWide is the width of sentences, mm: some 80 letters. Every paper has room for it.
const proseWide = 150.0

// Column is one column of a table.
type Column struct {
	Head  []string // one or two lines
	Right bool     // numbers stand to the right
	Wide  float64  // fixed width; 0: as wide as its longest entry

	// Paint draws into a cell in place of text; row -1 is the head. Its column
	// has a fixed width.
	Paint func(f *Figure, row int, cell geom.Box)
}

// Table is a ruled table with a heading.
type Table struct {
	Name string
	Cols []Column
	Rows [][]string
	Foot []string // lines below the table
	// LeastMM is how high a row is at least: more than a line where something is written in by hand.
	LeastMM float64

	first int // row of the whole table that Rows begins with
}

// Words returns columns of text with the given heads; a new line splits one.
func Words(heads ...string) []Column {
	var out []Column
	for _, h := range heads {
		out = append(out, Column{Head: strings.Split(h, "\n")})
	}
	return out
}

// Numbers returns columns of numbers with the given heads.
func Numbers(heads ...string) []Column {
	out := Words(heads...)
	for i := range out {
		out[i].Right = true
	}
	return out
}

// MM writes a length for people: at most two decimals, trailing zeros dropped
// as on any drawing.
func MM(v float64) string { return units.Decimal(v, 2) }

// FitText makes s one line of small letters no wider than w.
func FitText(s string, w float64) string { return picture.Shorten(picture.Plain(s), Small, w) }

// width returns the width of column j.
func (t Table) width(j int) float64 {
	c := t.Cols[j]
	if c.Wide > 0 {
		return c.Wide
	}
	w := 0.0
	for _, h := range c.Head {
		w = math.Max(w, picture.TextWidth(h, Small)*picture.BoldWider)
	}
	for _, r := range t.Rows {
		w = math.Max(w, picture.TextWidth(picture.Plain(r[j]), Small))
	}
	return w + 2*CellPad
}

// Limit wraps the entries of column j where they are wider than most.
func (t *Table) Limit(j int, most float64) { t.Cols[j].Wide = math.Min(t.width(j), most) }

// Fit wraps the entries of column j so that the table is no wider than total.
func (t *Table) Fit(j int, total float64) { t.Limit(j, t.left(j, total)) }

// Fill makes the table as wide as total, by column j.
func (t *Table) Fill(j int, total float64) { t.Cols[j].Wide = t.left(j, total) }

// left is what the other columns leave of total to column j.
func (t *Table) left(j int, total float64) float64 {
	for i := range t.Cols {
		if i != j {
			total -= t.width(i)
		}
	}
	return total
}

// cells are the lines of row i; those of a column of fixed width are wrapped. -1 is the head.
func (t Table) cells(i int) [][]string {
	cells := make([][]string, len(t.Cols))
	for j, c := range t.Cols {
		switch {
		case i < 0:
			cells[j] = c.Head
		case c.Wide > 0:
			cells[j] = picture.Wrap(picture.Plain(t.Rows[i][j]), Small, c.Wide-2*CellPad+rounding)
		default:
			cells[j] = []string{picture.Plain(t.Rows[i][j])}
		}
	}
	return cells
}

// high is how high row i with such cells is.
func (t Table) high(i int, cells [][]string) float64 {
	lines := 1
	for _, c := range cells {
		lines = max(lines, len(c))
	}
	if i < 0 {
		return RowHigh * float64(lines)
	}
	return max(RowHigh*float64(lines), t.LeastMM)
}

// footLines are the lines below a table that is so wide.
func (t Table) footLines(total float64) []string {
	var out []string
	for _, s := range t.Foot {
		wide := math.Max(total, picture.TextWidth(t.Name, Middle)*picture.BoldWider)
		out = append(out, picture.Wrap(picture.Plain(s), Small, wide)...)
	}
	return out
}

// Split returns as many rows of the table as the height allows, and the rest of it under the same
// head; all are in the first when the whole fits, and none when not even one row does.
func (t Table) Split(room float64) (now, rest Table) {
	used, total := headHigh+t.high(-1, t.cells(-1)), 0.0
	t.Cols = slices.Clone(t.Cols)
	for j := range t.Cols { // both parts are as wide as the whole
		t.Cols[j].Wide = t.width(j)
		total += t.Cols[j].Wide
	}
	n := 0
	for ; n < len(t.Rows); n++ {
		next := used + t.high(n, t.cells(n))
		if n == len(t.Rows)-1 {
			next += footHigh * float64(len(t.footLines(total)))
		}
		if next > room {
			break
		}
		used = next
	}
	now, rest = t, t
	now.Rows, rest.Rows = t.Rows[:n], t.Rows[n:]
	if n < len(t.Rows) {
		now.Foot = nil
		rest.first += n
		rest.Name = strings.TrimSuffix(t.Name, continued) + continued
	}
	return now, rest
}

// rounding is how much a text may be wider than its cell, mm: sums of widths are not exact.
const rounding = 1e-6

const continued = ", continued"

// Draw lays the table out with its upper left corner at the origin. Entries
// in a column of fixed width are wrapped, and the row grows.
func (t Table) Draw() *Figure {
	f := &Figure{}
	f.Heading(geom.Vec{Y: -headHigh + 2.5}, Middle, t.Name)
	y := -headHigh
	xs := []float64{0} // of the lines between the columns
	for j := range t.Cols {
		xs = append(xs, xs[j]+t.width(j))
	}
	total := xs[len(t.Cols)]
	for i := -1; i < len(t.Rows); i++ {
		cells := t.cells(i)
		next := y - t.high(i, cells)
		for j, c := range t.Cols {
			text := picture.Text{Height: Small, Bold: i < 0, At: geom.Vec{X: xs[j] + CellPad}}
			if c.Right {
				text.At.X, text.Anchor = xs[j+1]-CellPad, picture.End
			}
			lower := (y - next - RowHigh*float64(len(cells[j]))) / 2 // of a row that is higher than its text
			if i < 0 || t.LeastMM == 0 {
				lower = 0
			}
			for k, s := range cells[j] {
				text.At.Y, text.S = y-lower-RowHigh*(float64(k)+0.5)-Small/2, s
				if s != "" {
					f.Add(text)
				}
			}
			if c.Paint != nil {
				row := i
				if i >= 0 {
					row += t.first
				}
				c.Paint(f, row, geom.Box{Min: geom.Vec{X: xs[j], Y: next}, Max: geom.Vec{X: xs[j+1], Y: y}})
			}
		}
		y = next
		switch {
		case i < 0:
			f.Line(picture.PenOutline, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
		case i < len(t.Rows)-1:
			f.Line(picture.PenThin, geom.Vec{Y: y}, geom.Vec{X: total, Y: y})
		}
	}
	for _, x := range xs[1:len(t.Cols)] {
		f.Line(picture.PenThin, geom.Vec{X: x, Y: -headHigh}, geom.Vec{X: x, Y: y})
	}
	f.Box(picture.PenOutline, geom.Box{Min: geom.Vec{Y: y}, Max: geom.Vec{X: total, Y: -headHigh}})
	for _, l := range t.footLines(total) {
		y -= footHigh
		f.Text(geom.Vec{Y: y}, Small, picture.Start, l)
	}
	return f
}

// Prose is a block of wrapped sentences under a heading.
func Prose(name string, sentences []string) *Figure {
	f := &Figure{}
	f.Heading(geom.Vec{Y: -headHigh + 2.5}, Middle, name)
	f.List(-headHigh+1.0, proseWide, sentences)
	return f
}

// List adds wrapped sentences below y, each behind a dash.
func (f *Figure) List(y, width float64, sentences []string) {
	for _, s := range sentences {
		for k, l := range picture.Wrap(picture.Plain(s), Small, width-4) {
			y -= RowHigh * 0.85
			if k == 0 {
				f.Text(geom.Vec{Y: y}, Small, picture.Start, "-")
			}
			f.Text(geom.Vec{X: 3, Y: y}, Small, picture.Start, l)
		}
	}
}
