package dxfread

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"reseat/jig/geom"
)

const tol = 0.005 // mm, of the curves below

// TestAgainstEzdxf holds every kind of entity of the files that ezdxf 0.18.1 wrote against that library's own
// flattening of them: points on the curve, its two ends, its length. The .csv beside the files say what it found.
func TestAgainstEzdxf(t *testing.T) {
	for file, want := range map[string]string{
		"r12.dxf": "r12.csv", "r2000.dxf": "r2000.csv", "r2010.dxf": "r2000.csv", "r2018.dxf": "r2000.csv",
	} {
		t.Run(file, func(t *testing.T) {
			d, err := Read(testfile(t, file), Options{ToleranceMM: tol})
			if err != nil {
				t.Fatal(err)
			}
			rows := strings.Split(strings.TrimSpace(string(testfile(t, want))), "\n")[1:]
			if len(rows) != len(d.Entities) {
				t.Fatalf("%d entities, want %d", len(d.Entities), len(rows))
			}
			for i, row := range rows {
				f := strings.Split(strings.TrimSpace(row), ",")
				e := d.Entities[i]
				if e.Type != f[0] || (f[1] != "0" && e.Layer != f[1]) || e.Problem != "" || e.Handle == "" || e.Line < 1 {
					t.Errorf("%v on layer %s: %s; want %s on %s", e, e.Layer, e.Problem, f[0], f[1])
					continue
				}
				against(t, e, numbers(t, f[2:]))
			}
		})
	}
}

// against holds an entity against its length and points of it.
func against(t *testing.T, e Entity, want []float64) {
	length := 0.0
	for i, g := range e.Edges {
		length += g.Length()
		if math.Abs(g.Bulge) > 1 || i > 0 && g.P != e.Edges[i-1].Q {
			t.Errorf("%v: edge %d: %+v", e, i, g)
		}
	}
	if math.Abs(length-want[0]) > 2e-5*want[0] { // of biarcs: some tol^2 over the pieces
		t.Errorf("%v: length %.5f, want %.5f", e, length, want[0])
	}
	worst := 0.0
	for k := 1; k < len(want); k += 2 {
		p := geom.Vec{X: want[k], Y: want[k+1]}
		d := math.Inf(1)
		for _, g := range e.Edges {
			d = min(d, g.Distance(p))
		}
		worst = max(worst, d)
	}
	first, last := geom.Vec{X: want[1], Y: want[2]}, geom.Vec{X: want[len(want)-2], Y: want[len(want)-1]}
	p, q := e.Edges[0].P, e.Edges[len(e.Edges)-1].Q
	ends := min(math.Max(p.Dist(first), q.Dist(last)), math.Max(p.Dist(last), q.Dist(first)))
	if worst > tol || ends > 1e-4 && p != q {
		t.Errorf("%v on %s, %d edges: a point %.5f off, an end %.5f off", e, e.Layer, len(e.Edges), worst, ends)
	}
	t.Logf("%-12s %-9s edges %2d, length %.5f off by %.5f, worst point %.5f", e.Type, e.Layer, len(e.Edges), length,
		length-want[0], worst)
}

func testfile(t testing.TB, name string) []byte {
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func numbers(t *testing.T, fields []string) []float64 {
	out := make([]float64, len(fields))
	for i, f := range fields {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatal(err)
		}
		out[i] = v
	}
	return out
}
