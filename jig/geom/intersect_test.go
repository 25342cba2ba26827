package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestMeet(t *testing.T) {
	circle := func(x, y float64) Loop { return Slot(Vec{x, y}, math.Pi/2, 0, 10) } // radius 5, upper half first
	upper, lower := circle(0, 0).Edge(0), circle(0, 0).Edge(1)
	line := func(x1, y1, x2, y2 float64) Edge { return Edge{P: Vec{x1, y1}, Q: Vec{x2, y2}} }
	quarter := func(c Vec, r float64) Edge {
		return Edge{c.Add(Vec{r, 0}), c.Add(Vec{0, r}), math.Tan(math.Pi / 8)}
	}
	for _, c := range []struct {
		name string
		a, b Edge
		want []Vec
	}{
		{"lines cross", line(0, 0, 4, 4), line(0, 4, 4, 0), []Vec{{2, 2}}},
		{"lines would cross further on", line(0, 0, 1, 1), line(0, 4, 4, 0), nil},
		{"ends touch", line(0, 0, 1, 0), line(1, 0, 1, 5), []Vec{{1, 0}}},
		{"end on the other's middle", line(0, 0, 4, 0), line(1, 0, 1, 5), []Vec{{1, 0}}},
		{"parallel", line(0, 0, 4, 0), line(0, 1, 4, 1), nil},
		{"on each other, opposite ways", line(0, 0, 4, 0), line(6, 0, 1, 0), []Vec{{1, 0}, {4, 0}}},
		{"line through an arc twice", line(-9, 3, 9, 3), upper, []Vec{{-4, 3}, {4, 3}}},
		{"line through the other half", line(-9, 3, 9, 3), lower, nil},
		{"line touches an arc", line(-9, 5, 9, 5), upper, []Vec{{0, 5}}},
		{"line misses an arc by twice the tolerance", line(-9, 5+2*MeetTol, 9, 5+2*MeetTol), upper, nil},
		{"circles cross", upper, circle(6, 0).Edge(0), []Vec{{3, 4}}},
		{"arcs touch from outside", quarter(Vec{}, 5), circle(6, 8).Edge(1), []Vec{{3, 4}}},
		{"arcs on each other", upper, quarter(Vec{}, 5), []Vec{{5, 0}, {0, 5}}},
		{"halves of one circle", lower, upper, []Vec{{-5, 0}, {5, 0}}},
		{"concentric", upper, quarter(Vec{}, 4), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			same(t, Intersect(c.a, c.b), c.want)
			if got := Intersect(c.b, c.a); len(got) != len(c.want) {
				t.Errorf("the other way round: %v, want %v", got, c.want)
			}
		})
	}
}

func same(t *testing.T, got, want []Vec) {
	t.Helper()
	ok := len(got) == len(want)
	for i := range got {
		ok = ok && got[i].Dist(want[i]) < 1e-12
	}
	if ok {
		return
	}
	// Either direction of the first edge is right.
	for i := range want {
		if len(got) != len(want) || got[len(got)-1-i].Dist(want[i]) > 1e-8 {
			t.Fatalf("got %v, want %v", got, want)
		}
	}
}

// Where one edge passes from one side of the other to its other side, they meet; and every
// point told lies on both.
func TestMeetAgainstSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-10, 10)
		edge := func(name string) Edge {
			bulge := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-6, 1), rapid.Float64Range(-1, -1e-6)).Draw(t, name+" bulge")
			v := func(n string) Vec { return Vec{coord.Draw(t, name+n+"x"), coord.Draw(t, name+n+"y")} }
			return Edge{v("p"), v("q"), bulge}
		}
		a, b := edge("a"), edge("b")
		got := Intersect(a, b)
		for i, p := range got {
			if d := math.Max(a.Distance(p)-a.meetTol(), b.Distance(p)-b.meetTol()); d > 0 {
				t.Fatalf("%v lies %g off", p, d)
			}
			if i > 0 && a.Along(p) <= a.Along(got[i-1]) {
				t.Fatalf("%v come out of order", got)
			}
		}
		// Chords of 1/400 of each, at most 1.1e-4 off it, whose ends lie clear of the other.
		const n, clear = 400, 2.5e-4
		pa, pb := steps(a, n), steps(b, n)
		for i := range n {
			for j := range n {
				if !cross(pa[i], pa[i+1], pb[j], pb[j+1]) ||
					min(b.Distance(pa[i]), b.Distance(pa[i+1]), a.Distance(pb[j]), a.Distance(pb[j+1])) < clear {
					continue
				}
				near := math.Inf(1)
				for _, p := range got {
					near = math.Min(near, p.Dist(pa[i]))
				}
				if len(got) == 0 || near > 0.15 {
					t.Fatalf("they cross near %v, told %v", pa[i], got)
				}
			}
		}
	})
}

func steps(e Edge, n int) []Vec {
	out := make([]Vec, n+1)
	for i := range out {
		out[i] = e.At(float64(i) / float64(n))
	}
	return out
}

func cross(a, b, c, d Vec) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	return ab.Cross(c.Sub(a))*ab.Cross(d.Sub(a)) < 0 && cd.Cross(a.Sub(c))*cd.Cross(b.Sub(c)) < 0
}
