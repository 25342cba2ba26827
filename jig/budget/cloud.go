package budget

import (
	"math"
	"sync"

	"reseat/jig/geom"
	"reseat/jig/montecarlo"
)

// cloud is where a feature lies in every run, but for the normal causes, which spread each
// run's place by one and the same normal distribution.
type cloud struct {
	x, y   []float64
	draws  []draw
	normal normal

	distances, alongs, acrosses []float64 // with the normal causes; the distances squared
}

// newCloud has room for the runs of one feature after another.
func newCloud(draws []draw) cloud {
	room := func() []float64 { return make([]float64, len(draws)) }
	return cloud{x: room(), y: room(), draws: draws, distances: room(), alongs: room(), acrosses: room()}
}

// draw is the two standard normal numbers of a run: where on which line through the origin.
type draw struct {
	line geom.Vec // of length one
	far  float64
}

// percentiles returns the distance, |along| and |across| that 95 % of the cloud stay within.
func (c cloud) percentiles() (distance, along, across float64) {
	n := c.normal
	s := math.Hypot(n.both, n.across)
	for k, z := range c.draws {
		u := n.spread(z.line)
		x, y := c.x[k]+float64(z.far*u.X), c.y[k]+float64(z.far*u.Y)
		c.distances[k], c.alongs[k], c.acrosses[k] = float64(x*x)+float64(y*y), math.Abs(x), math.Abs(y)
	}
	distance = refined(math.Sqrt(montecarlo.Percentile(c.distances, percent)), math.Hypot(n.along, s), c.within)
	along = refined(montecarlo.Percentile(c.alongs, percent), n.along, onLine{c.x, n.along}.within)
	across = refined(montecarlo.Percentile(c.acrosses, percent), s, onLine{c.y, s}.within)
	return distance, along, across
}

// spread is where the normal causes take a standard normal pair of numbers.
func (n normal) spread(z geom.Vec) geom.Vec {
	return geom.Vec{X: n.along * z.X, Y: float64(n.both*z.X) + float64(n.across*z.Y)}
}

// refined takes one step of Newton's method from r, what 95 % of the runs stay within: with
// the normal causes in closed form the share is smooth and knows its 95 % far closer than the
// runs do, which are counted. Where those causes are next to nothing beside the rest there
// is nothing to smooth.
func refined(r, sd float64, within func(r float64) (share, density float64)) float64 {
	if !(sd > leastNormal*r) {
		return r
	}
	share, density := within(r)
	if density*r < leastSlope {
		return r
	}
	return r * (1 + max(-mostStep, min(mostStep, (percent/100.-share)/(density*r))))
}

// All derived: of 8192 runs a few hundred lie within a normal part of a fiftieth on either
// side of the edge; the slope of a normal error is 0.23, of one uniform cause 0.95; and a
// step of a twentieth is five times what the runs of any budget tried lie off.
const (
	leastNormal = 0.02
	leastSlope  = 0.05
	mostStep    = 0.05
	slopeEvery  = 16 // of how many runs one tells the slope, which need not be known as well
)

// onLine is one coordinate of a cloud, each place spread by a standard deviation.
type onLine struct {
	at []float64
	sd float64
}

// within returns the share that lies within r of zero, and its derivative by r.
//
//	P = mean of  Phi((r - x)/s) - Phi((-r - x)/s)
func (l onLine) within(r float64) (share, density float64) {
	phi, k := phi(), 1/l.sd
	for i, x := range l.at {
		a, b := (r-x)*k, (r+x)*k
		share += phi.at(a) + phi.at(b) - 1
		if i%slopeEvery == 0 {
			density += math.Exp(-float64(a*a)/2) + math.Exp(-float64(b*b)/2)
		}
	}
	n := float64(len(l.at))
	return share / n, density * slopeEvery * k / (math.Sqrt(2*math.Pi) * n)
}

// within returns the share of the cloud at most r from zero, and its derivative by r. Each
// run looks along its line through its place m, either way, along which the distance of two
// normal numbers follows Rayleigh's law:
//
//	|m + rho u| = r at rho1 < rho2,  e(rho) = exp(-rho^2/2)
//	P = 1 - (e(rho1) + e(rho2))/2   where m lies inside,  |e(rho1) - e(rho2)|/2  outside
func (c cloud) within(r float64) (share, density float64) {
	bell := bell()
	for k, z := range c.draws {
		u, m := c.normal.spread(z.line), geom.Vec{X: c.x[k], Y: c.y[k]}
		uu, mu, rest := dot(u, u), dot(m, u), dot(m, m)-float64(r*r)
		root := float64(mu*mu) - float64(uu*rest)
		if !(root > 0) || uu == 0 {
			continue
		}
		root = math.Sqrt(root)
		r1, r2 := math.Abs(-mu-root)/uu, math.Abs(-mu+root)/uu
		e1, e2 := bell.at(r1), bell.at(r2)
		if rest <= 0 {
			share += 1 - (e1+e2)/2
		} else {
			share += math.Abs(e1-e2) / 2
		}
		if k%slopeEvery == 0 {
			density += (r1*e1 + r2*e2) / (2 * root)
		}
	}
	n := float64(len(c.draws))
	return share / n, density * slopeEvery * r / n
}

// dot rounds each product, so that every machine computes alike.
func dot(a, b geom.Vec) float64 { return float64(a.X*b.X) + float64(a.Y*b.Y) }

// curve is a function read off a table, from -curveEnd to curveEnd and constant beyond.
type curve [2*curveEnd*curveSteps + 2]float64

// A table of steps h is read to h^2/8 of the second derivative, here a millionth.
const (
	curveEnd   = 6
	curveSteps = 256 // per unit
)

func newCurve(f func(x float64) float64) *curve {
	var c curve
	for i := range c {
		// Kept to 24 bits, which every machine computes alike.
		c[i] = float64(float32(f(float64(i)/curveSteps - curveEnd)))
	}
	return &c
}

func (c *curve) at(x float64) float64 {
	t := (max(-curveEnd, min(curveEnd, x)) + curveEnd) * curveSteps
	i := int(t)
	return c[i] + float64((t-float64(i))*(c[i+1]-c[i]))
}

// phi is the standard normal distribution, bell exp(-x^2/2).
var (
	phi  = sync.OnceValue(func() *curve { return newCurve(func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }) })
	bell = sync.OnceValue(func() *curve { return newCurve(func(x float64) float64 { return math.Exp(-x * x / 2) }) })
)
