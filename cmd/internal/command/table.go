package command

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// Table prints rows in aligned columns: text to the left, numbers to the right.
// Column widths count runes, so that a Greek letter does not shift the rest. A table that
// is wider than a line breaks its heads, then its texts, at spaces, then draws its columns together.
type Table struct {
	head  []string
	right []bool
	Rows  [][]string
	under map[int]string // below the row of that index
}

// NewTable takes column heads; a head that starts with ">" aligns right.
func NewTable(heads ...string) *Table {
	t := &Table{under: map[int]string{}}
	for _, h := range heads {
		r := strings.HasPrefix(h, ">")
		t.head = append(t.head, strings.TrimPrefix(h, ">"))
		t.right = append(t.right, r)
	}
	return t
}

// Add appends a row of as many cells as there are heads; what is left out is empty.
func (t *Table) Add(cells ...string) {
	t.Rows = append(t.Rows, append(cells, make([]string, len(t.head)-len(cells))...))
}

// Under puts running text to the row that was added last: below it, or beside it where the
// line has room for the text of every row.
func (t *Table) Under(text string) { t.under[len(t.Rows)-1] = text }

// gutter and narrowGutter stand between columns, in characters.
const gutter, narrowGutter = 2, 1

// layout are the widths of the columns, as narrow as they must be for lines of so many characters,
// and what stands between them.
func (t *Table) layout(most int) (width []int, between int) {
	for _, between = range []int{gutter, narrowGutter} {
		width = t.widths(most - between*(len(t.head)-1))
		sum := 0
		for _, w := range width {
			sum += w
		}
		if sum+between*(len(width)-1) <= most {
			break
		}
	}
	return width, between
}

// widths are those of the columns, which together have room for so many characters.
func (t *Table) widths(most int) []int {
	width, least := make([]int, len(t.head)), make([]int, len(t.head))
	for i := range t.head {
		for _, row := range t.Rows {
			width[i] = max(width[i], utf8.RuneCountInString(row[i]))
			if t.right[i] {
				least[i] = width[i]
			} else {
				least[i] = max(least[i], longestWord(row[i]))
			}
		}
		least[i] = max(least[i], longestWord(t.head[i]))
		if strings.Contains(t.head[i], "....") { // the scale of a chart
			least[i] = max(least[i], utf8.RuneCountInString(t.head[i]))
		}
		width[i] = max(width[i], utf8.RuneCountInString(t.head[i]))
	}
	for {
		sum, widest := 0, -1
		for i, w := range width {
			sum += w
			if w > least[i] && (widest < 0 || t.spare(i, w) > t.spare(widest, width[widest])) {
				widest = i
			}
		}
		if sum <= most || widest < 0 {
			return width
		}
		width[widest]--
	}
}

// spare orders the columns by which is made narrower first: one of numbers, of which the head
// alone is wide, before the widest of texts.
func (t *Table) spare(i, w int) int {
	if t.right[i] {
		return w + Wide()
	}
	return w
}

func longestWord(s string) int {
	n := 0
	for _, word := range strings.Fields(s) {
		n = max(n, utf8.RuneCountInString(word))
	}
	return n
}

// beside is the table with the text of every row in a column of its own, where lines of so
// many characters have room for it.
func (t *Table) beside(most int) *Table {
	if len(t.under) == 0 {
		return t
	}
	out := &Table{head: append(slices.Clone(t.head), ""), right: append(slices.Clone(t.right), false)}
	for i, row := range t.Rows {
		out.Rows = append(out.Rows, append(slices.Clone(row), t.under[i]))
	}
	sum := 0
	for _, w := range out.widths(1 << 30) {
		sum += w + gutter
	}
	if sum-gutter > most {
		return t
	}
	return out
}

// Write prints the table, every line behind the indent.
func (t *Table) Write(w io.Writer, indent string) {
	t = t.beside(Wide() - len(indent))
	width, between := t.layout(Wide() - len(indent))
	print := func(row []string, down bool) {
		cells, high := make([][]string, len(row)), 1
		for i, c := range row {
			cells[i] = []string{c} // as it is: a bar may have spaces of its own
			if utf8.RuneCountInString(c) > width[i] {
				cells[i] = linesOf(c, width[i], width[i])
			}
			high = max(high, len(cells[i]))
		}
		for k := range high {
			var b strings.Builder
			for i, c := range cells {
				if down { // a head stands on its column
					c = append(slices.Repeat([]string{""}, high-len(c)), c...)
				}
				s := ""
				if k < len(c) {
					s = c[k]
				}
				pad := strings.Repeat(" ", max(0, width[i]-utf8.RuneCountInString(s)))
				if t.right[i] {
					s, pad = pad, s
				}
				b.WriteString(s + pad + strings.Repeat(" ", between))
			}
			fmt.Fprintln(w, indent+strings.TrimRight(b.String(), " "))
		}
	}
	if strings.Join(t.head, "") != "" {
		print(t.head, true)
	}
	for i, row := range t.Rows {
		print(row, false)
		if text := t.under[i]; text != "" {
			Paragraph(w, indent+"    ", indent+"    ", text)
		}
	}
}
