package seat

import (
	"math"

	"reseat/jig/geom"
)

// PinPair is a board or plate on two locating pins: one in a round hole, one in
// a slot that lies along the line between them.
type PinPair struct {
	Round, Slot    geom.Vec // hole centres
	RoundClearance float64  // largest hole less smallest pin, on the diameter, mm
	SlotClearance  float64  // largest slot width less smallest pin, mm
}

// leastBaselineMM is the least distance between two locating pins: below a
// micrometre the direction between them is rounding, not geometry.
const leastBaselineMM = 1e-3

// pinSeat is the pose set of a PinPair in its own coordinates: (a, b) is the
// move at the round pin along and across the pin line, s the move across at the
// slot.
//
//	a^2 + b^2 <= r^2,  |s| <= t,  theta = (s - b)/L
type pinSeat struct {
	round, along geom.Vec // along: unit vector from round to slot
	l, r, t      float64
}

// Seat checks p and returns its support. Errors: *InputError, *BaselineError.
func (p PinPair) Seat() (Seat, error) { return p.seat() }

func (p PinPair) seat() (*pinSeat, error) {
	for _, c := range []struct {
		what string
		got  float64
	}{{"clearance of the round hole (mm)", p.RoundClearance}, {"clearance of the slot (mm)", p.SlotClearance}} {
		if !finite(c.got) || c.got < 0 {
			return nil, &InputError{c.what, c.got, "zero or more"}
		}
	}
	if err := checkPoints("locating pin", []geom.Vec{p.Round, p.Slot}); err != nil {
		return nil, err
	}
	d := p.Slot.Sub(p.Round)
	l := d.Norm()
	if l < leastBaselineMM {
		return nil, &BaselineError{l, leastBaselineMM}
	}
	return &pinSeat{p.Round, d.Scale(1 / l), l, p.RoundClearance / 2, p.SlotClearance / 2}, nil
}

// Float returns the float of a board on the pair at the given features. It is
// exact for the linearised pose. Errors: *InputError, *BaselineError.
//
//	theta max = (round clearance + slot clearance) / (2 L)
func (p PinPair) Float(features []geom.Vec) (Float, error) {
	s, err := p.seat()
	if err != nil {
		return Float{}, err
	}
	if err := checkPoints("feature", features); err != nil {
		return Float{}, err
	}
	f := Float{ThetaMax: s.Turn(), At: make([]Motion, len(features))}
	for i, at := range features {
		f.At[i] = Motion{s.Reach(at, alongU), s.Reach(at, acrossV), s.worst(at)}
	}
	return f, nil
}

var (
	alongU  = geom.Vec{X: 1}
	acrossV = geom.Vec{Y: 1}
)

func (s *pinSeat) Turn() float64 { return (s.r + s.t) / s.l }
func (s *pinSeat) Rest() Pose    { return Pose{} }

// local returns p in the pin line's coordinates, origin at the round pin.
func (s *pinSeat) local(p geom.Vec) (x, y float64) {
	d := p.Sub(s.round)
	return d.Dot(s.along), s.along.Cross(d)
}

// Reach is linear in (a, b, s), so its largest value over disc and interval is
//
//	r hypot(coefficient of a, of b) + t |coefficient of s|
func (s *pinSeat) Reach(at, dir geom.Vec) float64 {
	x, y := s.local(at)
	dx, dy := dir.Dot(s.along), s.along.Cross(dir)
	cs := (dy*x - dx*y) / s.l
	return s.r*math.Hypot(dx, dy-cs) + s.t*math.Abs(cs)
}

// Place is linear in (a, b, s), so disc and interval are filled uniformly each.
func (s *pinSeat) Place(u [3]float64) Pose {
	sin, cos := math.Sincos(2 * math.Pi * unit(u[1]))
	r := s.r * math.Sqrt(unit(u[0]))
	b := r * sin
	move := s.along.Scale(r * cos).Add(s.along.Left().Scale(b))
	theta := (s.t*(2*unit(u[2])-1) - b) / s.l
	return Pose{move.X + theta*s.round.Y, move.Y - theta*s.round.X, theta}
}

// worst is the largest |M p + w| over the disc |p| <= r, where w is the move at
// the slot's limit. The set is symmetric, so one limit of the slot is enough.
//
//	M = | 1    y/L   |    w = t (-y/L, x/L)
//	    | 0  1 - x/L |
func (s *pinSeat) worst(at geom.Vec) float64 {
	x, y := s.local(at)
	q, e := y/s.l, 1-x/s.l
	w := geom.Vec{X: -s.t * q, Y: s.t * (1 - e)}
	// K = M'M and g = M'w of the quadratic p'Kp + 2 g'p + w'w.
	return math.Sqrt(largestOnDisc(1, q, q*q+e*e, geom.Vec{X: w.X, Y: q*w.X + e*w.Y}, s.r) + w.Dot(w))
}

// largestOnDisc returns the largest p'Kp + 2 g'p over |p| <= r for the positive
// semidefinite K = (k11 k12; k12 k22).
//
// The maximum lies on the rim and solves (mu I - K) p = g with mu at least the
// larger eigenvalue; mu is the root of |p(mu)| = r, which falls monotonely.
// Reference: the trust-region subproblem, Nocedal and Wright, Numerical
// Optimization, section 4.3 (recalled, not seen).
func largestOnDisc(k11, k12, k22 float64, g geom.Vec, r float64) float64 {
	// Principal axes: K = k1 e e' + k2 n n', k1 >= k2.
	phi := math.Atan2(2*k12, k11-k22) / 2
	e := geom.Polar(1, phi)
	mid, half := (k11+k22)/2, math.Hypot((k11-k22)/2, k12)
	k1, k2 := mid+half, mid-half
	g1, g2 := math.Abs(g.Dot(e)), math.Abs(g.Dot(e.Left()))
	value := func(p1, p2 float64) float64 { return k1*p1*p1 + k2*p2*p2 + 2*(g1*p1+g2*p2) }

	norm := math.Hypot(g1, g2)
	if norm == 0 || r < leastRadiusMM {
		return k1*r*r + 2*norm*r
	}
	// At mu = k1 + h the step along the strong axis is g1/h.
	step := func(h float64) (p1, p2 float64) {
		if g1 > 0 {
			p1 = g1 / h
		}
		if g2 > 0 {
			p2 = g2 / (h + (k1 - k2)) // h may vanish beside k1
		}
		return p1, p2
	}
	lo, hi := g1/r, norm/r
	if lo == 0 {
		// No pull along the strong axis: either the weak one alone reaches the
		// rim, or the rest of the radius is spent on the strong axis.
		if g2 > r*(k1-k2) {
			return value(0, r)
		}
		p2 := g2 / (k1 - k2)
		return value(math.Sqrt(math.Max(0, r*r-p2*p2)), p2)
	}
	// The bracket may span many decades, so it is halved on a logarithmic scale.
	for range bisections {
		h := math.Sqrt(lo) * math.Sqrt(hi)
		if math.Hypot(step(h)) > r {
			lo = h
		} else {
			hi = h
		}
	}
	p1, p2 := step(hi)
	// Back onto the rim along p: the value is stationary there, so the rounding
	// of the root enters squared.
	k := r / math.Hypot(p1, p2)
	return value(k*p1, k*p2)
}

// leastRadiusMM is the radius below which the disc counts as a point with a pull
// along g: the value is then too large by less than k1 r^2, 1e-24 mm2.
const leastRadiusMM = 1e-12

// bisections halve the logarithm of a bracket: even one over all of float64
// (1400 in natural units) ends below the last bit of the mantissa, 2^-52.
const bisections = 64
