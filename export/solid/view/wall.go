package view

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// The eye stands 35 degrees above the plate and 62 degrees round from the -x
// direction towards -y: a plate five times as long as wide then fills its picture,
// its start end has a side to show, and holes are open ellipses. Chosen by eye.
// Written out, so that every machine draws the same.
const (
	sinUp, cosUp       = 0.5735764363510461, 0.8191520442889918 // 35 degrees
	sinRound, cosRound = 0.8829475928589270, 0.4694715627858908 // 62 degrees
)

// page returns where a place of the plan at height z comes to lie on the page, to
// 0.01 mm.
func (s *scene) page(p geom.Vec, z float64) geom.Vec {
	far := float64(cosRound*p.X) + float64(sinRound*p.Y)
	up := float64(sinUp*far) + float64(cosUp*z)
	return geom.Vec{
		X: units.Round(float64(lateral(p)*s.scale)+s.shift.X, 2),
		Y: units.Round(float64(up*s.scale)+s.shift.Y, 2),
	}
}

// lateral is how far right of the eye's line a place lies; nearness, how near.
func lateral(p geom.Vec) float64  { return float64(sinRound*p.X) - float64(cosRound*p.Y) }
func nearness(p geom.Vec) float64 { return -float64(cosRound*p.X) - float64(sinRound*p.Y) }

// creaseCos is the cosine of the least turn between walls that shows as a line, 35
// degrees: the chords of a small round turn by 20, a chamfer by 45. Common practice,
// no source.
const creaseCos = 0.819

// layer is what stands between two heights: walls that the eye sees, and tops.
type layer struct {
	walls []wall
	tops  [][]geom.Loop // outline and voids, on the page
}

// wall is a piece of a side. On the page its corners are two below and two above,
// seen from outside; in the plan its upper edge runs between left and right.
type wall struct {
	corners     []geom.Vec
	normal      [3]float64
	ends        [2]bool // whether that end shows as a line
	left, right geom.Vec
}

// prism adds the upright walls over a ring that has material on its left.
func (s *scene) prism(l *layer, ring []geom.Vec, z0, z1 float64) { s.between(l, ring, ring, z0, z1) }

// between adds the walls between two rings of as many points: upright where they
// are the same, else leaning outward by 45 degrees.
func (s *scene) between(l *layer, low, high []geom.Vec, z0, z1 float64) {
	n := len(low)
	lean := 0.0
	if low[0] != high[0] {
		lean = math.Sqrt(0.5)
	}
	upright := math.Sqrt(1 - lean*lean)
	normal := func(i int) geom.Vec {
		d := high[(i+1)%n].Sub(high[i]).Unit()
		return geom.Vec{X: d.Y, Y: -d.X}
	}
	faces := func(m geom.Vec) bool { return nearness(m)*cosUp*upright+lean*sinUp > 0 }
	for i := range n {
		k, m := (i+1)%n, normal(i)
		if !faces(m) {
			continue
		}
		w := wall{
			corners: []geom.Vec{s.page(low[i], z0), s.page(low[k], z0), s.page(high[k], z1), s.page(high[i], z1)},
			normal:  [3]float64{m.X * upright, m.Y * upright, lean},
		}
		for end, other := range [2]geom.Vec{normal((i + n - 1) % n), normal(k)} {
			w.ends[end] = lean == 0 && (!faces(other) || other.Dot(m) < creaseCos)
		}
		if w.left, w.right = high[i], high[k]; lateral(w.left) > lateral(w.right) {
			w.left, w.right = w.right, w.left
		}
		l.walls = append(l.walls, w)
	}
}

// ordered returns the walls so that none is hidden by an earlier one. Of two that
// share a strip of the page the one that is farther there comes first; walls of one
// layer do not cross, so that such an order exists.
func (l *layer) ordered() []wall {
	out := make([]wall, 0, len(l.walls))
	done := make([]bool, len(l.walls))
	var visit func(i int)
	visit = func(i int) {
		done[i] = true
		w := l.walls[i]
		for k, v := range l.walls {
			if x, shared := w.shares(v); !done[k] && shared && v.nearAt(x) < w.nearAt(x) {
				visit(k)
			}
		}
		out = append(out, w)
	}
	for i := range l.walls {
		if !done[i] {
			visit(i)
		}
	}
	return out
}

// shares returns the middle of the strip of the page that two walls share, if any.
func (w wall) shares(v wall) (x float64, ok bool) {
	from, to := math.Max(lateral(w.left), lateral(v.left)), math.Min(lateral(w.right), lateral(v.right))
	return (from + to) / 2, from < to
}

func (w wall) nearAt(x float64) float64 {
	a, b := lateral(w.left), lateral(w.right)
	return nearness(w.left.Lerp(w.right, (x-a)/(b-a)))
}
