// Package reference gives tests the rows of the tables in this folder.
package reference

import (
	"embed"
	"encoding/csv"
	"strconv"
	"testing"
)

//go:embed *.csv
var files embed.FS

// Rows returns the rows of a table by their column heads; lines that begin with #
// name the sources and are left out.
func Rows(tb testing.TB, name string) []map[string]string {
	tb.Helper()
	f, err := files.Open(name)
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil || len(lines) < 2 {
		tb.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, head := range lines[0] {
			row[head] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// Number reads a cell.
func Number(tb testing.TB, cell string) float64 {
	tb.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		tb.Fatal(err)
	}
	return v
}
