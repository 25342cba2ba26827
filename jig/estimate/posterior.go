package estimate

import (
	"math"
	"slices"

	"reseat/jig/coupon"
)

// setting is what makes the readings a linear sum of the unknowns: the sign of the taper, and
// which of two ways the caliper and the scale work.
type setting struct {
	sign   float64 // of the taper
	caught bool    // tips below a face catch the narrowest that they span; else they read at their depth
	sized  bool    // the scale acts on features' sizes too, not on their places alone
	oval   bool    // a hole's two diameters err each by itself; else together
	about  float64 // the taper's size, mm, as the tips' uncertain depth takes it
}

// side is the taper's part in the size of an opening at a face, and that of the tips.
func (s setting) side(face string, thickness float64) (float64, float64) {
	inset := 0.5 - min(tipsMM/thickness, 0.4)
	switch {
	case face == coupon.Top && s.caught && s.sign < 0:
		return 0.5, 0
	case face == coupon.Under && s.caught && s.sign > 0:
		return -0.5, 0
	case face == coupon.Top:
		return inset, -1
	case face == coupon.Under:
		return -inset, 1
	}
	return -0.5 * s.sign, 0
}

// scaling are the terms by which a length grows along an axis; a hole read in no axis grows
// by the mean of both.
func (m *model) scaling(axis string, mm float64) []coefficient {
	switch axis {
	case "x":
		return []coefficient{{m.at(scaleX), mm / 100}}
	case "y":
		return []coefficient{{m.at(scaleY), mm / 100}}
	}
	return []coefficient{{m.at(scaleX), mm / 200}, {m.at(scaleY), mm / 200}}
}

// system is a model under one setting: the normal equations of the readings but for what
// depends on the spreads, the answers and the quantities asked for.
type system struct {
	*model
	setting
	prior   [shared]normal
	gram    envelope
	rhs     []float64
	yy      float64
	n       int
	over    [][]coefficient // per observation
	steps   []pinAnswer     // answers, and last the sign of the taper
	forms   [][]coefficient // of each step, then of each target
	base    []float64       // their values at the priors' means; of answers in holes, as oval as last evaluated
	round   []float64       // the same, of the answers in round holes
	nu, tau []float64       // of the steps, as the last evaluation left them
}

// The quantities that a system is asked for, in this order behind its steps.
const (
	ofStraight = iota
	ofRound
	ofRounder
	ofTaper
	ofScaleX
	ofScaleY
	ofPin
	targets
)

// assemble writes the model under a setting, without the rows left out. A round tool's holes are
// as large as the tool, whatever the scale.
func (m *model) assemble(s setting, out map[int]bool) *system {
	if _, round := roundTools[m.By]; round {
		s.sized = false
	}
	y := &system{model: m, setting: s, prior: m.prior, gram: newEnvelope(m.first), rhs: make([]float64, len(m.first))}
	y.prior[tips] = normal{0, tipsSDMM / m.ThicknessMM * max(s.about, 0.005)}
	y.over = make([][]coefficient, len(m.seen))
	for i, o := range m.seen {
		terms := append([]coefficient{}, o.terms...)
		if o.side != 0 {
			part, depth := s.side(o.face, m.ThicknessMM)
			terms = append(terms, coefficient{m.at(taper), o.side * part})
			if depth != 0 {
				terms = append(terms, coefficient{m.at(tips), o.side * depth})
			}
			grows := o.grows[0]
			if !s.sized {
				grows = o.grows[1]
			}
			if grows != 0 {
				terms = append(terms, m.scaling(o.axis, grows)...)
			}
		}
		y.over[i] = terms
		if out[o.row] {
			continue
		}
		left := o.y - y.mean(terms)
		y.n++
		y.yy += float64(left * left)
		for j, a := range terms {
			y.rhs[a.at] += float64(left * a.by)
			for _, b := range terms[:j+1] {
				y.gram.add(a.at, b.at, float64(a.by*b.by))
			}
		}
	}
	for _, a := range m.answers {
		if !out[-1-a.row] {
			y.steps = append(y.steps, y.stepped(a))
		}
	}
	y.steps = append(y.steps, pinAnswer{row: -1, terms: []coefficient{{m.at(taper), 1}}, toward: s.sign, width: signMM})
	k, r, t := coefficient{m.at(straight), 1}, coefficient{m.at(rounder), 1}, coefficient{m.at(taper), 1}
	for _, a := range y.steps {
		y.forms, y.base = append(y.forms, a.terms), append(y.base, a.at+y.mean(a.terms))
	}
	for _, f := range [targets][]coefficient{
		{k}, {k, r}, {r}, {t}, {{m.at(scaleX), 1}}, {{m.at(scaleY), 1}}, {k, r, {t.at, -0.5 * s.sign}},
	} {
		y.forms, y.base = append(y.forms, f), append(y.base, y.mean(f))
	}
	y.round = slices.Clone(y.base[:len(y.steps)-1])
	y.nu, y.tau = make([]float64, len(y.steps)), make([]float64, len(y.steps))
	return y
}

