package seat

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"reseat/jig/geom"
)

// lpPushed is the second method for a pushed board: find by gonum's simplex how
// far it can follow the push, then hold it there by one more inequality and ask
// for the farthest move. The walls are written down from the definition, as
// depths of board corners. Unknowns: du and dv at the middle, theta l.
type lpPushed struct {
	g, h   []float64
	middle geom.Vec
	l      float64
}

// followSlack is by how much the board may fall back from the push, mm: it
// leaves the simplex a face that is not lost to rounding.
const followSlack = 1e-10

// pushTolerance is what the two methods may differ by, mm: followSlack over the
// smallest slope that the random boards have between a wall and the push, 1e-4.
const pushTolerance = 2e-6

func newPushed(n Nest) (*lpPushed, bool) {
	box := geom.EmptyBox()
	for _, p := range n.Board {
		box = box.Include(p)
	}
	q := &lpPushed{middle: box.Center(), l: box.Size().X}
	for i, w := range n.Window {
		e := n.Window[(i+1)%len(n.Window)].Sub(w).Unit()
		for _, p := range n.Board {
			d := p.Sub(q.middle).Left().Scale(1 / q.l)
			q.g = append(q.g, -e.Cross(vec(1, 0)), -e.Cross(vec(0, 1)), -e.Cross(d))
			q.h = append(q.h, e.Cross(p.Sub(w)))
		}
	}
	var load geom.Vec
	for _, k := range n.Push {
		load = load.Sub(n.Window[(int(k)+1)%len(n.Window)].Sub(n.Window[k]).Unit().Left())
	}
	best, ok := q.most([3]float64{load.X, load.Y, 0})
	q.g = append(q.g, -load.X, -load.Y, 0)
	q.h = append(q.h, followSlack-best)
	return q, ok
}

func (q *lpPushed) most(c [3]float64) (float64, bool) {
	cNew, aNew, bNew := lp.Convert([]float64{-c[0], -c[1], -c[2]}, mat.NewDense(len(q.h), 3, q.g), q.h, nil, nil)
	v, _, err := lp.Simplex(cNew, aNew, bNew, 1e-12, nil)
	return -v, err == nil
}

// Push removes what it removes and no more: with the rest added, the reach of a
// pushed board is what the simplex finds under the push.
func TestPushAgainstSimplex(t *testing.T) {
	r := rand.New(rand.NewPCG(44, 4))
	worst, done := 0.0, 0
	const cases = 60
	for k := range cases {
		n := randomNest(r)
		n.Push = []Wall{n.WallToward(geom.Polar(1, 2*math.Pi*r.Float64()))}
		if k%3 > 0 { // two stops
			for _, w := range []geom.Vec{vec(0, 1), vec(-1, 0)} {
				if o := n.WallToward(w); o != n.Push[0] && (Nest{n.Window, n.Board, append(n.Push, o)}).check() == nil {
					n.Push = append(n.Push, o)
					break
				}
			}
		}
		s, err := n.Seat()
		if err != nil {
			t.Fatal(err)
		}
		q, ok := newPushed(n)
		if !ok {
			continue
		}
		free := Nest{Window: n.Window, Board: n.Board}
		all, _ := free.Seat()
		for range 4 {
			at, dir := vec(800*r.Float64()-100, 60*r.Float64()-30), geom.Polar(1, 2*math.Pi*r.Float64())
			want, ok := q.most([3]float64{dir.X, dir.Y, dir.Dot(at.Sub(q.middle).Left()) / q.l})
			if !ok {
				continue
			}
			done++
			got := s.Reach(at, dir) + s.Rest().Motion(at).Dot(dir)
			worst = math.Max(worst, math.Abs(got-want))
			if math.Abs(got-want) > pushTolerance {
				t.Errorf("case %d: push %v reaches %.9g, simplex %.9g", k, n.Push, got, want)
			}
			if a := all.Reach(at, dir); got > a+floor {
				t.Errorf("case %d: pushed %.9g, free %.9g", k, got, a)
			}
		}
	}
	if done < 3*cases {
		t.Errorf("simplex gave up on %d of %d moves; too few were compared", 4*cases-done, 4*cases)
	}
	t.Logf("%d moves, largest difference %.2g mm", done, worst)
}
