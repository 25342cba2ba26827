package budget

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/montecarlo"
	"reseat/jig/seat"
)

// percent is the part of all seatings that the simulated figures cover.
const percent = 95

// simulate sets what 95 % of all seatings stay within, at every feature.
func (b *Budget) simulate(field [numbers][]float64) {
	runs := len(field[0])
	montecarlo.Parallel(len(b.Features), 1, func(i, _ int) {
		f := &b.Features[i]
		// The square of the distance, |along| and |across| of every run.
		distance, along, across := make([]float64, runs), make([]float64, runs), make([]float64, runs)
		bow := f.At.X * f.At.X
		for k := range runs {
			x := field[0][k] + float64(field[2][k]*f.At.X) + float64(field[3][k]*f.At.Y)
			y := field[1][k] + float64(field[4][k]*f.At.X) + float64(field[5][k]*f.At.Y) +
				float64(field[6][k]*bow)
			distance[k], along[k], across[k] = float64(x*x)+float64(y*y), math.Abs(x), math.Abs(y)
		}
		f.P95MM = math.Sqrt(montecarlo.Percentile(distance, percent))
		f.P95AlongMM = montecarlo.Percentile(along, percent)
		f.P95AcrossMM = montecarlo.Percentile(across, percent)
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
