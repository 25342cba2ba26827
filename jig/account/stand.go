package account

import (
	"math"

	"reseat/fit"
	"reseat/jig/budget"
)

// stands is how a pin stands in its holes: of how far it lies off halfway up what it bears
// over the variance per axis, and of the play that it then has mean and mean square. mm, mm^2.
type stands struct{ off, play, play2 float64 }

// stand is how the pins stand, the round one or one in its slot. Their clearance c is normal;
// a pin leans over what bears on it by o, per axis normal with sd s. Where that is more than the
// hole is wide nothing goes over it, and it is stood up. Else it lies off by o/2 halfway, and
// both its ends are in the hole where that is within c/2 of them:
//
//	round hole  |o| <= c,         play sqrt((c - |o|) (c - |o|/4)): a circle as wide as what two
//	            circles share, to the scatter of a place in it, 2 % for most leans
//	slot        |o across| <= c,  play c - |o across|
//
// with k = c^2/(2 s^2), from the normal and the Rayleigh distribution, cut off at c:
//
//	round  E|o| = s (sqrt(pi/2) erf(sqrt k) - sqrt(2 k) e^-k)/(1 - e^-k),  E o^2 = 2 s^2 (1 - k/(e^k - 1))
//	slot   E|o| = s sqrt(2/pi) (1 - e^-k)/erf(sqrt k),  E o^2 = s^2 (1 - sqrt(4 k/pi) e^-k/erf(sqrt k))
//
// Derived.
func (c Case) stand(q Pin, slot bool) (out stands) {
	const nodes, reach = 25, 3.0 // of the normal's rule: middles of even steps over so many sd
	sum, s := 0.0, c.Job.Dowel.LeanRad*c.bearsMM()/fit.Normal95
	for i := range nodes {
		z := reach * (2*float64(i) + 1 - nodes) / nodes
		weight := math.Exp(-z * z / 2)
		sum += weight
		clear := (q.LeastMM+q.MostMM)/2 + float64(z*q.HalfMM)/fit.Normal95
		if clear <= 0 {
			continue
		}
		var lean, lean2 float64 // E|o|, E o^2
		if k := clear * clear / (2 * s * s); s > 0 && slot {
			in, tail := math.Erf(math.Sqrt(k)), math.Exp(-k)
			lean, lean2 = s*math.Sqrt(2/math.Pi)*(1-tail)/in, s*s*(1-math.Sqrt(4*k/math.Pi)*tail/in)
			out.off += weight * lean2 / 4
			out.play += weight * (clear - lean)
			out.play2 += weight * (clear*clear - 2*clear*lean + lean2)
		} else {
			if s > 0 {
				tail := math.Exp(-k)
				lean = s * (math.Sqrt(math.Pi/2)*math.Erf(math.Sqrt(k)) - math.Sqrt(2*k)*tail) / -math.Expm1(-k)
				lean2 = 2 * s * s * (1 - k/math.Expm1(k))
			}
			left := clear*clear - 1.25*clear*lean + lean2/4
			out.off += weight * lean2 / 8
			out.play += weight * math.Sqrt(left)
			out.play2 += weight * left
		}
	}
	return stands{out.off / sum, out.play / sum, out.play2 / sum}
}

// playShare is the usual play of the pins as a share of the largest clearance: holes and pins
// lie within their limits, in 95 % of cases, about their middle, each by itself, and a pin
// that leans leaves less.
func (c Case) playShare() budget.ClearanceShare {
	var mean, sd, most float64
	for i, q := range c.Pins {
		x := c.stand(q, i == 1 && !c.AllRound)
		mean, sd, most = mean+x.play, sd+math.Sqrt(math.Max(0, x.play2-x.play*x.play)), most+q.MostMM
	}
	if most == 0 {
		return budget.ClearanceShare{}
	}
	return budget.ClearanceShare{Mean: mean / most, SD: sd / most}
}

// leanMM is how far off a pin that leans stands halfway up what it bears over, per axis,
// 95 %, on the mean of the pins.
func (c Case) leanMM() float64 {
	sum := 0.0
	for i, q := range c.Pins {
		sum += c.stand(q, i == 1 && !c.AllRound).off
	}
	return fit.Normal95 * math.Sqrt(sum/float64(len(c.Pins)))
}

// bearsMM is the height over the bed that the pins bear over.
func (c Case) bearsMM() float64 {
	s := c.Parts.Stand
	return math.Min(c.Parts.Carrier().ThicknessMM, s.LengthMM-s.DepthMM)
}
