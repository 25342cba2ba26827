package geom

import "math"

// LeastEdgeMM is the shortest edge that is cut: shorter ones are strays to the programs that
// read a cut file.
const LeastEdgeMM = leastEdgeMM

// meetNearMM is how far off a stray its neighbours may meet that go on in its place, and
// strayMM the length below which a stray is left out even where they do not. Practice.
const meetNearMM, strayMM = 1.0, LeastEdgeMM / 2

// WithoutShort returns the contour without edges shorter than LeastEdgeMM: the edges beside
// such a one go on, straight or on their circles, to where they meet. Where they do not meet
// near it, it stays, or they go to its middle when it is shorter than half of that.
func (l Loop) WithoutShort() Loop {
	for i := 0; i < len(l) && len(l) > 3; i++ {
		short := l.Edge(i)
		if short.Length() >= LeastEdgeMM {
			continue
		}
		n := len(l)
		before, after := (i+n-1)%n, (i+1)%n
		a, b := l.Edge(before), l.Edge(after)
		middle := short.P.Lerp(short.Q, 0.5)
		at, off := middle, meetNearMM
		for _, p := range carriersMeet(a, b) {
			if d := p.Dist(middle); d < off {
				at, off = p, d
			}
		}
		if off == meetNearMM && short.Length() >= strayMM {
			continue
		}
		out := append(Loop{}, l...)
		out[before].Bulge = a.bulgeBetween(a.P, at)
		out[after] = Vertex{at, b.bulgeBetween(at, b.Q)}
		l = append(out[:i], out[i+1:]...)
		i = -1
	}
	return l
}

// bulgeBetween is the bulge of the edge's arc between other ends on its circle; 0 of a straight one.
func (e Edge) bulgeBetween(p, q Vec) float64 {
	if !e.IsArc() {
		return 0
	}
	a := e.Arc()
	u, v := p.Sub(a.C), q.Sub(a.C)
	turn := math.Atan2(u.Cross(v), u.Dot(v))
	if math.Abs(turn-a.Sweep) > math.Pi {
		turn += math.Copysign(2*math.Pi, a.Sweep)
	}
	return math.Tan(turn / 4)
}
