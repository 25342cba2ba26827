package seat

import (
	"math"

	"reseat/jig/geom"
)

// RoundTolerance is the largest relative excess of a RoundSet's Reach over the
// truth: of a float of a tenth of a millimetre a ten thousandth of a nanometre.
const RoundTolerance = 1e-9

// Reach cuts the pose set into slices of equal theta. In a slice, the point at
// moves within discs, one per hole (q = hole - at, turned right):
//
//	|z - theta right(q_i)| <= r_i
//
// One or two of them stop it. Their forces f on the plate, in balance with a unit
// pull along dir, bound the move in every other slice as well (virtual work):
//
//	dir.z <= sum(r_i |f_i|) + theta sum(f_i . right(q_i))
//
// The lowest such lines from both sides of the best slice meet at a bound that
// is never under the truth; the move in a slice is never over it.
func (s *roundSeat) Reach(at, dir geom.Vec) float64 {
	if s.pivot >= 0 {
		arm := at.Sub(s.holes[s.pivot])
		return s.r[s.pivot] + s.turn*math.Abs(arm.Left().Dot(dir))
	}
	var d slices12
	d.lay(s, at, dir)
	low, best, _ := d.slice(0)
	if low.slope < 0 { // the better slices are at negative theta
		d.mirror()
		low.slope = -low.slope
	}
	lo, hi := 0.0, s.turn
	var high line
	closed := false // high bounds from the other side
	bound := low.at(hi)
	for k := 0; k < mostSlices && bound-best > RoundTolerance*bound; k++ {
		theta := s.turn
		if k > 0 {
			theta = s.next(k, lo, hi, low, high, closed)
		}
		l, move, ok := d.slice(theta)
		if ok {
			best = math.Max(best, move)
		}
		if !ok || l.at(theta) > move*(1+RoundTolerance) {
			// The last slices before the largest turn shrink to a point, and the
			// forces in them grow beyond measure.
			hi = theta
			continue
		}
		if l.slope >= 0 {
			lo, low = theta, l
		} else {
			hi, high, closed = theta, l, true
		}
		bound = low.at(s.turn)
		if closed {
			bound = (low.slope*high.base - high.slope*low.base) / (low.slope - high.slope)
		}
	}
	return bound
}

// next chooses the slice to look at between lo and hi, by turns: where the lines
// meet, which ends the search at a kink; where the slopes, taken over phi in
// theta = turn sin(phi), would cross zero; and halfway in phi. Near the largest
// turn the moves change with the root of what is left of it; over phi they are
// smooth.
func (s *roundSeat) next(k int, lo, hi float64, low, high line, closed bool) float64 {
	theta := math.NaN()
	a, b := math.Asin(lo/s.turn), math.Asin(hi/s.turn)
	switch {
	case closed && k%3 == 1:
		theta = (high.base - low.base) / (low.slope - high.slope)
	case closed && k%3 == 2:
		x, y := low.slope*math.Cos(a), high.slope*math.Cos(b)
		theta = s.turn * math.Sin(a+(b-a)*x/(x-y))
	}
	if theta > lo && theta < hi {
		return theta
	}
	return s.turn * math.Sin(a+(b-a)/2)
}

// mostSlices ends the search; halving the range alone brings it below the last
// bit of theta in 52 steps.
const mostSlices = 100

// line bounds the move in the slice theta by base + slope theta.
type line struct{ base, slope float64 }

func (l line) at(theta float64) float64 { return l.base + l.slope*theta }

// slices12 holds the discs of every slice in the frame of the direction asked
// for: x along it. The disc of hole i has its centre at theta (x, y).
type slices12 struct {
	n       int
	x, y, r [mostRound]float64
	span    float64 // no move in any slice is larger, mm
}

func (d *slices12) lay(s *roundSeat, at, dir geom.Vec) {
	d.n = len(s.holes)
	d.span = math.Inf(1)
	for i, p := range s.holes {
		q := p.Sub(at)
		right := geom.Vec{X: q.Y, Y: -q.X}
		d.x[i], d.y[i], d.r[i] = right.Dot(dir), dir.Cross(right), s.r[i]
		d.span = math.Min(d.span, s.r[i]+s.turn*q.Norm())
	}
}

