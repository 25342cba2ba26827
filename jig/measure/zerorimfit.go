package measure

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// rimFit is the circle of the probe's centre.
type rimFit struct {
	c        geom.Vec
	r        float64
	arc      float64
	residual []float64 // outward positive
	leverage []float64
	sse      float64
	cov      [3][3]float64 // of c.X, c.Y and r for points of 1 mm^2 variance
}

const (
	// mostRimSteps bounds the steps of the fit, which takes under ten.
	mostRimSteps = 100
	// rimStepEnd ends it, in parts of the points' spread: what is left after such a
	// step is smaller still, a millionth of a micrometre in a hole of a hand's width.
	rimStepEnd = 1e-11
	// leastRimStep is the part of a step below which it is not halved further: where
	// a thousandth of it does not help, the sum is flat but for rounding.
	leastRimStep = 1e-3
	// mostRimRadii is the radius, in parts of the points' spread, beyond which they
	// count as lying on a line: a few degrees of arc.
	mostRimRadii = 100
)

// layRim fits the circle, in coordinates about the points' middle and in parts of
// their spread, which keeps the digits far from zero.
func layRim(points []geom.Vec) (f rimFit, err error) {
	if n := different(points); n < rimPoints {
		return f, &ArcError{Points: n}
	}
	mid, size := middle(points), 0.0
	for _, p := range points {
		size = math.Max(size, p.Dist(mid))
	}
	at := make([]geom.Vec, len(points))
	for i, p := range points {
		at[i] = p.Sub(mid).Scale(1 / size)
	}
	c, r, ok := algebraicCircle(at)
	ok = ok && r < mostRimRadii
	if ok {
		c, r, ok = geometricCircle(at, c, r)
	}
	if !ok {
		return f, &ArcError{Points: len(points)}
	}
	f.arc = arcReached(at, c)
	if f.arc < leastArcRad {
		return f, &ArcError{Points: len(points), ArcRad: f.arc}
	}
	rows, _ := rimRows(at, c, r)
	inv, ok := normalInverse(rows)
	if !ok {
		return f, &ArcError{Points: len(points), ArcRad: f.arc}
	}
	f.c, f.r = c.Scale(size).Add(mid), r*size
	for i := range 3 {
		for j := range 3 {
			f.cov[i][j] = inv[i][j] // the rows are directions: they have no unit
		}
	}
	for i, p := range points {
		e := p.Dist(f.c) - f.r
		f.residual = append(f.residual, e)
		f.sse += e * e
		f.leverage = append(f.leverage, quadratic(inv, rows[i]))
	}
	return f, nil
}

// different counts the points that are not alike.
func different(points []geom.Vec) int {
	s := slices.Clone(points)
	slices.SortFunc(s, func(a, b geom.Vec) int {
		switch {
		case a.X != b.X && a.X < b.X, a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	n := 0
	for i, p := range s {
		if i == 0 || p.Dist(s[i-1]) > sameRim {
			n++
		}
	}
	return n
}

// algebraicCircle is the start: the circle with the least sum of squares of
//
//	x^2 + y^2 - 2 a x - 2 b y - k,   r^2 = k + a^2 + b^2
//
// which is linear (Kasa 1976; recalled, not seen). ok is false for points on a line.
func algebraicCircle(p []geom.Vec) (c geom.Vec, r float64, ok bool) {
	rows, rhs := make([][]float64, len(p)), make([]float64, len(p))
	for i, q := range p {
		rows[i], rhs[i] = []float64{2 * q.X, 2 * q.Y, 1}, q.Dot(q)
	}
	inv, ok := normalInverse(rows)
	if !ok {
		return c, 0, false
	}
	x := solveNormal(inv, rows, rhs)
	c = geom.Vec{X: x[0], Y: x[1]}
	r2 := x[2] + c.Dot(c)
	return c, math.Sqrt(math.Max(0, r2)), r2 > 0
}

// rimRows returns the derivatives of the distances after c.X, c.Y and r, and the
// distances themselves with the sign turned.
func rimRows(p []geom.Vec, c geom.Vec, r float64) (rows [][]float64, minus []float64) {
	for _, q := range p {
		d := q.Sub(c)
		u := d.Unit()
		rows, minus = append(rows, []float64{-u.X, -u.Y, -1}), append(minus, r-d.Norm())
	}
	return rows, minus
}

// rimSum is the sum of squared distances from the circle.
func rimSum(p []geom.Vec, c geom.Vec, r float64) (sum float64) {
	for _, q := range p {
		e := q.Dist(c) - r
		sum += e * e
	}
	return sum
}

// geometricCircle goes on from a start by Gauss-Newton steps, halved while they make
// the sum of squares larger.
func geometricCircle(p []geom.Vec, c geom.Vec, r float64) (geom.Vec, float64, bool) {
	for range mostRimSteps {
		rows, minus := rimRows(p, c, r)
		inv, ok := normalInverse(rows)
		if !ok {
			return c, r, false
		}
		d := solveNormal(inv, rows, minus)
		by, sum, step := geom.Vec{X: d[0], Y: d[1]}, rimSum(p, c, r), 1.0
		for step > leastRimStep && rimSum(p, c.Add(by.Scale(step)), r+step*d[2]) > sum {
			step /= 2
		}
		if step <= leastRimStep {
			break
		}
		c, r = c.Add(by.Scale(step)), r+step*d[2]
		if !(r < mostRimRadii) {
			return c, r, false
		}
		if math.Hypot(by.Norm(), d[2]) < rimStepEnd {
			break
		}
	}
	return c, r, r > 0
}

// arcReached is a turn less the widest gap between neighbouring points.
func arcReached(p []geom.Vec, c geom.Vec) float64 {
	var at []float64
	for _, q := range p {
		d := q.Sub(c)
		at = append(at, math.Atan2(d.Y, d.X))
	}
	slices.Sort(at)
	gap := at[0] + 2*math.Pi - at[len(at)-1]
	for i := 1; i < len(at); i++ {
		gap = math.Max(gap, at[i]-at[i-1])
	}
	return 2*math.Pi - gap
}
