package offset

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// star draws a simple contour about the origin: corners at rising angles, each edge a
// straight or an arc that stays within its sector.
func star(t *rapid.T) geom.Loop {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	for {
		var l geom.Loop
		for i := range n {
			phi := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "phi")) / float64(n)
			r := rapid.Float64Range(4, 20).Draw(t, "r")
			bulge := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0.001, 0.9),
				rapid.Float64Range(-0.9, -0.001)).Draw(t, "bulge")
			l = append(l, geom.Vertex{Vec: geom.Polar(r, phi), Bulge: bulge})
		}
		if rapid.Bool().Draw(t, "edges of a millionth") {
			k := rapid.IntRange(0, n-1).Draw(t, "where")
			v := geom.Vertex{Vec: l[k].Add(geom.Polar(1e-6, rapid.Float64Range(0, 6).Draw(t, "way")))}
			l = append(l[:k+1], append(geom.Loop{v}, l[k+1:]...)...)
			l[k].Bulge, l[k+1].Bulge = 0, l[k].Bulge
		}
		if simple(l) && l.Area() > 0 {
			return l
		}
		t.Skip("crosses itself")
	}
}

// simple reports whether no two edges of l meet but where one follows the other.
func simple(l geom.Loop) bool {
	for i := range l {
		for j := range i {
			want := 0
			if j == i-1 {
				want++
			}
			if j == (i+1)%len(l) {
				want++
			}
			if len(geom.Intersect(l.Edge(i), l.Edge(j))) != want {
				return false
			}
		}
	}
	return true
}

func distance(region []geom.Loop, p geom.Vec) float64 {
	d := math.Inf(1)
	for _, l := range region {
		d = min(d, l.Distance(p))
	}
	return d
}

// points are places on the contours, ends included.
func points(region []geom.Loop, each int) []geom.Vec {
	var out []geom.Vec
	for _, l := range region {
		for i := range l {
			p := newPiece(l.Edge(i))
			for k := range each {
				out = append(out, p.at(float64(k)/float64(each)))
			}
		}
	}
	return out
}

// Every point of a round offset lies at the distance, and the region holds just the points
// that are no farther than it from the board (or, shrunk, farther than it from outside).
func TestRoundAgainstDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := star(t)
		d := rapid.OneOf(rapid.SampledFrom([]float64{0.1, 1, 2.5, -0.1, -1, -2.5}),
			rapid.Float64Range(1e-4, 6), rapid.Float64Range(-6, -1e-4)).Draw(t, "d")
		got := Grow([]geom.Loop{l}, d, Round)
		for _, p := range points(got, 7) {
			if off := math.Abs(l.Distance(p) - math.Abs(d)); off > 2e-9 {
				t.Fatalf("offset %v of %v: %v is %g off", d, l, p, off)
			}
		}
		box := l.Bounds().Grow(max(d, 0) + 1)
		for i := range 30 {
			for j := range 30 {
				s := geom.Vec{X: (float64(i) + 0.37) / 30, Y: (float64(j) + 0.41) / 30}
				p := box.Min.Add(geom.Vec{X: s.X * box.Size().X, Y: s.Y * box.Size().Y})
				depth := l.Depth(p)
				if math.Abs(depth+d) > 1e-8 && contains(got, p) != (depth > -d) {
					t.Fatalf("offset %v of %#v: %v at depth %v: inside %v\n%#v", d, l, p, depth, contains(got, p), got)
				}
			}
		}
		for _, g := range got {
			if d < 0 && g.Area() <= 0 {
				t.Fatalf("offset %v of %v runs clockwise: %v", d, l, g)
			}
		}
	})
}

// A mitred offset holds the round one and the mitres, said by half planes: before both
// walls, in the corner's outer cone, and no farther along the bisector than the limit.
func TestMitreAgainstHalfPlanes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := star(t)
		d := rapid.Float64Range(0.05, 4).Draw(t, "d")
		sign := rapid.SampledFrom([]float64{1, -1}).Draw(t, "sign")
		got := Grow([]geom.Loop{l}, sign*d, Mitre)
		side := l
		if sign < 0 {
			side = l.Reverse()
		}
		mitred := func(p geom.Vec) bool {
			for i := range side {
				_, in := side.Edge((i + len(side) - 1) % len(side)).Tangents()
				out, _ := side.Edge(i).Tangents()
				w := p.Sub(side[i].Vec)
				if in.Cross(out) > 0 && w.Dot(in) > 0 && w.Dot(out) < 0 && w.Cross(in) < d && w.Cross(out) < d &&
					w.Dot(in.Sub(out).Unit()) < MitreLimit*d {
					return true
				}
			}
			return false
		}
		box := l.Bounds().Grow(d + 1)
		for i := range 30 {
			for j := range 30 {
				s := geom.Vec{X: (float64(i) + 0.37) / 30, Y: (float64(j) + 0.41) / 30}
				p := box.Min.Add(geom.Vec{X: s.X * box.Size().X, Y: s.Y * box.Size().Y})
				if math.Abs(l.Depth(p)+sign*d) < 1e-8 || distance(got, p) < 1e-8 {
					continue
				}
				grown := sign*l.Depth(p) > -d || mitred(p)
				if contains(got, p) != (grown == (sign > 0)) {
					t.Fatalf("%v of %v: %v at depth %v is inside: %v\n%v", sign*d, l, p, l.Depth(p), contains(got, p), got)
				}
			}
		}
	})
}

