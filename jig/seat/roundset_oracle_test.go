package seat

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"reseat/jig/geom"
)

// lpRound is the second method for a RoundSet: gonum's simplex over tangents to
// the discs. Where its answer leaves a disc, a tangent is added there, until no
// disc is left by more than gap of its radius. The answer is over the truth;
// drawn in until every hole allows it, it is under the truth. Both are returned,
// low -1 when the simplex gave up.
//
// Reference: Kelley's cutting planes, 1960 (recalled, not seen).
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
	// Of the reach: RoundTolerance, and as much again for the oracle's rounding.
	const relative = 2 * RoundTolerance
	r := rand.New(rand.NewPCG(12, 12))
	var over, under, turned float64
	done := 0
	const cases = 24
	for k := range cases {
		s := randomRound(r)
		seat, err := s.Seat()
		if err != nil {
			t.Fatal(err)
		}
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
			dir = acrossV
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
	t.Logf("%d cases; largest relative excess over the simplex %.2g, shortfall under it %.2g, of rotation either way %.2g", done, over, under, turned)
}
