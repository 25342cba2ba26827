package command

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Table prints rows in aligned columns: text to the left, numbers to the right.
// Column widths count runes, so that a Greek letter does not shift the rest.
type Table struct {
	head  []string
	right []bool
	Rows  [][]string
}

// NewTable takes column heads; a head that starts with ">" aligns right.
func NewTable(heads ...string) *Table {
	t := &Table{}
	for _, h := range heads {
		r := strings.HasPrefix(h, ">")
		t.head = append(t.head, strings.TrimPrefix(h, ">"))
		t.right = append(t.right, r)
	}
	return t
}

// Add appends a row of as many cells as there are heads.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// Write prints the table, every line behind the indent.
func (t *Table) Write(w io.Writer, indent string) {
	width := make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.Rows...) {
		for i, c := range row {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	line := func(row []string) {
		var b strings.Builder
		for i, c := range row {
			if i > 0 {
				b.WriteString("  ")
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if t.right[i] {
				b.WriteString(pad + c)
			} else {
				b.WriteString(c + pad)
			}
		}
		fmt.Fprintln(w, indent+strings.TrimRight(b.String(), " "))
	}
	if strings.Join(t.head, "") != "" {
		line(t.head)
	}
	for _, row := range t.Rows {
		line(row)
	}
}
