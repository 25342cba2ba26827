package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// node is one place of the grid over the spreads, under one setting.
type node struct {
	s      setting
	cell   [3]int
	weight float64
	mean   [targets]float64
	sd     [targets]float64
}

// posterior is all that readings and answers say: a grid over the spreads, laid under every
// setting that they leave likely.
type posterior struct {
	*model
	best  *system
	mode  spreads
	step  spreads
	nodes []node
}

// likeliestSpreads finds the likeliest spreads under a setting, by parabolas along each spread in turn,
// of the given half widths.
func (y *system) likeliestSpreads(at spreads, steps ...float64) spreads {
	for _, h := range steps {
		for i := range at {
			value := func(by float64) float64 {
				p := at
				p[i] += by
				return y.believe(p).log
			}
			low, mid, high := value(-h), value(0), value(h)
			if bend := 2*mid - low - high; bend > 0.1*h*h {
				at[i] += min(max(h*(high-low)/(2*bend), -2*h), 2*h)
			} else {
				at[i] += math.Copysign(h, high-low)
			}
			at[i] = min(max(at[i], y.sds[i].mean-4), y.sds[i].mean+4)
		}
	}
	return at
}

// likeliest is the model under its likeliest sign of the taper and the spreads that go with it.
func (m *model) likeliest(out map[int]bool) (*system, spreads) {
	at := spreads{m.sds[0].mean, m.sds[1].mean, m.sds[2].mean}
	s := setting{sign: 1, sized: true, about: 0.1}
	for _, steps := range [][]float64{{0.4, 0.3}, {0.2, 0.1}} {
		a := m.assemble(s, out)
		log := a.believe(at).log
		for i := range 3 {
			other := s
			if i != 1 {
				other.sign = -s.sign
			}
			other.oval = i > 0 != s.oval
			if b := m.assemble(other, out); b.believe(at).log > log {
				a, log = b, b.believe(at).log
			}
		}
		s = a.setting
		at = a.likeliestSpreads(at, steps...)
		s.about = math.Abs(a.believe(at).mean[len(a.steps)+ofTaper])
	}
	return m.assemble(s, out), at
}

// certain is the logarithm of odds from which on an answer says nothing.
const certain = -1e-7

// surely is the model without the answers that were sure before they were tried.
func (y *system) surely(at spreads) *model {
	b := y.believe(at)
	m := *y.model
	m.answers = nil
	for _, a := range y.answers {
		sure := false
		for i, s := range y.steps {
			if s.row == a.row && s.toward == a.toward {
				odds, _, _ := s.step(cavity(b.mean[i], b.cov[i][i], y.nu[i], y.tau[i]))
				sure = odds > certain
			}
		}
		if !sure {
			m.answers = append(m.answers, a)
		}
	}
	return &m
}

// Limits of the grid: nodes less likely than exp(-6) of the best add nothing to a 95 % interval.
const (
	gridDepth = 6.0
	gridStep  = 1.5 // standard deviations
	gridMost  = 600 // nodes under one setting
)

// explore lays the grid.
func (y *system) explore(mode spreads, out map[int]bool) posterior {
	best := y.surely(mode).assemble(y.setting, out)
	p := posterior{model: y.model, best: y, mode: mode}
	at := best.believe(mode).log
	for i := range mode {
		h := 0.3
		a, b := mode, mode
		a[i] -= h
		b[i] += h
		bend := (2*at - best.believe(a).log - best.believe(b).log) / (h * h)
		p.step[i] = gridStep * min(max(1/math.Sqrt(max(bend, 1e-6)), 0.03), 0.8)
	}
	var logs []float64
	var laid [][2]float64 // signs and logarithms
	top := math.Inf(-1)
	for i := range 16 {
		s := setting{sign: float64(1 - i&1*2), caught: i&2 > 0, sized: i&4 > 0, oval: i&8 > 0, about: best.about}
		y := best.assemble(s, out)
		log := y.believe(mode).log
		alike := slices.ContainsFunc(laid, func(l [2]float64) bool { return l[0] == s.sign && math.Abs(l[1]-log) < 1e-7 })
		if log < at-gridDepth+1 || alike { // no row that it changes is filled in
			continue
		}
		laid = append(laid, [2]float64{s.sign, log})
		for _, n := range y.lay(mode, p.step, at) {
			p.nodes = append(p.nodes, n)
			logs = append(logs, n.weight)
			top = max(top, n.weight)
		}
	}
	var sum float64
	for i := range p.nodes {
		p.nodes[i].weight = math.Exp(logs[i] - top)
		sum += p.nodes[i].weight
	}
	for i := range p.nodes {
		p.nodes[i].weight /= sum
	}
	return p
}

