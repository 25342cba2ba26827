package stroke

import (
	"math"
	"testing"
	"unicode/utf8"

	"reseat/jig/geom"
)

// touching, in heights, is how near two pieces must come to count as meeting. The
// glyphs are written to three decimals; rounding is far below.
const touching = 1e-6

// leastPieceMM is the shortest piece of a stroke in a cut file (the project's own
// limit; shorter ones make controllers stutter).
const leastPieceMM = 0.02

func TestEveryLetterHasADrawing(t *testing.T) {
	if n := utf8.RuneCountInString(Letters); n != len(glyphs) {
		t.Errorf("%d letters are told, %d are drawn", n, len(glyphs))
	}
	for _, r := range Letters {
		g, ok := glyphs[r]
		if !ok {
			t.Errorf("%q has no drawing", r)
		}
		if (len(g.paths) == 0) != (r == ' ') {
			t.Errorf("%q has %d strokes", r, len(g.paths))
		}
	}
}

func TestGlyphsStayInTheirBoxes(t *testing.T) {
	for _, r := range Letters {
		g := glyphs[r]
		for i, p := range g.paths {
			if len(p) < 2 {
				t.Errorf("%q stroke %d has %d points", r, i, len(p))
			}
			for _, v := range p {
				if v.X < slant-touching || v.X > g.width-slant+touching || v.Y < -touching || v.Y > 1+touching {
					t.Errorf("%q stroke %d leaves the box less its bearings: %.3f, %.3f of width %.3f", r, i, v.X, v.Y, g.width)
				}
			}
			for j := 1; j < len(p); j++ {
				if d := p[j].Dist(p[j-1]) * LeastHeightMM; d < leastPieceMM {
					t.Errorf("%q stroke %d piece %d is %.4f mm at the least height", r, i, j, d)
				}
			}
		}
	}
}

func TestCapitalsAndFiguresFillTheHeight(t *testing.T) {
	for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789" {
		b := Bounds(asVecs(glyphs[r].paths))
		// An arc that ends short of its top stays 2 % lower at most.
		if b.Min.Y > 0.02 || b.Max.Y < 0.98 {
			t.Errorf("%q reaches from %.3f to %.3f of the height", r, b.Min.Y, b.Max.Y)
		}
	}
}

func TestNoPieceIsDrawnTwice(t *testing.T) {
	for _, r := range Letters {
		if d := doubled(glyphs[r].paths); d > touching {
			t.Errorf("%q is drawn twice over %.3f of its height", r, d)
		}
		if a := leastFork(glyphs[r].paths); a < 10*math.Pi/180 {
			t.Errorf("%q has two pieces that leave a point only %.1f degrees apart", r, a*180/math.Pi)
		}
	}
}

func TestNoStrokeCrossesItself(t *testing.T) {
	for _, r := range Letters {
		for i, p := range glyphs[r].paths {
			if meetsItself(p) {
				t.Errorf("%q stroke %d meets itself", r, i)
			}
		}
	}
}

// The judges above must see what they are for.
func TestJudgesSeePlantedFaults(t *testing.T) {
	for _, tc := range []struct {
		name           string
		paths          []path
		doubled, meets bool
		fork           bool
	}{
		{"a plain corner", []path{line(0, 0, 0, 1, 1, 1)}, false, false, false},
		{"a ring", []path{line(0, 0, 1, 0, 1, 1).ring()}, false, false, false},
		{"back over the same line", []path{line(0, 0, 0, 1, 0, 0.4)}, true, false, true},
		{"two strokes share half a line", []path{line(0, 0, 0, 1), line(0, 0.5, 0, 1.5)}, true, false, false},
		{"a loop that crosses", []path{line(0, 0, 1, 1, 1, 0, 0, 1)}, false, true, false},
		{"an end on its own stem", []path{line(0, 0, 0, 1, 1, 1, 1, 0.5, 0, 0.5)}, false, true, false},
		{"a narrow fork", []path{line(0, 0, 0, 1), line(0, 0, 0.1, 1)}, false, false, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := doubled(tc.paths) > touching; got != tc.doubled {
				t.Errorf("doubled %v", got)
			}
			if got := meetsItself(tc.paths[0]); got != tc.meets {
				t.Errorf("meets itself %v", got)
			}
			if got := leastFork(tc.paths) < 10*math.Pi/180; got != tc.fork {
				t.Errorf("narrow fork %v", got)
			}
		})
	}
}

// doubled returns the longest stretch that two pieces share, in heights.
func doubled(paths []path) float64 {
	segs := pieces(paths)
	longest := 0.0
	for i, s := range segs {
		along := s[1].Sub(s[0]).Unit()
		for _, o := range segs[i+1:] {
			p, q := o[0].Sub(s[0]), o[1].Sub(s[0])
			if math.Abs(along.Cross(p)) > touching || math.Abs(along.Cross(q)) > touching {
				continue
			}
			a, b := along.Dot(p), along.Dot(q)
			lo, hi := math.Max(0, math.Min(a, b)), math.Min(s[0].Dist(s[1]), math.Max(a, b))
			longest = math.Max(longest, hi-lo)
		}
	}
	return longest
}

