package measure

import "math"

// Line is a least-squares line y = Intercept + Slope x with its uncertainty.
type Line struct {
	Intercept, Slope float64
	DF               int     // readings less fitted parameters
	SSE              float64 // sum of squared residuals
	// Standard errors; zero, and without meaning, when DF is zero.
	SEIntercept, SESlope, ResidualSD float64
}

// FitLine fits y = a + b x by ordinary least squares. ok is false for fewer than
// two points, or when all x are alike.
//
//	b = Sxy/Sxx,  a = mean y - b mean x
//	se b = s/sqrt(Sxx),  se a = s sqrt(1/n + (mean x)^2/Sxx),  s^2 = SSE/(n-2)
//
// Checked against NIST StRD dataset Norris.
func FitLine(x, y []float64) (l Line, ok bool) {
	n := float64(len(x))
	if len(x) < 2 || len(x) != len(y) {
		return Line{}, false
	}
	c := center(x, y)
	if c.sxx == 0 {
		return Line{}, false
	}
	l.Slope = c.sxy / c.sxx
	l.Intercept = c.y - l.Slope*c.x
	for i := range x {
		e := (y[i] - c.y) - l.Slope*(x[i]-c.x)
		l.SSE += e * e
	}
	if l.DF = len(x) - 2; l.DF > 0 {
		l.ResidualSD = math.Sqrt(l.SSE / float64(l.DF))
		l.SESlope = l.ResidualSD / math.Sqrt(c.sxx)
		l.SEIntercept = l.ResidualSD * math.Sqrt(1/n+c.x*c.x/c.sxx)
	}
	return l, true
}

// FitThroughOrigin fits y = b x. ok is false without a point away from x = 0.
//
//	b = sum xy / sum xx,  se b = s/sqrt(sum xx),  s^2 = SSE/(n-1)
//
// Checked against NIST StRD dataset NoInt1.
func FitThroughOrigin(x, y []float64) (l Line, ok bool) {
	if len(x) != len(y) {
		return Line{}, false
	}
	var xx, xy float64
	for i := range x {
		xx += x[i] * x[i]
		xy += x[i] * y[i]
	}
	if xx == 0 {
		return Line{}, false
	}
	l.Slope = xy / xx
	for i := range x {
		e := y[i] - l.Slope*x[i]
		l.SSE += e * e
	}
	if l.DF = len(x) - 1; l.DF > 0 {
		l.ResidualSD = math.Sqrt(l.SSE / float64(l.DF))
		l.SESlope = l.ResidualSD / math.Sqrt(xx)
	}
	return l, true
}

// centered holds the means and the sums of squares about them.
type centered struct{ x, y, sxx, sxy float64 }

// center computes the sums about the means in a second pass, which keeps all
// digits when the means are large against the spread.
func center(x, y []float64) (c centered) {
	n := float64(len(x))
	if n == 0 {
		return c
	}
	for i := range x {
		c.x += x[i] / n
		c.y += y[i] / n
	}
	for i := range x {
		d := x[i] - c.x
		c.sxx += d * d
		c.sxy += d * (y[i] - c.y)
	}
	return c
}