// lay spreads out from the mode to all neighbours that are likely enough.
func (y *system) lay(mode, step spreads, top float64) []node {
	var nodes []node
	seen := map[[3]int]bool{{}: true}
	for queue := [][3]int{{}}; len(queue) > 0 && len(nodes) < gridMost; queue = queue[1:] {
		cell, at := queue[0], mode
		for i, k := range cell {
			at[i] += float64(k) * step[i]
		}
		b := y.believe(at)
		top = max(top, b.log)
		if b.log < top-gridDepth {
			continue
		}
		n := node{s: y.setting, cell: cell, weight: b.log}
		for i := range n.mean {
			j := len(y.steps) + i
			n.mean[i], n.sd[i] = b.mean[j], math.Sqrt(max(b.cov[j][j], 0))
		}
		nodes = append(nodes, n)
		for i := range cell {
			for _, by := range []int{-1, 1} {
				next := cell
				next[i] += by
				if !seen[next] {
					seen[next] = true
					queue = append(queue, next)
				}
			}
		}
	}
	return nodes
}

// quantile is a quantile of one target.
func (p posterior) quantile(target int, share float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, n := range p.nodes {
		low, high = min(low, n.mean[target]-6*n.sd[target]), max(high, n.mean[target]+6*n.sd[target])
	}
	for range 50 {
		mid := (low + high) / 2
		var below float64
		for _, n := range p.nodes {
			below += float64(n.weight * 0.5 * math.Erfc((n.mean[target]-mid)/(max(n.sd[target], 1e-12)*math.Sqrt2)))
		}
		if below < share {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// finer is how many pieces each step of the grid is cut into for a spread's quantiles.
const finer = 32

// spread gives quantiles of one spread: the grid's marginal density, its logarithm
// interpolated by a spline and carried on as a parabola beyond the outermost nodes.
func (p posterior) spread(i int, shares ...float64) []float64 {
	least, most := 0, 0
	for _, n := range p.nodes {
		least, most = min(least, n.cell[i]), max(most, n.cell[i])
	}
	weights := make([]float64, most-least+1)
	for _, n := range p.nodes {
		weights[n.cell[i]-least] += n.weight
	}
	xs, logs := []float64{}, []float64{}
	for k, w := range weights {
		xs, logs = append(xs, float64(least+k)), append(logs, math.Log(max(w, 1e-12)))
	}
	if len(xs) < 3 {
		xs = []float64{float64(least) - 1, float64(least), float64(least) + 1}
		logs = []float64{-3, 0, -3}
	}
	var spline interp.NaturalCubic
	if spline.Fit(xs, logs) != nil {
		panic("estimate: grid out of order")
	}
	last := len(xs) - 1
	density := func(x float64) float64 {
		switch {
		case x < xs[0]:
			return math.Exp(logs[0] + (xs[0]-x)*min(logs[0]-logs[1], 0))
		case x > xs[last]:
			return math.Exp(logs[last] + (x-xs[last])*min(logs[last]-logs[last-1], 0))
		}
		return math.Exp(spline.Predict(x))
	}
	var sums []float64
	var total float64
	from := xs[0] - 1
	for k := range (last + 2) * finer {
		total += density(from + (float64(k)+0.5)/finer)
		sums = append(sums, total)
	}
	var found []float64
	for _, share := range shares {
		k, _ := slices.BinarySearch(sums, share*total)
		found = append(found, math.Exp(p.mode[i]+p.step[i]*(from+(float64(k)+0.5)/finer)))
	}
	return found
}