// A pin finds the narrowest of an oval hole. Half of what its two diameters differ by is normal of
// mean 0 and standard deviation s, and the narrower one is below the hole's mean by the magnitude of
// that: by sqrt(2/pi) s, give or take sqrt(1 - 2/pi) s (derived: mean and standard deviation of a
// half-normal distribution).
const (
	narrowerMean = 0.7978845608
	narrowerSD   = 0.6028102749
)

// narrowed is an answer of a hole that is oval by s, mm.
func (a pinAnswer) narrowed(s float64) pinAnswer {
	a.at -= float64(narrowerMean * s)
	a.width = math.Hypot(a.width, narrowerSD*s)
	return a
}

// narrow makes the holes of all answers as oval as they are at given spreads.
func (y *system) narrow(at spreads) {
	for i, round := range y.round {
		a := pinAnswer{at: round, width: answerMM}.narrowed(y.own(ofOval, at))
		y.base[i], y.steps[i].width = a.at, a.width
	}
}

// stepped is an answer under the system's setting.
func (y *system) stepped(a pinAnswer) pinAnswer {
	a.terms = append(append([]coefficient{}, a.terms...), coefficient{y.at(taper), a.taper * y.sign})
	if y.sized {
		a.terms = append(a.terms, y.scaling("", a.grows)...)
	}
	return a
}

// mean is the value of a sum of unknowns at the priors' means.
func (y *system) mean(terms []coefficient) float64 {
	var sum float64
	for _, t := range terms {
		if i := t.at - len(y.kinds); i >= 0 {
			sum += float64(t.by * y.prior[i].mean)
		}
	}
	return sum
}

// spreads are the logarithms of three standard deviations in mm: of a feature's size, of its
// place along an axis, of a reading.
type spreads [3]float64

// What is known of them before, as logarithms: common practice, no source. The widths
// of the first two leave a factor of 7 either way.
var spreadPriors = [3]normal{{math.Log(0.03), 1}, {math.Log(0.03), 1}, {math.Log(0.014), 0.35}}

// roundness is how oval a hole is whose diameters err together, as a share of their error.
const roundness = 0.1

// roundOdds is the logarithm of the odds that a hole's two diameters err together, 4 to 1: what makes
// one hole larger than the next (heat, feed, a filament's width) mostly acts all round it. Common
// practice, no source.
const roundOdds = 1.386

// own is the standard deviation of a feature's own unknown.
func (s setting) own(k kind, at spreads) float64 {
	size := math.Exp(at[0])
	switch {
	case k == ofPlace:
		return math.Exp(at[1])
	case k == ofSize:
		return size
	case s.oval:
		return size / math.Sqrt2
	case k == ofOval:
		return roundness * size
	}
	return size
}

// belief is what readings and answers say under one setting and given spreads: the logarithm
// of their probability, and mean and covariance of the system's forms.
type belief struct {
	log  float64
	mean []float64
	cov  [][]float64
	root envelope  // Cholesky factor of the precision without answers
	load []float64 // the root's solution of the right side
}

// believe works out the belief: exactly for the readings, which are normal, and by
// expectation propagation for the answers (Rasmussen and Williams, Gaussian Processes for
// Machine Learning, 2006, algorithm 3.5).
func (y *system) believe(at spreads) belief {
	var b belief
	n := len(y.first)
	b.root = newEnvelope(y.first)
	precision := math.Exp(-2 * at[2])
	for i, row := range y.gram.rows {
		for j, v := range row {
			b.root.rows[i][j] = precision * v
		}
	}
	for i := range n {
		var sd float64
		if i < len(y.kinds) {
			sd = y.own(y.kinds[i], at)
		} else {
			sd = y.prior[i-len(y.kinds)].sd
		}
		b.root.rows[i][i-y.first[i]] += 1 / (sd * sd)
		b.log -= math.Log(sd)
	}
	b.log -= 0.5 * b.root.factor()
	b.load = make([]float64, n)
	for i, v := range y.rhs {
		b.load[i] = precision * v
	}
	b.root.forward(b.load, 0)
	b.log -= float64(y.n)*at[2] + 0.5*(precision*y.yy-dot(b.load, b.load))
	for i, p := range y.sds {
		z := (at[i] - p.mean) / p.sd
		b.log -= 0.5 * z * z
	}
	if y.oval {
		b.log -= roundOdds
	}
	y.narrow(at)
	b.mean, b.cov = y.project(b, y.forms, y.base)
	b.log += y.propagate(b.mean, b.cov)
	return b
}