// Steiner's formula for a convex region: area + d length + pi d^2, and its length grows by
// 2 pi d. Reference: Santalo, Integral Geometry and Geometric Probability, I.1.
func TestSteiner(t *testing.T) {
	for name, l := range map[string]geom.Loop{
		"triangle":  geom.FromPoints([]geom.Vec{{X: 0, Y: 0}, {X: 30, Y: 0}, {X: 4, Y: 22}}),
		"taper":     geom.RoundCorners(geom.Taper(478, 41.5, 55), 2),
		"disc":      geom.Slot(geom.Vec{X: 3, Y: 4}, 0.3, 0, 50),
		"half disc": {{Vec: geom.Vec{X: 10}, Bulge: 1}, {Vec: geom.Vec{X: -10}}},
		"lens":      {{Vec: geom.Vec{X: 10}, Bulge: 0.3}, {Vec: geom.Vec{X: -10}, Bulge: 0.5}},
	} {
		for _, d := range []float64{1e-3, 0.1, 3, 700} {
			got := Grow([]geom.Loop{l}, d, Round)
			if len(got) != 1 {
				t.Fatalf("%s by %v: %d contours", name, d, len(got))
			}
			area, length := l.Area()+d*l.Length()+math.Pi*d*d, l.Length()+2*math.Pi*d
			if math.Abs(got[0].Area()/area-1) > 1e-12 || math.Abs(got[0].Length()/length-1) > 1e-12 {
				t.Errorf("%s by %v: area %v, length %v; want %v, %v", name, d, got[0].Area(), got[0].Length(), area, length)
			}
		}
	}
}

func TestOffsetCases(t *testing.T) {
	pts := func(xy ...float64) geom.Loop {
		var l geom.Loop
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Vertex{Vec: geom.Vec{X: xy[i], Y: xy[i+1]}})
		}
		return l
	}
	square := pts(0, 0, 10, 0, 10, 10, 0, 10)
	// A slot 2 wide, 8 deep, from the top of a 20 x 10 block.
	slotted := pts(0, 0, 20, 0, 20, 10, 11, 10, 11, 2, 9, 2, 9, 10, 0, 10)
	dumbbell := pts(0, 0, 10, 0, 10, 4, 20, 4, 20, 0, 30, 0, 30, 10, 20, 10, 20, 6, 10, 6, 10, 10, 0, 10)
	// A bay whose mouth, 2 wide, closes before its inside does.
	bay := pts(0, 0, 20, 0, 20, 20, 11, 20, 11, 18, 18, 18, 18, 2, 2, 2, 2, 18, 9, 18, 9, 20, 0, 20)
	ring := []geom.Loop{square, pts(3, 3, 7, 3, 7, 7, 3, 7).Reverse()}
	spike := pts(0, 0, 10, 0, 0, 1)
	cove := append(pts(0, 0, 10, 0, 10, 5), geom.Vertex{Vec: geom.Vec{X: 6, Y: 5}, Bulge: -1},
		geom.Vertex{Vec: geom.Vec{X: 4, Y: 5}}, geom.Vertex{Vec: geom.Vec{X: 0, Y: 5}})
	for _, c := range []struct {
		name   string
		region []geom.Loop
		d      float64
		corner Corner
		areas  []float64
		sides  int // of the first contour
	}{
		{"square, mitred", []geom.Loop{square}, 1, Mitre, []float64{144}, 4},
		{"square, round", []geom.Loop{square}, 1, Round, []float64{140 + math.Pi}, 8},
		{"square, inward", []geom.Loop{square}, -1, Round, []float64{64}, 4},
		{"square, to nothing", []geom.Loop{square}, -5, Round, nil, 0},
		{"square, all but nothing", []geom.Loop{square}, -5 + 1e-3, Round, []float64{4e-6}, 4},
		{"slot stays open", []geom.Loop{slotted}, 0.5, Mitre, []float64{21*11 - 1*8}, 8},
		{"slot just closes", []geom.Loop{slotted}, 1, Mitre, []float64{22 * 12}, 5},
		{"slot closes, mitres lie on each other", []geom.Loop{slotted}, 1.5, Mitre, []float64{23 * 13}, 5},
		{"neck parts", []geom.Loop{dumbbell}, -1.5, Round, []float64{49.240079, 49.240079}, 7},
		{"neck just parts", []geom.Loop{dumbbell}, -1, Mitre, []float64{64, 64}, 5},
		{"bay closes round a hole", []geom.Loop{bay}, 1.5, Mitre, []float64{23 * 23, -13 * 13}, 5},
		{"ring grows", ring, 1, Mitre, []float64{144, -4}, 4},
		{"ring grows shut", ring, 2, Mitre, []float64{196}, 4},
		{"ring shrinks", ring, -1, Mitre, []float64{64, -36}, 4},
		{"ring shrinks to nothing", ring, -1.5, Mitre, nil, 0},
		{"spike is cut off", []geom.Loop{spike}, 1, Mitre, []float64{35.316922}, 4},
		{"cove vanishes", []geom.Loop{cove}, 1, Mitre, []float64{12 * 7}, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Grow(c.region, c.d, c.corner)
			if len(got) != len(c.areas) {
				t.Fatalf("%d contours, want %d: %v", len(got), len(c.areas), got)
			}
			for i, l := range got {
				if math.Abs(l.Area()-c.areas[i]) > 1e-4 || i == 0 && len(l) != c.sides {
					t.Errorf("contour %d: area %v of %v, %d sides of %d: %v", i, l.Area(), c.areas[i], len(l), c.sides, l)
				}
			}
		})
	}
}
