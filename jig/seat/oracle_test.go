package seat

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// lpReach is the second method for a nest: the largest c.(du, dv, theta L) under
// the walls' inequalities, by gonum's simplex. It shares no code with the vertex
// enumeration, the walls included: each corner's depth behind each wall is taken
// by finite differences of exact small moves, which are linear by definition.
func lpReach(t *testing.T, n Nest, l float64, c [3]float64) float64 {
	t.Helper()
	var g, h []float64
	for i, w := range n.Window {
		e := n.Window[(i+1)%len(n.Window)].Sub(w)
		for _, p := range n.Board {
			// Distance to the left of wall i, negative outside.
			depth := func(q geom.Vec) float64 { return e.Cross(q.Sub(w)) / e.Norm() }
			at := depth(p)
			g = append(g,
				at-depth(p.Add(vec(1, 0))),
				at-depth(p.Add(vec(0, 1))),
				at-depth(p.Add(vec(-p.Y/l, p.X/l))))
			h = append(h, at)
		}
	}
	cNew, aNew, bNew := lp.Convert([]float64{-c[0], -c[1], -c[2]}, mat.NewDense(len(h), 3, g), h, nil, nil)
	v, _, err := lp.Simplex(cNew, aNew, bNew, 1e-10, nil)
	if err != nil {
		t.Skip("simplex gave up:", err)
	}
	return -v
}

// randomNest returns a convex board of five to eight corners in a window whose
// walls stand off by a clearance of their own.
func randomNest(r *rand.Rand) Nest {
	for {
		// A short edge between walls that stand off differently may vanish.
		if n := tryNest(r); convex(n.Window) {
			return n
		}
	}
}

func tryNest(r *rand.Rand) Nest {
	length := 60 + 900*r.Float64()
	board := geom.Taper(length, 20+60*r.Float64(), 20+60*r.Float64()).Corners()
	for range 1 + r.IntN(4) {
		board = cutCorner(board, r.IntN(len(board)), 0.05+0.2*r.Float64(), 0.05+0.2*r.Float64())
	}
	return Nest{Window: standOff(board, func() float64 { return 0.02 + 0.3*r.Float64() }), Board: board}
}

func cutCorner(pts []geom.Vec, i int, before, after float64) []geom.Vec {
	n := len(pts)
	p, a, b := pts[i], pts[(i+n-1)%n], pts[(i+1)%n]
	out := append([]geom.Vec{}, pts[:i]...)
	out = append(out, p.Lerp(a, before), p.Lerp(b, after))
	return append(out, pts[i+1:]...)
}

// standOff moves every edge outward by its own amount and joins neighbours again.
func standOff(pts []geom.Vec, by func() float64) []geom.Vec {
	n := len(pts)
	type line struct{ p, d geom.Vec }
	lines := make([]line, n)
	for i, p := range pts {
		d := pts[(i+1)%n].Sub(p).Unit()
		lines[i] = line{p.Add(d.Left().Scale(-by())), d}
	}
	out := make([]geom.Vec, n)
	for i, b := range lines {
		a := lines[(i+n-1)%n]
		out[i] = a.p.Add(a.d.Scale(b.p.Sub(a.p).Cross(b.d) / a.d.Cross(b.d)))
	}
	return out
}

// lpTolerance is what simplex (tolerance 1e-10 on reduced costs, sums of some
// tens of terms) and vertex enumeration may differ by, mm.
const lpTolerance = 1e-7

func TestNestAgainstSimplex(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 42))
	nests := 10
	if deep() {
		nests = 60
	}
	worst, done := 0.0, 0
	for k := range nests {
		n := randomNest(r)
		l := n.frame().length
		at := vec(900*r.Float64()-100, 80*r.Float64()-40)
		f := floatOf(t, []geom.Vec{at}, n)
		t.Run("", func(t *testing.T) {
			both := func(c [3]float64) float64 {
				return math.Max(lpReach(t, n, l, c), lpReach(t, n, l, [3]float64{-c[0], -c[1], -c[2]}))
			}
			for _, q := range []struct {
				name      string
				got, want float64
			}{
				{"theta x length", f.ThetaMax * l, both([3]float64{0, 0, 1})},
				{"along", f.At[0].Along, both([3]float64{1, 0, -at.Y / l})},
				{"across", f.At[0].Across, both([3]float64{0, 1, at.X / l})},
			} {
				d := math.Abs(q.got - q.want)
				worst = math.Max(worst, d)
				if d > lpTolerance {
					t.Errorf("case %d: %s = %.10g, simplex %.10g", k, q.name, q.got, q.want)
				}
			}
			done++
		})
	}
	if done < nests*5/6 {
		t.Errorf("simplex gave up on %d of %d cases; too few were compared", nests-done, nests)
	}
	t.Logf("%d cases, largest difference %.2g mm", done, worst)
}

