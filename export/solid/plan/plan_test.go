package plan

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/export/solid/cdt"
)

func rect(x0, y0, x1, y1 int64) []Point {
	return []Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func closed(polys ...[]Point) []Contour {
	var out []Contour
	for k, p := range polys {
		out = append(out, Contour{Points: p, Loop: k})
	}
	return out
}

// twiceArea sums over the triangles where the windings pass the test.
func twiceArea(p *Plan, of func(w []int16) int64) int64 {
	var sum int64
	for _, t := range p.Triangles {
		sum += of(p.Faces[t.Face].Winding) * cdt.Orient(p.Points[t.V[0]], p.Points[t.V[1]], p.Points[t.V[2]])
	}
	return sum
}

func both(w []int16) int64 {
	if w[0] != 0 && w[1] != 0 {
		return 1
	}
	return 0
}

func TestPairs(t *testing.T) {
	for _, tc := range []struct {
		name          string
		a, b          []Point
		faces         int // the outer one included
		shared, first int64
	}{
		{"apart", rect(0, 0, 100, 100), rect(200, 0, 300, 100), 3, 0, 10000},
		{"one in the other", rect(0, 0, 100, 100), rect(20, 20, 40, 40), 3, 400, 10000},
		{"crossing corners", rect(0, 0, 100, 100), rect(50, 50, 150, 150), 4, 2500, 10000},
		{"common edge", rect(0, 0, 100, 100), rect(100, 0, 200, 100), 3, 0, 10000},
		{"part of an edge in common", rect(0, 0, 100, 100), rect(100, 30, 200, 70), 3, 0, 10000},
		{"the same twice", rect(0, 0, 100, 100), rect(0, 0, 100, 100), 2, 10000, 10000},
		{"edge in common inside", rect(0, 0, 100, 100), rect(0, 30, 50, 70), 3, 2000, 10000},
		{"touch in a corner", rect(0, 0, 100, 100), rect(100, 100, 200, 200), 3, 0, 10000},
		{"a hair apart is welded", rect(0, 0, 100, 100), rect(102, 0, 200, 100), 3, 0, 10000},
		{"a cross", rect(0, 40, 100, 60), rect(40, 0, 60, 100), 6, 400, 2000},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p, err := New(closed(tc.a, tc.b), 2, 5)
			if err != nil {
				t.Fatal(err)
			}
			if len(p.Faces) != tc.faces {
				t.Errorf("%d faces, want %d", len(p.Faces), tc.faces)
			}
			if got := twiceArea(p, both); got != 2*tc.shared {
				t.Errorf("shared area %d, want %d", got/2, tc.shared)
			}
			if got := twiceArea(p, func(w []int16) int64 { return int64(w[0]) }); got != 2*tc.first {
				t.Errorf("first area %d, want %d", got/2, tc.first)
			}
		})
	}
}

func TestFigureOfEightWindsBothWays(t *testing.T) {
	p, err := New(closed([]Point{{X: 0, Y: 0}, {X: 100, Y: 100}, {X: 100, Y: 0}, {X: 0, Y: 100}}), 1, 3)
	if err != nil {
		t.Fatal(err)
	}
	found := map[int16]int{}
	for _, f := range p.Faces {
		found[f.Winding[0]]++
	}
	if found[1] != 1 || found[-1] != 1 || found[0] != 1 {
		t.Errorf("windings %v, want one each of -1, 0, 1", found)
	}
}

func TestOpenChainOnlyCutsFaces(t *testing.T) {
	c := append(closed(rect(0, 0, 100, 100)), Contour{Points: []Point{{X: 0, Y: 50}, {X: 100, Y: 50}}, Loop: -1})
	p, err := New(c, 1, 3)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Faces) != 3 {
		t.Errorf("%d faces, want the outer one and two halves", len(p.Faces))
	}
	if got := len(p.OnLoop[0]); got != 6 {
		t.Errorf("%d vertices on the loop, want four corners and two ends of the chain", got)
	}
}

// winding is the slow way: the angle that the contour turns about p, in turns.
func winding(c []Point, x, y float64) int {
	var sum float64
	for i, p := range c {
		q := c[(i+1)%len(c)]
		ax, ay, bx, by := float64(p.X)-x, float64(p.Y)-y, float64(q.X)-x, float64(q.Y)-y
		sum += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
	}
	return int(math.Round(sum / (2 * math.Pi)))
}

// gap is the distance from (x, y) to the nearest edge of the contour.
func gap(c []Point, x, y float64) float64 {
	best := math.Inf(1)
	for i, p := range c {
		q := c[(i+1)%len(c)]
		best = math.Min(best, segmentGap(float64(p.X), float64(p.Y), float64(q.X), float64(q.Y), x, y))
	}
	return best
}

func segmentGap(ax, ay, bx, by, x, y float64) float64 {
	dx, dy := bx-ax, by-ay
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = math.Max(0, math.Min(1, ((x-ax)*dx+(y-ay)*dy)/l))
	}
	return math.Hypot(x-ax-t*dx, y-ay-t*dy)
}

