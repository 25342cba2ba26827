package measure

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"reseat/jig/geom"
)

// reference reads a table of testdata/reference, header row first; the source
// stands in the file's own # lines.
func reference(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 2 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// near reports whether got is within half a unit of the last printed digit.
func near(got, want, digit float64) bool { return math.Abs(got-want) <= digit/2*(1+1e-9) }
