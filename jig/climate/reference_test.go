package climate

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// table reads a CSV file, header row first; the sources stand in its # lines.
func table(t testing.TB, path ...string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(path...))
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
		t.Fatalf("%v has no rows", path)
	}
	var all []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		all = append(all, m)
	}
	return all
}

func reference(t testing.TB, name string) []map[string]string {
	t.Helper()
	return table(t, "..", "..", "testdata", "reference", name)
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
