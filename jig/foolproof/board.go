package foolproof

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// Lack returns by how much every wall of a window must stand farther out before a board
// turned the wrong way goes in, over every shift and small rotation, mm: positive when
// it does not go in, otherwise less what it has to spare at every wall. Window is
// convex and counter-clockwise, without its corner reliefs; board is a convex
// counter-clockwise contour as it lies when it is right. Rotations are linear, as for a
// pose: a board turned by theta comes out longer by length theta^2/2 at most, which is
// below a micrometre for what a window allows. In whole millionths.
//
// At a rotation theta the board, turned about its middle, reaches h(theta) beyond a wall
// with the outward normal n. Of all shifts d the least worst reach s is that of a linear
// programme of two variables,
//
//	h_i(theta) + n_i . d <= s for every wall i,
//
// and by duality the largest mean of three walls whose normals are in balance, weighted
// so. The weights do not hang on theta, and each h is convex: so is their largest mean.
func Lack(window []geom.Vec, board geom.Loop, t Misplacement) float64 {
	var walls []wall
	middle := board.Bounds().Center()
	discs := turnedDiscs(board, middle, t)
	for i, p := range window {
		n := window[(i+1)%len(window)].Sub(p).Unit().Left().Scale(-1)
		walls = append(walls, wall{n, n.Dot(p.Sub(middle)), discs})
	}
	means := balances(walls)
	worst := func(theta float64) float64 {
		reach := make([]float64, len(walls))
		for i, w := range walls {
			reach[i] = w.reach(theta)
		}
		least := math.Inf(-1)
		for _, m := range means {
			sum := 0.0
			for k, i := range m.walls {
				sum += float64(m.weights[k] * reach[i])
			}
			least = math.Max(least, sum)
		}
		return least
	}
	return units.Round(leastConvex(worst, -mostTilt, mostTilt), 6)
}

// disc is what a convex contour is the hull of: a corner, or the circle of a rounding.
type disc struct {
	at     geom.Vec // from the board's middle
	radius float64
}

// turnedDiscs are the board's corners and roundings about its middle, turned.
func turnedDiscs(board geom.Loop, middle geom.Vec, t Misplacement) []disc {
	var out []disc
	turn := map[Misplacement]geom.Vec{HalfTurn: {X: -1, Y: -1}, FlipLong: {X: 1, Y: -1}, FlipShort: {X: -1, Y: 1}}[t]
	add := func(p geom.Vec, r float64) {
		p = p.Sub(middle)
		out = append(out, disc{geom.Vec{X: turn.X * p.X, Y: turn.Y * p.Y}, r})
	}
	for i := range board {
		e := board.Edge(i)
		add(e.P, 0)
		if e.IsArc() {
			a := e.Arc()
			add(a.C, a.R)
		}
	}
	return out
}

// wall is a straight wall of the window, and the board that it holds in.
type wall struct {
	out   geom.Vec // unit normal
	stand float64  // of the wall along it, from the board's middle, mm
	board []disc
}

// reach is how far the board turned by theta stands beyond the wall.
func (w wall) reach(theta float64) float64 {
	far := math.Inf(-1)
	for _, d := range w.board {
		far = math.Max(far, w.out.Dot(d.at.Add(d.at.Left().Scale(theta)))+d.radius)
	}
	return far - w.stand
}

// balance is three walls whose normals add up to nothing, weighted so that the weights
// add up to one.
type balance struct {
	walls   [3]int
	weights [3]float64
}

// balances lists every balance of three walls. Two that face each other come up with any
// third, which then weighs nothing.
func balances(walls []wall) []balance {
	var out []balance
	for i := range walls {
		for j := range i {
			for k := range j {
				a, b, c := walls[i].out, walls[j].out, walls[k].out
				w := [3]float64{b.Cross(c), c.Cross(a), a.Cross(b)}
				if sum := w[0] + w[1] + w[2]; math.Abs(sum) > parallel {
					for n := range w {
						w[n] /= sum
					}
					if math.Min(w[0], math.Min(w[1], w[2])) > -parallel {
						out = append(out, balance{[3]int{i, j, k}, w})
					}
				}
			}
		}
	}
	return out
}

// parallel is the sine below which walls are parallel: rounding of unit vectors, with
// decades to spare.
const parallel = 1e-9

// mostTilt is the largest rotation of a board in its window that is looked at, radians:
// far more than any that a wall beside a board allows.
const mostTilt = 0.5

// leastConvex returns the least value of the convex f between lo and hi, by golden
// section: where f is flat any value serves.
func leastConvex(f func(float64) float64, lo, hi float64) float64 {
	const ratio = 0.6180339887498949 // (sqrt 5 - 1) / 2
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := f(a), f(b)
	for range tiltSteps {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = f(b)
		}
	}
	return math.Min(fa, fb)
}

// tiltSteps narrow one radian to 4e-11, at which a board of three metres moves by 1e-7 mm.
const tiltSteps = 50
