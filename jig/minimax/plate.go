package minimax

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// Plate is a pattern of pins. Its moves turn about the middle between the two pins
// farthest apart, and a unit of turn is one millimetre there.
type Plate struct {
	Pins   []Pin // round holes, until slots are set
	middle geom.Vec
	span   float64 // half the distance of the two, mm
	A, B   int     // these two
}

// leastSpanMM is the least distance between the two pins farthest apart: below a
// micrometre the direction between them is rounding, not geometry.
const leastSpanMM = 1e-3

// NewPlate returns a plate with pins at the given places. It returns an error when
// all lie in one place.
func NewPlate(places []geom.Vec) (Plate, error) {
	p, far := Plate{}, 0.0
	for i := range places {
		for k := range i {
			if d := places[k].Dist(places[i]); d > far*(1+1e-9) { // by more than rounding
				far, p.A, p.B = d, k, i
			}
		}
	}
	if !(far >= leastSpanMM) {
		return p, fmt.Errorf("the two pins farthest apart stand %.4g mm apart; want at least %g mm", far, leastSpanMM)
	}
	p.middle, p.span = places[p.A].Lerp(places[p.B], 0.5), far/2
	for _, at := range places {
		p.Pins = append(p.Pins, Pin{Arm: p.arm(at)})
	}
	return p, nil
}

func (p *Plate) arm(at geom.Vec) geom.Vec { return at.Sub(p.middle).Scale(1 / p.span).Left() }

// Balanced balances the two farthest pins against each other: with e the direction
// from A to B and m across it, four normals, each with a quarter of the weight,
// cancel in force and in turning.
//
//	A: -e + m, -e - m    B: e + m, e - m    all over sqrt 2
func (p *Plate) Balanced() Basis {
	e := p.Pins[p.B].Arm.Left().Scale(-1).Unit() // an arm is the place turned left
	m := e.Left()
	cut := func(pin int, n geom.Vec) Cut { return NewCut(p.Pins, pin, n.Unit()) }
	return NewBasis(cut(p.A, m.Sub(e)), cut(p.A, m.Add(e).Scale(-1)), cut(p.B, e.Add(m)), cut(p.B, e.Sub(m)))
}

// MostMove returns the largest move of the point at along the unit vector dir that
// leaves every pin in its room, more than nothing each. It is never under the truth,
// and over it by a share tol at most.
func (p *Plate) MostMove(room []float64, at, dir geom.Vec, tol float64) float64 {
	return p.most(room, r3.Vec{X: dir.X, Y: dir.Y, Z: dir.Dot(p.arm(at))}, tol)
}

// MostTurn is the like for the turn, in radians.
func (p *Plate) MostTurn(room []float64, tol float64) float64 {
	return p.most(room, r3.Vec{Z: 1}, tol) / p.span
}

// most returns the largest c . x. In a basis with the row -c as one of four, the rows
// of the other three are in balance with c, and prove
//
//	c . x <= sum w_j (support_j + room_j) / w
//
// The cuts meet at a move; drawn in until every pin has room, it is a bound from
// below, and the tangent at its worst pin enters.
func (p *Plate) most(room []float64, c r3.Vec, tol float64) float64 {
	b := p.Balanced()
	aim := -1
	b.enter(Cut{Pin: aim, Row: r3.Scale(-1, c)})
	problem := Problem{Pins: p.Pins, Off: make([]geom.Vec, len(room)), Room: room}
	reach := 2 * (room[p.A] + room[p.B] + p.Pins[p.A].Half + p.Pins[p.B].Half)
	bound, best := math.Inf(1), 0.0
	for range exchangeLimit {
		var g [4]float64
		most, w, last := b.Rest*reach, 0.0, 0
		for j, f := range b.Cuts {
			if f.Pin == aim {
				w, last = b.Weights[j], j
				continue
			}
			g[j] = -f.Support - room[f.Pin]
			most -= b.Weights[j] * g[j]
		}
		g[last] = most / w
		bound = min(bound, g[last])
		x := b.meet(g)
		_, pin, v, d := problem.Worst(x)
		inside := 1.0
		for i := range p.Pins {
			inside = min(inside, room[i]/problem.offset(i, x).Norm())
		}
		best = max(best, inside*r3.Dot(c, x))
		if bound-best <= tol*bound || !b.ok || !b.enter(NewCut(p.Pins, pin, v.Scale(1/d))) {
			break
		}
	}
	return bound
}
