package cdt

import (
	"math"
	"sort"
	"testing"

	"pgregory.net/rapid"
)

type failer interface {
	Fatalf(format string, args ...any)
}

// audit checks all that a constrained Delaunay triangulation of a rectangle must
// be, from its triangles alone:
// every corner counter-clockwise, neighbours agree on their common edge and on
// whether it is fixed, areas add up to the rectangle, Euler's count, and no
// unfixed edge fails the circle test of bigInCircle.
func audit(t failer, tr *Triangulation) {
	auditTiling(t, tr, true)
}

// auditTiling is audit, without the circle test unless asked for.
func auditTiling(t failer, tr *Triangulation, circles bool) {
	pts, tris := tr.Points(), tr.Triangles()
	// Euler: V - E + F = 2 with 4 border edges gives F = 2 V - 6 triangles.
	if want := 2*len(pts) - 6; len(tris) != want {
		t.Fatalf("%d triangles on %d points, want %d", len(tris), len(pts), want)
	}
	var area int64
	for f, a := range tris {
		o := Orient(pts[a.V[0]], pts[a.V[1]], pts[a.V[2]])
		if o <= 0 {
			t.Fatalf("triangle %d is turned over or flat: %d", f, o)
		}
		area += o
		for i, n := range a.Next {
			if n < 0 {
				continue
			}
			b := tris[n]
			p, q := a.V[(i+1)%3], a.V[(i+2)%3]
			j := -1
			for k := range 3 {
				if b.V[(k+1)%3] == q && b.V[(k+2)%3] == p {
					j = k
				}
			}
			if j < 0 || b.Next[j] != int32(f) {
				t.Fatalf("triangles %d and %d do not share the edge %d-%d", f, n, p, q)
			}
			if a.Fixed[i] != b.Fixed[j] {
				t.Fatalf("edge %d-%d is fixed on one side only", p, q)
			}
			if circles && !a.Fixed[i] && bigInCircle(pts[a.V[0]], pts[a.V[1]], pts[a.V[2]], pts[b.V[j]]) > 0 {
				t.Fatalf("edge %d-%d is not locally Delaunay", p, q)
			}
		}
	}
	lo, hi := pts[0], pts[2]
	if want := 2 * (hi.X - lo.X) * (hi.Y - lo.Y); area != want {
		t.Fatalf("twice the area is %d, want %d", area, want)
	}
}

// fixedEdges returns the fixed edges, lower vertex first.
func fixedEdges(tr *Triangulation) map[edge]bool {
	out := map[edge]bool{}
	for _, a := range tr.Triangles() {
		for i := range 3 {
			p, q := a.V[(i+1)%3], a.V[(i+2)%3]
			if a.Fixed[i] {
				out[edge{min(p, q), max(p, q)}] = true
			}
		}
	}
	return out
}

// pieces returns the edges that fixing a-b must give: one between each two
// neighbours among the vertices on the segment.
func pieces(pts []Point, a, b int32) []edge {
	if a == b {
		return nil
	}
	var on []int32
	pa, pb := pts[a], pts[b]
	along := func(p Point) int64 { return (p.X-pa.X)*(pb.X-pa.X) + (p.Y-pa.Y)*(pb.Y-pa.Y) }
	for v, p := range pts {
		if Orient(pa, pb, p) == 0 && along(p) >= 0 && along(p) <= along(pb) {
			on = append(on, int32(v))
		}
	}
	sort.Slice(on, func(i, j int) bool { return along(pts[on[i]]) < along(pts[on[j]]) })
	var out []edge
	for i := 1; i < len(on); i++ {
		out = append(out, edge{min(on[i-1], on[i]), max(on[i-1], on[i])})
	}
	return out
}

// crosses reports whether two segments cross in their insides.
func crosses(a, b, c, d Point) bool {
	side := func(x int64) int {
		switch {
		case x > 0:
			return 1
		case x < 0:
			return -1
		}
		return 0
	}
	return side(Orient(a, b, c))*side(Orient(a, b, d)) < 0 && side(Orient(c, d, a))*side(Orient(c, d, b)) < 0
}

func TestRandomPointsAndEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// On a small grid most points lie on lines and circles with others.
		reach := rapid.SampledFrom([]int64{3, 8, 1000, Limit - 1}).Draw(t, "reach")
		tr := New(Point{-reach - 1, -reach - 1}, Point{reach + 1, reach + 1})
		n := rapid.IntRange(0, 40).Draw(t, "points")
		first := map[Point]int32{}
		for range n {
			p := anyPoint(t, "p", reach)
			id := tr.Insert(p)
			if was, ok := first[p]; ok && was != id {
				t.Fatalf("point %v placed twice", p)
			}
			first[p] = id
		}
		if want := len(first) + 4; len(tr.Points()) != want {
			t.Fatalf("%d points, want %d", len(tr.Points()), want)
		}
		audit(t, tr)
		want := map[edge]bool{}
		for range rapid.IntRange(0, 15).Draw(t, "edges") {
			last := int32(len(tr.Points()) - 1)
			if last < 4 {
				break
			}
			a, b := rapid.Int32Range(4, last).Draw(t, "a"), rapid.Int32Range(4, last).Draw(t, "b")
			pts := tr.Points()
			blocked := false
			for _, e := range pieces(pts, a, b) {
				for f := range want {
					blocked = blocked || crosses(pts[e.a], pts[e.b], pts[f.a], pts[f.b])
				}
			}
			err := tr.Constrain(a, b)
			if got := err != nil; got != blocked {
				t.Fatalf("edge %v-%v: error %v, but crossing is %v", pts[a], pts[b], err, blocked)
			}
			if !blocked {
				for _, e := range pieces(pts, a, b) {
					want[e] = true
				}
			} else {
				// Pieces before the crossing stay fixed; take them as they are.
				for e := range fixedEdges(tr) {
					want[e] = true
				}
			}
			audit(t, tr)
		}
		got := fixedEdges(tr)
		if len(got) != len(want) {
			t.Fatalf("%d fixed edges, want %d", len(got), len(want))
		}
		for e := range want {
			if !got[e] {
				t.Fatalf("edge %v is missing", e)
			}
		}
	})
}

// TestThicken: still a tiling with the same fixed edges, and the thinnest triangle
// is no thinner than before.
func TestThicken(t *testing.T) {
	thinnest := func(tr *Triangulation) float64 {
		least := math.Inf(1)
		for f := range tr.Triangles() {
			h, _ := tr.height(int32(f))
			least = math.Min(least, h)
		}
		return least
	}
	gained := 0
	rapid.Check(t, func(t *rapid.T) {
		tr := New(Point{-61, -61}, Point{61, 61})
		for range rapid.IntRange(1, 40).Draw(t, "points") {
			tr.Insert(anyPoint(t, "p", 60))
		}
		for range rapid.IntRange(0, 10).Draw(t, "edges") {
			last := int32(len(tr.Points()) - 1)
			_ = tr.Constrain(rapid.Int32Range(4, last).Draw(t, "a"), rapid.Int32Range(4, last).Draw(t, "b")) // may cross
		}
		fixed, before := fixedEdges(tr), thinnest(tr)
		tr.Thicken(5)
		auditTiling(t, tr, false)
		if got := fixedEdges(tr); len(got) != len(fixed) {
			t.Fatalf("%d fixed edges became %d", len(fixed), len(got))
		}
		switch after := thinnest(tr); {
		case after < before:
			t.Fatalf("thinnest triangle went from %g to %g", before, after)
		case after > before:
			gained++
		}
	})
	if gained == 0 {
		t.Error("no case where it did anything")
	}
}

// TestThickenNeedle: three corners close together and nearly on a line.
func TestThickenNeedle(t *testing.T) {
	tr := New(Point{-1000, -1000}, Point{1000, 1000})
	for _, p := range []Point{{0, 0}, {7, -1}, {14, 0}, {7, 900}} {
		tr.Insert(p)
	}
	h, _ := tr.height(0)
	for f := range tr.Triangles() {
		k, _ := tr.height(int32(f))
		h = math.Min(h, k)
	}
	if h > 1 {
		t.Fatalf("no needle to begin with: %g", h)
	}
	tr.Thicken(5)
	auditTiling(t, tr, false)
	for f, a := range tr.Triangles() {
		if k, _ := tr.height(int32(f)); k < 5 {
			t.Errorf("triangle %v is %g high", a.V, k)
		}
	}
}

// TestEmptyCircles is the definition itself, on points alone: no circle through a
// triangle holds any point.
func TestEmptyCircles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := New(Point{-41, -41}, Point{41, 41})
		for range rapid.IntRange(1, 24).Draw(t, "points") {
			tr.Insert(anyPoint(t, "p", 40))
		}
		pts := tr.Points()
		for _, a := range tr.Triangles() {
			for v, p := range pts {
				if bigInCircle(pts[a.V[0]], pts[a.V[1]], pts[a.V[2]], p) > 0 {
					t.Fatalf("point %d lies in the circle of %v", v, a.V)
				}
			}
		}
	})
}

func BenchmarkThousandPoints(b *testing.B) {
	for b.Loop() {
		tr := New(Point{-1, -1}, Point{1 << 20, 1 << 20})
		x := int64(12345)
		for range 1000 {
			x = (x*1103515245 + 12345) % (1 << 31)
			y := x * 48271 % (1<<31 - 1)
			tr.Insert(Point{x % (1 << 20), y % (1 << 20)})
		}
	}
}
