package budget

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/montecarlo"
	"reseat/jig/seat"
)

// percent is the part of all seatings that the simulated figures cover.
const percent = 95

// together is how many features a core takes at a time: they share the room for the runs.
const together = 4

// simulate sets what 95 % of all seatings stay within, at every feature.
func (b *Budget) simulate(s Spec, drawn sample) {
	field, runs := drawn.field, b.Trials
	draws := make([]draw, runs)
	for k := range draws {
		z := geom.Vec{X: drawn.normal[0].Normal(k), Y: drawn.normal[1].Normal(k)}
		far := math.Sqrt(dot(z, z)) // the quantiles of the runs leave out zero
		draws[k] = draw{z.Scale(1 / far), far}
	}
	montecarlo.Parallel(len(b.Features), together, func(from, to int) {
		c := newCloud(draws)
		for i := range b.Features[from:to] {
			f := &b.Features[from+i]
			bow := f.At.X * f.At.X
			c.normal = s.normal(f.At)
			for k := range runs {
				c.x[k] = field[0][k] + float64(field[2][k]*f.At.X) + float64(field[3][k]*f.At.Y)
				c.y[k] = field[1][k] + float64(field[4][k]*f.At.X) + float64(field[5][k]*f.At.Y) + float64(field[6][k]*bow)
			}
			f.P95MM, f.P95AlongMM, f.P95AcrossMM = c.percentiles()
		}
	})
}

// moments are the mean of a play's poses and the mean of their products, in the order
// du, dv (mm), theta (rad).
type moments struct {
	mean    [3]float64
	product [3][3]float64
}

func momentsOf(poses []seat.Pose) (m moments) {
	share := 1 / float64(len(poses))
	for _, q := range poses {
		x := [3]float64{q.DU, q.DV, q.Theta}
		for i := range x {
			m.mean[i] += float64(share * x[i])
			for j := range x {
				m.product[i][j] += float64(share * x[i] * x[j])
			}
		}
	}
	return m
}

// along returns mean and variance of one coordinate of the move of the point at.
func (m moments) along(axis, at geom.Vec) (mean, variance float64) {
	// The coordinate is c . pose, as in seat.Pose.Motion.
	c := [3]float64{axis.X, axis.Y, at.Cross(axis)}
	for i := range c {
		mean += float64(c[i] * m.mean[i])
		for j := range c {
			variance += float64(c[i] * c[j] * m.product[i][j])
		}
	}
	return mean, math.Max(0, variance-float64(mean*mean))
}