func (d *slices12) mirror() {
	for i := range d.n {
		d.x[i], d.y[i] = -d.x[i], -d.y[i]
	}
}

// stop is where the move in a slice ends: at disc i alone (j = i) or at the
// corner of two.
type stop struct {
	i, j int
	x, y float64
}

// withinDisc, times a disc's radius and the distance of its centre, is how far
// outside a point may lie and count as inside: some tens of roundings.
const withinDisc = 1e-14

// slice returns the line of the discs that stop the move at theta, and the move;
// ok tells that the point lies in every disc.
//
// Start with the disc that ends first, add the disc that the point violates most,
// keep of three discs the two that stop it earliest.
func (d *slices12) slice(theta float64) (l line, move float64, ok bool) {
	var at stop
	at.x = math.Inf(1)
	for i := range d.n {
		if x := theta*d.x[i] + d.r[i]; x < at.x {
			at = stop{i, i, x, theta * d.y[i]}
		}
	}
	for range 4 * mostRound {
		worst, k := 0.0, -1
		for i := range d.n {
			x, y, r := theta*d.x[i], theta*d.y[i], d.r[i]
			out := math.Hypot(at.x-x, at.y-y) - r
			if out > withinDisc*(r+math.Abs(x)+math.Abs(y)) && out > worst*r && i != at.i && i != at.j {
				worst, k = out/r, i
			}
		}
		if k < 0 {
			ok = true
			break
		}
		next, meet := d.pair(theta, at.i, k)
		if at.j != at.i {
			other, also := d.pair(theta, at.j, k)
			if meet = meet && also; other.x < next.x {
				next = other
			}
		}
		if !meet {
			break
		}
		at = next
	}
	return d.balance(theta, at), at.x, ok
}

// pair returns the farthest point of discs i and k; false when they do not meet.
func (d *slices12) pair(theta float64, i, k int) (stop, bool) {
	xi, yi, ri := theta*d.x[i], theta*d.y[i], d.r[i]
	xk, yk, rk := theta*d.x[k], theta*d.y[k], d.r[k]
	dx, dy := xk-xi, yk-yi
	if math.Hypot(dx+rk, dy) <= ri {
		return stop{k, k, xk + rk, yk}, true
	}
	if math.Hypot(ri-dx, dy) <= rk {
		return stop{i, i, xi + ri, yi}, true
	}
	c := math.Hypot(dx, dy)
	if c >= ri+rk {
		return stop{}, false
	}
	dx, dy = dx/c, dy/c
	a := (c*c + (ri-rk)*(ri+rk)) / (2 * c)
	h := math.Sqrt(math.Max(0, (ri-a)*(ri+a)))
	return stop{i, k, xi + a*dx + h*math.Abs(dy), yi + a*dy - math.Copysign(h, dy)*dx}, true
}

// balanceEps, times forces and moves, covers the rounding of the balance: a few
// units in the last place of a float64.
const balanceEps = 1e-15

// balance returns the line of the forces at the stop: along the radii, in sum a
// unit along x.
func (d *slices12) balance(theta float64, at stop) line {
	i, j := at.i, at.j
	if i != j {
		ix, iy := (at.x-theta*d.x[i])/d.r[i], (at.y-theta*d.y[i])/d.r[i]
		jx, jy := (at.x-theta*d.x[j])/d.r[j], (at.y-theta*d.y[j])/d.r[j]
		across := ix*jy - iy*jx
		a, b := jy/across, -iy/across
		fa, fb := math.Abs(a)*math.Hypot(ix, iy), math.Abs(b)*math.Hypot(jx, jy)
		l := line{
			base:  fa*d.r[i] + fb*d.r[j] + balanceEps*(fa+fb)*d.span,
			slope: a*(ix*d.x[i]+iy*d.y[i]) + b*(jx*d.x[j]+jy*d.y[j]),
		}
		if across != 0 && !math.IsInf(l.base, 0) && !math.IsInf(l.slope, 0) {
			return l
		}
		// The radii face each other: take the nearer end alone, which is a bound too.
		if theta*d.x[j]+d.r[j] < theta*d.x[i]+d.r[i] {
			i = j
		}
	}
	return line{d.r[i], d.x[i]}
}