// In series, the farthest point is compared with every vertex of the nest's pose
// set joined with a dense walk round the pins' set.
func TestSeriesAgainstWalk(t *testing.T) {
	const steps, relative = 1800, 2e-6
	r := rand.New(rand.NewPCG(5, 5))
	for k := range 40 {
		n := randomNest(r)
		p := PinPair{vec(-20, 60), vec(500, -60+20*r.Float64()), 0.1 * r.Float64(), 0.1 * r.Float64()}
		at := vec(600*r.Float64(), 60*r.Float64()-30)
		got, fp, fn := floatOf(t, []geom.Vec{at}, p, n), floatOf(t, []geom.Vec{at}, p), floatOf(t, []geom.Vec{at}, n)
		poses := must(t, n).(*nestSeat).poses
		e := p.Slot.Sub(p.Round).Unit()
		far := 0.0
		for i := range steps {
			d := geom.Polar(p.RoundClearance/2, 2*math.Pi*float64(i)/steps)
			for _, s := range []float64{-p.SlotClearance / 2, p.SlotClearance / 2} {
				theta := (s - d.Y) / p.Slot.Dist(p.Round)
				m := e.Scale(d.X).Add(e.Left().Scale(d.Y)).Add(at.Sub(p.Round).Left().Scale(theta))
				for _, q := range poses {
					far = math.Max(far, m.Add(q.Motion(at)).Norm())
				}
			}
		}
		m := got.At[0]
		if m.Worst < far*(1-2*WorstTolerance) || m.Worst > far*(1+relative) {
			t.Errorf("case %d: worst %.10g, walk %.10g", k, m.Worst, far)
		}
		if want := fp.At[0].Along + fn.At[0].Along; math.Abs(m.Along-want) > 1e-12 {
			t.Errorf("case %d: along %.12g, sum of both %.12g", k, m.Along, want)
		}
		if want := fp.ThetaMax + fn.ThetaMax; got.ThetaMax != want {
			t.Errorf("case %d: theta %g, sum of both %g", k, got.ThetaMax, want)
		}
	}
}

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

// Push removes what it removes and no more: the reach of a pushed board is what the
// simplex finds under the push.
func TestPushAgainstSimplex(t *testing.T) {
	r := rand.New(rand.NewPCG(44, 4))
	worst, done := 0.0, 0
	cases := 10
	if deep() {
		cases = 60
	}
	for k := range cases {
		n := randomNest(r)
		n.Push = []Wall{n.WallToward(geom.Polar(1, 2*math.Pi*r.Float64()))}
		if k%3 > 0 { // two stops
			for _, w := range []geom.Vec{vec(0, 1), vec(-1, 0)} {
				if o := n.WallToward(w); o != n.Push[0] {
					n.Push = append(n.Push, o)
					break
				}
			}
		}
		s := must(t, n)
		q, ok := newPushed(n)
		if !ok {
			continue
		}
		for range 4 {
			// From one end of the moves to the other: what they are measured from drops out.
			at, dir := vec(800*r.Float64()-100, 60*r.Float64()-30), geom.Polar(1, 2*math.Pi*r.Float64())
			ahead, ok := q.most([3]float64{dir.X, dir.Y, dir.Dot(at.Sub(q.middle).Left()) / q.l})
			back, also := q.most([3]float64{-dir.X, -dir.Y, -dir.Dot(at.Sub(q.middle).Left()) / q.l})
			if !ok || !also {
				continue
			}
			done++
			got, want := s.Reach(at, dir)+s.Reach(at, dir.Scale(-1)), ahead+back
			worst = math.Max(worst, math.Abs(got-want))
			if math.Abs(got-want) > 2*pushTolerance {
				t.Errorf("case %d: push %v reaches %.9g, simplex %.9g", k, n.Push, got, want)
			}
		}
	}
	if done < 3*cases {
		t.Errorf("simplex gave up on %d of %d moves; too few were compared", 4*cases-done, 4*cases)
	}
	t.Logf("%d moves, largest difference %.2g mm", done, worst)
}