// leastFork returns the smallest angle between two pieces that leave one point.
func leastFork(paths []path) float64 {
	segs := pieces(paths)
	least := math.Pi
	for i, s := range segs {
		for _, o := range segs[i+1:] {
			for k := range 4 {
				a, b := s[k&1], o[k>>1]
				if a.Dist(b) > touching {
					continue
				}
				u, v := s[1-k&1].Sub(a), o[1-k>>1].Sub(b)
				least = math.Min(least, math.Abs(math.Atan2(u.Cross(v), u.Dot(v))))
			}
		}
	}
	return least
}

// meetsItself reports whether two pieces of a stroke that do not follow each
// other come together, the closing point of a ring left out.
func meetsItself(p path) bool {
	n := len(p) - 1
	ring := p[0].Dist(p[n]) < touching
	for i := range n {
		for j := i + 2; j < n; j++ {
			if ring && i == 0 && j == n-1 {
				continue
			}
			if geom.SegmentDistance(p[i], p[i+1], p[j], p[j+1]) < touching {
				return true
			}
		}
	}
	return false
}

func pieces(paths []path) [][2]geom.Vec {
	var out [][2]geom.Vec
	for _, p := range paths {
		for i := 1; i < len(p); i++ {
			out = append(out, [2]geom.Vec{p[i-1], p[i]})
		}
	}
	return out
}

func asVecs(paths []path) [][]geom.Vec {
	out := make([][]geom.Vec, len(paths))
	for i, p := range paths {
		out[i] = p
	}
	return out
}

// Two letters side by side, cut as wide as StrokeShare, leave a wall. And cut
// with ISO 3098's line of type B, h/10, they stand two lines apart, or one where
// slanted or open letters would look too far apart (recalled, not seen).
func TestNeighboursStandApart(t *testing.T) {
	least := math.Inf(1)
	for _, a := range Letters {
		for _, b := range Letters {
			d := math.Inf(1)
			for _, s := range pieces(glyphs[a].paths) {
				for _, o := range pieces(glyphs[b].paths) {
					shift := geom.Vec{X: glyphs[a].width}
					d = math.Min(d, geom.SegmentDistance(s[0], s[1], o[0].Add(shift), o[1].Add(shift)))
				}
			}
			if d-StrokeShare < 0.1-touching {
				t.Errorf("%q and %q leave %.3f of the height", a, b, d-StrokeShare)
			}
			if d-0.1 < 0.1-touching {
				t.Errorf("%q and %q stand %.3f apart with lines of h/10", a, b, d-0.1)
			}
			least = math.Min(least, d)
		}
	}
	t.Logf("nearest neighbours: centre lines %.3f of the height apart", least)
}

// leastUnlike, in heights: laid on each other by their middles, some point of one
// letter lies at least this far from the other. More than half of
// StrokeShare, so that the edge of the widest cut shows it; half a millimetre on
// a letter of 5 mm.
const leastUnlike = 0.1

func TestLettersDiffer(t *testing.T) {
	runes := []rune(Letters)
	least, pair := math.Inf(1), ""
	for i, a := range runes {
		for _, b := range runes[i+1:] {
			if a == ' ' || b == ' ' {
				continue
			}
			d := math.Max(farthest(a, b), farthest(b, a))
			if d < leastUnlike {
				t.Errorf("%c and %c differ by only %.3f of the height", a, b, d)
			}
			if d < least {
				least, pair = d, string(a)+string(b)
			}
		}
	}
	t.Logf("most alike: %s, %.3f of the height", pair, least)
	for _, tc := range []struct{ a, b rune }{{'0', 'O'}, {'1', 'I'}, {'5', 'S'}, {'8', 'B'}, {'2', 'Z'}, {'6', 'G'}, {'0', 'D'}, {'8', '3'}} {
		t.Logf("%c %c differ by %.3f", tc.a, tc.b, math.Max(farthest(tc.a, tc.b), farthest(tc.b, tc.a)))
	}
}

// farthest returns how far the points of a lie from b at most, middles together.
func farthest(a, b rune) float64 {
	shift := geom.Vec{X: (glyphs[b].width - glyphs[a].width) / 2}
	worst := 0.0
	for _, s := range pieces(glyphs[a].paths) {
		const steps = 16
		for k := 0; k <= steps; k++ {
			p := s[0].Lerp(s[1], float64(k)/steps).Add(shift)
			d := math.Inf(1)
			for _, o := range pieces(glyphs[b].paths) {
				d = math.Min(d, geom.SegmentDistance(p, p, o[0], o[1]))
			}
			worst = math.Max(worst, d)
		}
	}
	return worst
}
