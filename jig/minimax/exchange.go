package minimax

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// Pin is a pin's hole and how a turn carries the pin.
type Pin struct {
	Arm  geom.Vec // move per unit of turn; zero for every pin when only shifts count
	Dir  geom.Vec // unit direction of the slot
	Half float64  // half the length of its track, mm; 0: a round hole
}

// off returns the vector from the nearest point of the track to the pin at q.
func (p *Pin) off(q geom.Vec) geom.Vec {
	if p.Half == 0 {
		return q
	}
	return q.Sub(p.Dir.Scale(max(-p.Half, min(p.Half, q.Dot(p.Dir)))))
}

// Cut is the linear bound that a unit normal n gives at one pin:
//
//	distance >= n . off + Row . x - Support
type Cut struct {
	Pin     int
	Row     r3.Vec  // n, and n . arm for the turn
	Support float64 // largest n . y over the track
}

// NewCut returns the cut of the unit normal n at a pin.
func NewCut(pins []Pin, pin int, n geom.Vec) Cut {
	p := &pins[pin]
	return Cut{pin, r3.Vec{X: n.X, Y: n.Y, Z: n.Dot(p.Arm)}, math.Abs(n.Dot(p.Dir)) * p.Half}
}

// noTurn stands in a basis for a turn that nothing asks for.
var noTurn = Cut{Pin: -1, Row: r3.Vec{Z: 1}}

// Basis is four cuts that balance.
type Basis struct {
	Cuts    [4]Cut
	Weights [4]float64
	Rest    float64 // what rounding leaves of the balance

	inv [3]r3.Vec // columns of the inverse of the rows less the last one
	ok  bool      // the rows span the space
}

// NewBasis balances four cuts, or three of moves without turn.
func NewBasis(cuts ...Cut) Basis {
	b := Basis{Cuts: [4]Cut{3: noTurn}}
	copy(b.Cuts[:], cuts)
	b.balance()
	return b
}

// balance sets inverse, weights and rest. With D_j = row_j - row_4,
//
//	sum_j<4 w_j D_j = -row_4
func (b *Basis) balance() {
	r := b.Cuts[3].Row
	d0, d1, d2 := r3.Sub(b.Cuts[0].Row, r), r3.Sub(b.Cuts[1].Row, r), r3.Sub(b.Cuts[2].Row, r)
	c0 := r3.Cross(d1, d2)
	det := r3.Dot(d0, c0)
	b.ok = math.Abs(det) > leastVolume
	if !b.ok {
		return
	}
	k := 1 / det
	b.inv = [3]r3.Vec{r3.Scale(k, c0), r3.Scale(k, r3.Cross(d2, d0)), r3.Scale(k, r3.Cross(d0, d1))}
	w := [4]float64{-r3.Dot(r, b.inv[0]), -r3.Dot(r, b.inv[1]), -r3.Dot(r, b.inv[2])}
	w[3] = 1 - w[0] - w[1] - w[2]
	sum := 0.0
	for j := range w {
		w[j] = max(0, w[j]) // a pivot keeps them so; rounding may not
		sum += w[j]
	}
	var rest r3.Vec
	for j := range w {
		w[j] /= sum
		rest = r3.Add(rest, r3.Scale(w[j], b.Cuts[j].Row))
	}
	b.Weights, b.Rest = w, math.Abs(rest.X)+math.Abs(rest.Y)+math.Abs(rest.Z)
}

// meet returns the move at which the cuts of the bounds g meet.
func (b *Basis) meet(g [4]float64) (x r3.Vec) {
	for j := range b.inv {
		x = r3.Add(x, r3.Scale(g[3]-g[j], b.inv[j]))
	}
	return x
}

// leastVolume is the determinant of four rows (of size 1) at which they count as
// lying in a plane. It only keeps the inverse finite: nearly equal normals of one
// pin, which an exchange ends with, give a small volume that is right all the same,
// and where it is not, Rest says so.
const leastVolume = 1e-30

// enter puts f in the place of the cut that lets the weights stay positive.
func (b *Basis) enter(f Cut) bool {
	d := r3.Sub(f.Row, b.Cuts[3].Row)
	y := [4]float64{r3.Dot(d, b.inv[0]), r3.Dot(d, b.inv[1]), r3.Dot(d, b.inv[2]), 0}
	y[3] = 1 - y[0] - y[1] - y[2]
	leave, least := -1, math.Inf(1)
	for j, y := range y {
		if y > leastShare && b.Weights[j] < least*y && b.Cuts[j].Pin >= 0 {
			leave, least = j, b.Weights[j]/y
		}
	}
	if leave < 0 {
		return false
	}
	b.Cuts[leave] = f
	b.balance()
	return true
}

// leastShare is the share of a cut in a row below which it is rounding: at
// zero, the cut must not leave.
const leastShare = 1e-12

// Problem is pins that stand off their holes.
type Problem struct {
	Pins []Pin
	Off  []geom.Vec // from the middle of each hole to its pin, mm
	Room []float64  // how far each pin may be off its track, mm
	// Reach is the largest move worth considering, mm.
	Reach float64
	// Enough ends the search at a move whose worst pin is off by less, mm, Gap when
	// the bounds are no farther apart.
	Enough, Gap float64
}

// Bounds enclose s*: Low <= s* <= High, in mm.
type Bounds struct{ Low, High float64 }

// exchangeLimit ends an exchange that rounding keeps from closing its gap; the
// bounds hold all the same.
const exchangeLimit = 100

// Solve narrows the bounds of s*, from known ones. It starts from the cuts of b and
// leaves there those of the best lower bound found; b is left alone when none is
// better than the one known.
func (p *Problem) Solve(b *Basis, known Bounds) Bounds {
	s, best := known, *b
	for range exchangeLimit {
		if !b.ok {
			break
		}
		var g [4]float64
		bound := -b.Rest * p.Reach
		for j := range b.Cuts {
			if f := &b.Cuts[j]; f.Pin >= 0 {
				e := p.Off[f.Pin]
				g[j] = f.Row.X*e.X + f.Row.Y*e.Y - f.Support - p.Room[f.Pin]
				bound += b.Weights[j] * g[j]
			}
		}
		x := b.meet(g)
		if bound >= s.Low {
			s.Low, best = bound, *b
		}
		worst, pin, v, d := p.Worst(x)
		s.High = min(s.High, worst)
		if s.High-s.Low <= p.Gap || s.High < p.Enough || d == 0 || !b.enter(NewCut(p.Pins, pin, v.Scale(1/d))) {
			break
		}
	}
	*b = best
	s.Low = min(s.Low, s.High)
	return s
}

// Worst returns by how much the pin that is worst off at the move x is off, which
// pin that is, and its offset from its track as a vector and a length.
func (p *Problem) Worst(x r3.Vec) (worst float64, pin int, v geom.Vec, d float64) {
	worst = math.Inf(-1)
	for i := range p.Pins {
		o := p.offset(i, x)
		l := math.Sqrt(o.X*o.X + o.Y*o.Y)
		if h := l - p.Room[i]; h > worst {
			worst, pin, v, d = h, i, o, l
		}
	}
	return worst, pin, v, d
}

// offset returns the vector from a pin's track to the pin at the move x.
func (p *Problem) offset(pin int, x r3.Vec) geom.Vec {
	k, e := &p.Pins[pin], p.Off[pin]
	return k.off(geom.Vec{X: e.X + x.X + x.Z*k.Arm.X, Y: e.Y + x.Y + x.Z*k.Arm.Y})
}