// project is mean and covariance of sums of unknowns, from the readings alone.
func (y *system) project(b belief, forms [][]coefficient, base []float64) ([]float64, [][]float64) {
	mean, cov, half := make([]float64, len(forms)), make([][]float64, len(forms)), make([][]float64, len(forms))
	starts := make([]int, len(forms))
	for i, f := range forms {
		v, start := make([]float64, len(y.first)), len(y.first)
		for _, t := range f {
			v[t.at] += t.by
			start = min(start, t.at)
		}
		b.root.forward(v, start)
		half[i], starts[i], mean[i] = v, start, base[i]+dot(v[start:], b.load[start:])
	}
	for i := range forms {
		cov[i] = make([]float64, len(forms))
		for j := range i + 1 {
			from := max(starts[i], starts[j])
			cov[i][j] = dot(half[i][from:], half[j][from:])
			cov[j][i] = cov[i][j]
		}
	}
	return mean, cov
}

func dot(a, b []float64) float64 {
	var sum float64
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// propagate brings the answers into mean and covariance and returns the logarithm of their
// probability given the readings. It starts from the steps' last state.
func (y *system) propagate(mean []float64, cov [][]float64) float64 {
	m, c := clone(mean, cov)
	for i := range y.steps {
		include(m, c, i, y.nu[i], y.tau[i])
	}
	for range 30 {
		var moved float64
		for i, s := range y.steps {
			cm, cv := cavity(m[i], c[i][i], y.nu[i], y.tau[i])
			_, pm, pv := s.step(cm, cv)
			tau := max(1/pv-1/cv, 0)
			nu := pm/pv - cm/cv
			moved = max(moved, math.Abs(tau-y.tau[i])*c[i][i])
			include(m, c, i, nu-y.nu[i], tau-y.tau[i])
			y.nu[i], y.tau[i] = nu, tau
		}
		if moved < 1e-3 {
			break
		}
	}
	var log float64
	for i := range y.steps {
		log += include(mean, cov, i, y.nu[i], y.tau[i])
	}
	for i, s := range y.steps {
		cm, cv := cavity(mean[i], cov[i][i], y.nu[i], y.tau[i])
		odds, _, _ := s.step(cm, cv)
		log += odds - gain(cm, cv, y.nu[i], y.tau[i])
	}
	return log
}

// cavity is a form's mean and variance without its own step.
func cavity(mean, variance, nu, tau float64) (float64, float64) {
	v := 1 / max(1/variance-tau, 1e-9/variance)
	return v * (mean/variance - nu), v
}

// gain is the logarithm of the mean of exp(nu x - tau x^2 / 2) over a normal x.
func gain(mean, variance, nu, tau float64) float64 {
	k := 1 + tau*variance
	return -0.5*math.Log(k) + 0.5*(2*mean*nu+nu*nu*variance-tau*mean*mean)/k
}

// include brings one step into mean and covariance and returns its gain.
func include(mean []float64, cov [][]float64, i int, nu, tau float64) float64 {
	m, v := mean[i], cov[i][i]
	log := gain(m, v, nu, tau)
	shrink, shift := tau/(1+tau*v), (nu-tau*m)/(1+tau*v)
	col := append([]float64{}, cov[i]...)
	for j, a := range col {
		mean[j] += float64(shift * a)
		if by := shrink * a; by != 0 {
			for k, b := range col {
				cov[j][k] -= float64(by * b)
			}
		}
	}
	return log
}

func clone(mean []float64, cov [][]float64) ([]float64, [][]float64) {
	c := make([][]float64, len(cov))
	for i, row := range cov {
		c[i] = append([]float64{}, row...)
	}
	return append([]float64{}, mean...), c
}

// step is the logarithm of a step's probability where its sum is normal, and the sum's mean
// and variance after it.
func (s pinAnswer) step(mean, variance float64) (log, after, left float64) {
	sd := math.Sqrt(variance + float64(s.width*s.width))
	z := max(s.toward*mean/sd, -1000) // further off the difference below drowns in rounding
	log, hazard := tail(z)
	after = mean + s.toward*variance/sd*hazard
	left = variance - variance*variance/(sd*sd)*hazard*(z+hazard)
	return log, after, max(left, 1e-9*variance)
}

// tail is the logarithm of the normal distribution at z, and density over distribution.
func tail(z float64) (log, hazard float64) {
	if z > -25 {
		p := 0.5 * math.Erfc(-z/math.Sqrt2)
		return math.Log(p), math.Exp(-0.5*z*z) / math.Sqrt(2*math.Pi) / p
	}
	// Mills' ratio, Abramowitz and Stegun 26.2.12; off by less than 1e-5 here.
	hazard = -z / (1 - 1/(z*z) + 3/(z*z*z*z))
	return -0.5*z*z - math.Log(hazard*math.Sqrt(2*math.Pi)), hazard
}
