package measure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// gathered is what the readings come to on their own lines: x along the line that the
// point was taken on, y to its left, both in millimetres, in the order of the readings.
type gathered struct {
	spec  *Spec
	x, y  []float64
	run   []int // the point's run
	lines []int // of the file
	runs  []run
	order []int   // of the points: run by run, by station
	apart float64 // usual distance of neighbours on a line, mm

	weights []float64 // of rhos: the probabilities of the correlations that the scatter may have
}

// run is the points that share an offset: those on one line of the board, or its dial's
// readings, whose zero lies anywhere.
type run struct {
	on   string
	dial bool
	boardLine
}

// gather takes every reading to its own line.
func (s *Spec) gather(readings []reading.Reading) *gathered {
	g := &gathered{spec: s}
	back := s.ToMachine.Inverse()
	for _, r := range readings {
		k := slices.IndexFunc(g.runs, func(x run) bool { return x.on == r.On && x.dial == r.Dial })
		if k < 0 {
			k = len(g.runs)
			g.runs = append(g.runs, run{r.On, r.Dial, s.line(r.On)})
		}
		x, y := g.runs[k].reading(r, back, s.ProbeRadiusMM)
		g.x, g.y, g.run, g.lines = append(g.x, x), append(g.y, y), append(g.run, k), append(g.lines, r.Line)
	}
	g.sort()
	return g
}

// reading returns where r lies along the line and how far to its left, the probe's
// radius taken out; back takes machine coordinates to the board frame. A dial on the left
// edge shows more when the edge lies farther to the left, one on the right edge when it
// lies farther to the right.
func (l boardLine) reading(r reading.Reading, back geom.Rigid, probe float64) (along, left float64) {
	p := back.Apply(r.At)
	if r.Dial {
		p, probe = geom.Vec{X: r.At.X, Y: l.v + l.out*r.At.Y}, 0
	}
	d := geom.Vec{X: p.X, Y: p.Y - l.v}
	return d.X*l.cos + d.Y*l.sin, d.Y*l.cos - d.X*l.sin - l.out*probe
}

// runOf returns the run of points on a line of the board, or -1.
func (g *gathered) runOf(on string) int {
	return slices.IndexFunc(g.runs, func(r run) bool { return r.on == on && !r.dial })
}

// sides reports which edges were read.
func (g *gathered) sides() (left, right bool) {
	for _, r := range g.runs {
		left, right = left || r.out > 0, right || r.out < 0
	}
	return left, right
}

// span returns the spans along and across of one run's points and their number.
func (g *gathered) span(k int) (along, across float64, n int) {
	lx, hx, ly, hy := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i, r := range g.run {
		if r == k {
			lx, hx, ly, hy = math.Min(lx, g.x[i]), math.Max(hx, g.x[i]), math.Min(ly, g.y[i]), math.Max(hy, g.y[i])
			n++
		}
	}
	return hx - lx, hy - ly, n
}

// spans returns the longest spans along and across of the points of one run.
func (g *gathered) spans() (along, across float64) {
	for k := range g.runs {
		a, b, _ := g.span(k)
		along, across = math.Max(along, a), math.Max(across, b)
	}
	return along, across
}

// term is a shape that the runs share, beside the offset that each has of its own.
type term int

const (
	slopeTerm term = iota // x: the datum line's slope
	taperTerm             // x on the left edge, -x on the right: half of what the taper differs by
	bowTerm               // 4 x (L - x)/L^2: sagitta over the board's length L
)

func (g *gathered) column(t term, i int) float64 {
	switch x := g.x[i]; t {
	case taperTerm:
		return g.runs[g.run[i]].out * x
	case bowTerm:
		return 4 * x / g.spec.LengthMM * (1 - x/g.spec.LengthMM)
	default:
		return x
	}
}

// laying is how terms are laid through the samples.
type laying struct {
	dropped int // the sample that is left out, or -1
	terms   []term
	rho     float64 // correlation of readings one usual distance apart on a line, 0 to below 1
	// bowWeight > 0 lays the bow through one reading more, which is of the bow itself, says that there
	// is none, and is this many times as good as the others.
	bowWeight float64
}