func anyContour(t *rapid.T) []Point {
	// A coarse lattice makes edges and corners coincide; a jitter of a unit or
	// two makes them nearly coincide.
	at := func(name string) int64 {
		return 100*rapid.Int64Range(0, 8).Draw(t, name) +
			rapid.SampledFrom([]int64{0, 0, 0, 1, -2, 7, 40}).Draw(t, name+" off")
	}
	switch rapid.IntRange(0, 2).Draw(t, "kind") {
	case 0:
		x, y := at("x"), at("y")
		return rect(x, y, x+at("w")+50, y+at("h")+50)
	case 1:
		n := rapid.IntRange(3, 12).Draw(t, "sides")
		cx, cy, r := float64(at("cx")), float64(at("cy")), float64(at("r")+60)
		var out []Point
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			out = append(out, Point{X: int64(math.Round(cx + r*c)), Y: int64(math.Round(cy + r*s))})
		}
		return out
	}
	var out []Point // any closed chain, it may cross itself
	for range rapid.IntRange(3, 6).Draw(t, "corners") {
		out = append(out, Point{X: at("px"), Y: at("py")})
	}
	return out
}

func TestRandomOverlays(t *testing.T) {
	const weld = 5
	// Rounds of welding move an edge by the weld distance each; they are few.
	const slack = 4 * weld
	rapid.Check(t, func(t *rapid.T) {
		var polys [][]Point
		for range rapid.IntRange(1, 5).Draw(t, "contours") {
			polys = append(polys, anyContour(t))
		}
		p, err := New(closed(polys...), len(polys), weld)
		if err != nil {
			t.Fatal(err)
		}
		var all int64
		type pair struct{ a, b int32 }
		edges := map[pair]bool{}
		for _, tr := range p.Triangles {
			a, b, c := p.Points[tr.V[0]], p.Points[tr.V[1]], p.Points[tr.V[2]]
			o := cdt.Orient(a, b, c)
			if o <= 0 {
				t.Fatalf("triangle %v is turned over or flat", tr.V)
			}
			all += o
			for i := range 3 {
				if tr.Fixed[i] {
					edges[pair{tr.V[(i+1)%3], tr.V[(i+2)%3]}] = true
				} else if n := tr.Next[i]; n >= 0 && p.Triangles[n].Face != tr.Face {
					t.Fatalf("faces %d and %d meet where there is no contour", tr.Face, p.Triangles[n].Face)
				}
			}
			x, y := float64(a.X+b.X+c.X)/3, float64(a.Y+b.Y+c.Y)/3
			for k, poly := range polys {
				if gap(poly, x, y) > slack && winding(poly, x, y) != int(p.Faces[tr.Face].Winding[k]) {
					t.Fatalf("contour %d winds %d times round (%g, %g), the face says %d", k, winding(poly, x, y), x, y,
						p.Faces[tr.Face].Winding[k])
				}
			}
		}
		if want := 2 * (p.Points[2].X - p.Points[0].X) * (p.Points[2].Y - p.Points[0].Y); all != want {
			t.Fatalf("twice the area %d, want %d", all, want)
		}
		for k, poly := range polys {
			var want int64
			var length float64
			for i, a := range poly {
				b := poly[(i+1)%len(poly)]
				want += a.X*b.Y - a.Y*b.X
				length += math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
			}
			got := twiceArea(p, func(w []int16) int64 { return int64(w[k]) })
			if math.Abs(float64(got-want)) > 2*slack*(length+slack) {
				t.Fatalf("contour %d: twice the area %d, want %d", k, got, want)
			}
		}
		// Nothing is nearer to anything else than the weld distance.
		for i, a := range p.Points[4:] {
			for _, b := range p.Points[4+i+1:] {
				if d := math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)); d < weld {
					t.Fatalf("points %v and %v are %g apart", a, b, d)
				}
			}
			for e := range edges {
				u, v := p.Points[e.a], p.Points[e.b]
				if u == a || v == a {
					continue
				}
				if d := segmentGap(float64(u.X), float64(u.Y), float64(v.X), float64(v.Y), float64(a.X),
					float64(a.Y)); d < weld-1e-6 {
					t.Fatalf("point %v is %g from the edge %v-%v", a, d, u, v)
				}
			}
		}
	})
}

func TestSameBytesTwice(t *testing.T) {
	c := closed(rect(0, 0, 1000, 800), rect(100, 100, 900, 300), rect(150, 50, 250, 900))
	p, err := New(c, 3, 5)
	if err != nil {
		t.Fatal(err)
	}
	q, err := New(c, 3, 5)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Triangles {
		if p.Triangles[i] != q.Triangles[i] {
			t.Fatalf("triangle %d differs between two runs", i)
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, tc := range []struct {
		name     string
		contours []Contour
		loops    int
		weld     int64
	}{
		{"no contours", nil, 0, 5},
		{"too far out", closed(rect(0, 0, cdt.Limit, 9)), 1, 5},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if _, err := New(tc.contours, tc.loops, tc.weld); err == nil {
				t.Error("no error")
			}
		})
	}
}
