package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// table prints rows in aligned columns: text to the left, numbers to the right.
// Column widths count runes, so that a Greek letter does not shift the rest.
type table struct {
	head  []string
	right []bool
	rows  [][]string
}

// newTable takes column heads; a head that starts with ">" aligns right.
func newTable(heads ...string) *table {
	t := &table{}
	for _, h := range heads {
		r := strings.HasPrefix(h, ">")
		t.head = append(t.head, strings.TrimPrefix(h, ">"))
		t.right = append(t.right, r)
	}
	return t
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

func (t *table) write(w io.Writer, indent string) {
	width := make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.rows...) {
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
	for _, row := range t.rows {
		line(row)
	}
}