// lpRound is the second method for a RoundSet: gonum's simplex over tangents to
// the discs. Where its answer leaves a disc, a tangent is added there, until no
// disc is left by more than gap of its radius. The answer is over the truth;
// drawn in until every hole allows it, it is under the truth. Both are returned,
// low -1 when the simplex gave up.
//
// Reference: Kelley's cutting planes, 1960 (recalled).
func lpRound(s RoundSet, c [3]float64) (low, high float64) {
	const gap, rounds = 1e-11, 300
	// Unknowns du, dv at the middle and theta l.
	middle := centroid(s.Holes)
	l, size := 0.0, math.Inf(1)
	for i, p := range s.Holes {
		l = math.Max(l, p.Dist(middle))
		size = math.Min(size, s.Clearances[i]/2)
	}
	var g, h []float64
	add := func(i int, e geom.Vec) {
		g = append(g, e.X, e.Y, e.Dot(s.Holes[i].Sub(middle).Left())/l)
		h = append(h, s.Clearances[i]/2/size)
	}
	for i := range s.Holes {
		for k := range 4 {
			add(i, geom.Polar(1, math.Pi/2*float64(k)))
		}
	}
	for range rounds {
		cNew, aNew, bNew := lp.Convert([]float64{-c[0], -c[1], -c[2]}, mat.NewDense(len(h), 3, g), h, nil, nil)
		v, x, err := lp.Simplex(cNew, aNew, bNew, 1e-13, nil)
		if err != nil {
			return -1, 0
		}
		// lp.Convert splits each unknown into two that are not negative.
		q := [3]float64{x[0] - x[3], x[1] - x[4], x[2] - x[5]}
		worst := 1.0
		for i, p := range s.Holes {
			move := geom.Vec{X: q[0], Y: q[1]}.Add(p.Sub(middle).Left().Scale(q[2] / l)).Scale(size)
			r := s.Clearances[i] / 2
			if move.Norm() > r*(1+gap) {
				add(i, move.Unit())
			}
			worst = math.Max(worst, move.Norm()/r)
		}
		if worst <= 1+gap {
			return -v * size / worst, -v * size
		}
	}
	return -1, 0
}

func centroid(pts []geom.Vec) (m geom.Vec) {
	for _, p := range pts {
		m = m.Add(p.Scale(1 / float64(len(pts))))
	}
	return m
}

// randomRound returns 2 to 12 pins of special and general patterns.
func randomRound(r *rand.Rand) RoundSet {
	var s RoundSet
	n := 2 + r.IntN(11)
	kind, shared := r.IntN(5), 0.01+0.3*r.Float64()
	length, width := 60+1400*r.Float64(), 20+100*r.Float64()
	for i := range n {
		p := vec(length*r.Float64(), width*(r.Float64()-0.5))
		c := 0.01 + 0.3*r.Float64()
		switch kind {
		case 1: // two even rows, one clearance: many ties
			p, c = vec(length*float64(i/2), width*(float64(i%2)-0.5)), shared
		case 2: // on one line
			p = vec(length*float64(i)/float64(n), 7)
		case 3: // a circle, one clearance
			p, c = geom.Polar(width, 2*math.Pi*float64(i)/float64(n)), shared
		case 4: // clearances that differ by decades
			c = math.Pow(10, -1-4*r.Float64())
		}
		s.Holes, s.Clearances = append(s.Holes, p), append(s.Clearances, c)
	}
	return s
}

func TestRoundSetAgainstSimplex(t *testing.T) {
	// Of the reach: roundTolerance, and as much again for the oracle's rounding.
	const relative = 2 * roundTolerance
	r := rand.New(rand.NewPCG(12, 12))
	var over, under, turned float64
	done := 0
	cases := 4
	if deep() {
		cases = 16
	}
	for k := range cases {
		s := randomRound(r)
		seat := must(t, s)
		middle := centroid(s.Holes)
		at := middle.Add(vec(1800*r.Float64()-900, 100*r.Float64()-50))
		switch k % 7 {
		case 0:
			at = s.Holes[0]
		case 1:
			at = middle
		}
		dir := geom.Polar(1, 2*math.Pi*r.Float64())
		if k%3 == 0 {
			dir = vec(0, 1)
		}
		l := 0.0
		for _, p := range s.Holes {
			l = math.Max(l, p.Dist(middle))
		}
		low, high := lpRound(s, [3]float64{dir.X, dir.Y, dir.Dot(at.Sub(middle).Left()) / l})
		turnLow, turnHigh := lpRound(s, [3]float64{0, 0, 1})
		if low < 0 || turnLow < 0 {
			continue
		}
		done++
		got, turn := seat.Reach(at, dir), seat.Turn()*l
		over, under = math.Max(over, got/high-1), math.Max(under, 1-got/low)
		turned = math.Max(turned, math.Max(turn/turnHigh-1, 1-turn/turnLow))
		if got > high*(1+relative) || got < low*(1-relative) {
			t.Errorf("case %d: reach %.12g, simplex between %.12g and %.12g\n%+v", k, got, low, high, s)
		}
		if turn > turnHigh*(1+relative) || turn < turnLow*(1-relative) {
			t.Errorf("case %d: turn x l %.12g, simplex between %.12g and %.12g\n%+v", k, turn, turnLow, turnHigh, s)
		}
	}
	if done < cases*3/4 {
		t.Errorf("simplex gave up on %d of %d cases; too few were compared", cases-done, cases)
	}
	t.Logf(
		"%d cases; largest relative excess over the simplex %.2g, shortfall under it %.2g, of rotation either way %.2g",
		done, over, under, turned)
}
