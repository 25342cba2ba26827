package stroke

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-+/→←↑↓"

// touching, in heights, is how near two pieces must come to count as meeting. The
// glyphs are written to three decimals; rounding is far below.
const touching = 1e-6

// Every letter is drawn, keeps to its box less the bearings, fills the height, and
// has no piece that a machine would stutter on, none drawn twice and none that
// leaves another at a slant a cutter could not follow.
func TestGlyphs(t *testing.T) {
	if n := len([]rune(letters)) + 1; n != len(glyphs()) {
		t.Errorf("%d letters with the space, %d are drawn", n, len(glyphs()))
	}
	for _, r := range letters {
		g := glyphs()[r]
		b := geom.EmptyBox()
		segs := pieces(g)
		if len(segs) == 0 {
			t.Errorf("%q has no drawing", r)
		}
		for i, s := range segs {
			b = b.Include(s[0]).Include(s[1])
			if d := s[0].Dist(s[1]); d < 0.02 { // mm, at the least height of 1 mm
				t.Errorf("%q piece %d is %.4f of the height long", r, i, d)
			}
			for _, o := range segs[i+1:] {
				if d := shared(s, o); d > touching {
					t.Errorf("%q is drawn twice over %.3f of its height", r, d)
				}
				if a := fork(s, o); a < 10*math.Pi/180 {
					t.Errorf("%q has two pieces that leave a point only %.1f degrees apart", r, a*180/math.Pi)
				}
			}
		}
		if b.Min.X < slant-touching || b.Max.X > g.width-slant+touching || b.Min.Y < -touching || b.Max.Y > 1+touching {
			t.Errorf("%q leaves its box: %v of width %.3f", r, b, g.width)
		}
		// An arc that ends short of its top stays 2 % lower at most.
		if full := r >= '0' && r <= 'Z'; full && (b.Min.Y > 0.02 || b.Max.Y < 0.98) {
			t.Errorf("%q reaches from %.3f to %.3f of the height", r, b.Min.Y, b.Max.Y)
		}
	}
}

// Two letters side by side, cut 0.16 of the height wide, leave a wall; laid on each
// other by their middles, some point of one lies further from the other than half a
// cut, so that its edge shows the difference.
func TestNeighboursStandApartAndLettersDiffer(t *testing.T) {
	const cut, wall, unlike = 0.16, 0.1, 0.1
	for i, a := range letters {
		for j, b := range letters {
			apart := math.Inf(1)
			for _, s := range pieces(glyphs()[a]) {
				for _, o := range pieces(glyphs()[b]) {
					next := geom.Vec{X: glyphs()[a].width}
					apart = math.Min(apart, geom.SegmentDistance(s[0], s[1], o[0].Add(next), o[1].Add(next)))
				}
			}
			if apart < cut+wall-touching {
				t.Errorf("%q and %q stand %.3f of the height apart", a, b, apart)
			}
			if i < j && math.Max(farthest(a, b), farthest(b, a)) < unlike {
				t.Errorf("%q and %q look alike", a, b)
			}
		}
	}
}

// farthest returns how far the ends of a's pieces lie from b at most, middles together.
func farthest(a, b rune) float64 {
	shift := geom.Vec{X: (glyphs()[b].width - glyphs()[a].width) / 2}
	worst := 0.0
	for _, s := range pieces(glyphs()[a]) {
		const steps = 4
		for k := 0; k <= steps; k++ {
			p, d := s[0].Lerp(s[1], float64(k)/steps).Add(shift), math.Inf(1)
			for _, o := range pieces(glyphs()[b]) {
				d = math.Min(d, geom.SegmentDistance(p, p, o[0], o[1]))
			}
			worst = math.Max(worst, d)
		}
	}
	return worst
}

// shared returns the stretch that two pieces have in common, in heights.
func shared(s, o [2]geom.Vec) float64 {
	along := s[1].Sub(s[0]).Unit()
	p, q := o[0].Sub(s[0]), o[1].Sub(s[0])
	if math.Abs(along.Cross(p)) > touching || math.Abs(along.Cross(q)) > touching {
		return 0
	}
	a, b := along.Dot(p), along.Dot(q)
	return math.Min(s[0].Dist(s[1]), math.Max(a, b)) - math.Max(0, math.Min(a, b))
}

// fork returns the angle between two pieces that leave one point; pi when none does.
func fork(s, o [2]geom.Vec) float64 {
	least := math.Pi
	for k := range 4 {
		a, b := s[k&1], o[k>>1]
		if a.Dist(b) > touching {
			continue
		}
		u, v := s[1-k&1].Sub(a), o[1-k>>1].Sub(b)
		least = math.Min(least, math.Abs(math.Atan2(u.Cross(v), u.Dot(v))))
	}
	return least
}

func pieces(g glyph) [][2]geom.Vec {
	var out [][2]geom.Vec
	for _, p := range g.paths {
		for i := 1; i < len(p); i++ {
			out = append(out, [2]geom.Vec{p[i-1], p[i]})
		}
	}
	return out
}