// datumFit is a fit of shared terms to all runs: the unknowns are the runs' offsets, then
// the terms.
type datumFit struct {
	fit
	laying
	runs int
	logV float64 // logarithm of the determinant of the samples' correlations
}

// fit lays the terms through the samples but one (dropped; -1: all), each run with its own
// offset. With the slope alone it is the analysis of covariance with a common slope.
//
//	y = offset(run) + sum over terms of coef column(x)
func (g *gathered) fit(dropped int, want ...term) (f datumFit, ok bool) {
	return g.lay(laying{dropped: dropped, terms: want})
}

// lay is fit for readings that are correlated along their line, or with the bow known before.
func (g *gathered) lay(l laying) (f datumFit, ok bool) {
	f.runs, f.laying = len(g.runs), l
	rows, n := len(g.x), f.runs+len(l.terms)
	if l.dropped >= 0 {
		rows--
	}
	if l.bowWeight > 0 {
		rows++
	}
	if rows < n {
		return f, false
	}
	a, y := mat.NewDense(rows, n, nil), make([]float64, rows)
	next := 0
	for _, i := range g.whitened(l) {
		row := a.RawRowView(next)
		y[next] = g.row(row, i.at, l.terms, i.scale)
		if i.phi != 0 {
			y[next] += g.row(row, i.before, l.terms, -i.phi*i.scale)
		}
		f.logV -= 2 * math.Log(i.scale)
		next++
	}
	if l.bowWeight > 0 {
		a.Set(next, f.index(bowTerm), l.bowWeight)
	}
	f.fit, ok = leastSquares(a, y)
	return f, ok
}

// row adds sample i, scaled, to the row of a matrix, and returns its scaled y.
func (g *gathered) row(row []float64, i int, terms []term, scale float64) float64 {
	row[g.run[i]] += scale
	for j, t := range terms {
		row[len(g.runs)+j] += float64(scale * g.column(t, i))
	}
	return scale * g.y[i]
}

// residuals returns by how much every sample, also one that was left out, lies off the fit.
func (g *gathered) residuals(f *datumFit) []float64 {
	out := make([]float64, len(g.y))
	row := make([]float64, len(f.x))
	for i := range out {
		clear(row)
		out[i] = g.row(row, i, f.terms, 1)
		out[i] -= floats.Dot(row, f.x)
	}
	return out
}

// index returns the unknown of a term, -1 when it was not fitted.
func (f *datumFit) index(t term) int {
	if j := slices.Index(f.terms, t); j >= 0 {
		return f.runs + j
	}
	return -1
}

// of returns the weights of a multiple of a term that was fitted.
func (f *datumFit) of(t term, k float64) []float64 {
	w := make([]float64, len(f.x))
	w[f.index(t)] = k
	return w
}

// startWidth returns the measured width at the board's start when points were
// taken on both edges.
func (g *gathered) startWidth(f *datumFit) (float64, bool) {
	l, r := g.runOf(reading.OnLeft), g.runOf(reading.OnRight)
	if l < 0 || r < 0 {
		return 0, false
	}
	return g.spec.width(0) + f.x[l]/g.runs[l].cos - f.x[r]/g.runs[r].cos, true
}

// startOffset returns the weights of how far to the left the datum line's start lies: from
// points on the line itself when there are any, otherwise midway between the edges,
// otherwise from the one edge, which then trusts the board's width; nil with a dial alone.
func (g *gathered) startOffset(f *datumFit) []float64 {
	var from []int
	if k := g.runOf(reading.OnDatum); k >= 0 {
		from = []int{k}
	} else {
		for k, r := range g.runs {
			if !r.dial {
				from = append(from, k)
			}
		}
	}
	if len(from) == 0 {
		return nil
	}
	w := make([]float64, len(f.x))
	for _, k := range from {
		w[k] = 1 / g.runs[k].cos / float64(len(from))
	}
	return w
}
