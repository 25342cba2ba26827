package measure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// gathered is what the readings come to on their own lines: x along the line that the
// point was taken on, y to its left, both in millimetres, in the order of the readings.
type gathered struct {
	spec  *Spec
	x, y  []float64
	run   []int // the point's run
	lines []int // of the file
	runs  []run
}

// run is the points that share an offset: those on one line of the board, or its dial's
// readings, whose zero lies anywhere.
type run struct {
	on   string
	dial bool
	boardLine
}

// gather takes every reading to its own line.
func (s *Spec) gather(readings []Reading) *gathered {
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
	return g
}

// reading returns where r lies along the line and how far to its left, the probe's
// radius taken out; back takes machine coordinates to the board frame. A dial on the left
// edge shows more when the edge lies farther to the left, one on the right edge when it
// lies farther to the right.
func (l boardLine) reading(r Reading, back geom.Rigid, probe float64) (along, left float64) {
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

// datumFit is a fit of shared terms to all runs: the unknowns are the runs' offsets, then
// the terms.
type datumFit struct {
	fit
	runs  int
	terms []term
}

// fit lays the terms through the samples but one (dropped; -1: all), each run with its own
// offset. With the slope alone it is the analysis of covariance with a common slope.
//
//	y = offset(run) + sum over terms of coef column(x)
func (g *gathered) fit(dropped int, want ...term) (f datumFit, ok bool) {
	f.runs, f.terms = len(g.runs), want
	rows := len(g.x)
	if dropped >= 0 {
		rows--
	}
	if rows < f.runs+len(want) {
		return f, false
	}
	a, y := mat.NewDense(rows, f.runs+len(want), nil), make([]float64, 0, rows)
	for i, k := range g.run {
		if i == dropped {
			continue
		}
		a.Set(len(y), k, 1)
		for j, t := range want {
			a.Set(len(y), f.runs+j, g.column(t, i))
		}
		y = append(y, g.y[i])
	}
	f.fit, ok = leastSquares(a, y)
	return f, ok
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
	l, r := g.runOf(OnLeft), g.runOf(OnRight)
	if l < 0 || r < 0 {
		return 0, false
	}
	return g.spec.WidthStartMM + f.x[l]/g.runs[l].cos - f.x[r]/g.runs[r].cos, true
}

// startOffset returns the weights of how far to the left the datum line's start lies: from
// points on the line itself when there are any, otherwise midway between the edges,
// otherwise from the one edge, which then trusts the board's width; nil with a dial alone.
func (g *gathered) startOffset(f *datumFit) []float64 {
	var from []int
	if k := g.runOf(OnDatum); k >= 0 {
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

// analysis is the fit that the answer rests on and what else it told.
type analysis struct {
	datumFit
	clean datumFit // without the outlier; the same when there is none
	out   *outlier // nil when every reading belongs
	off   float64  // the outlier's distance from the fit through the others
	bow   *Bow     // board frame; nil when the stations do not show it
	taper bool     // the taper was fitted
}

// dropped is the sample that does not belong, or -1.
func (a *analysis) dropped() int {
	if a.out == nil {
		return -1
	}
	return a.out.index
}

// bowOf is the bow that was fitted, 0 when none was.
func (a *analysis) bowOf() float64 {
	if i := a.index(bowTerm); i >= 0 {
		return a.x[i]
	}
	return 0
}

// taperPrice is the largest factor on the slope's standard error that is paid for
// fitting the taper: an edge that was read over a short piece only says too little
// about it. It depends on the stations alone, not on what was read there.
const taperPrice = 1.5

// analyse chooses the terms of the fit, and tells bow, outlier and slope apart.
func (g *gathered) analyse() (a analysis, ok bool) {
	if a.datumFit, ok = g.fit(-1, slopeTerm); !ok {
		return a, false
	}
	if full, ok := g.fit(-1, slopeTerm, taperTerm); ok && full.df >= leastDF {
		_, with := full.contrast(full.of(slopeTerm, 1)...)
		_, less := a.contrast(a.of(slopeTerm, 1)...)
		if with <= taperPrice*less {
			a.datumFit, a.taper = full, true
		}
	}
	_, a.out = g.spec.studentised(&a.fit, nil)
	bent := append(slices.Clone(a.terms), bowTerm)
	var curved datumFit
	if a.bow, curved = g.bow(-1, bent); a.bow != nil && a.bow.Significant {
		// One wild point bends the line, and a bow makes a point look wild: what
		// leaves less of the scatter is believed.
		if a.out != nil && a.out.rest < curved.sse {
			a.bow.Significant = false
		} else {
			a.datumFit = curved
			_, a.out = g.spec.studentised(&a.fit, nil)
		}
	}
	a.clean = a.datumFit
	if a.out != nil {
		clean, ok := g.fit(a.out.index, a.terms...)
		if !ok {
			a.out = nil
			return a, true
		}
		a.clean = clean
		drop, _ := a.drop(a.out.index, 1) // e^2/(1 - h)
		a.off = drop / a.residual[a.out.index]
		if b, _ := g.bow(a.out.index, bent); b != nil {
			a.bow = b
		}
	}
	return a, true
}

// bow fits the bow and tells it from scatter; nil when the stations do not show it.
func (g *gathered) bow(dropped int, with []term) (*Bow, datumFit) {
	f, ok := g.fit(dropped, with...)
	if !ok {
		return nil, f
	}
	v, se := f.contrast(f.of(bowTerm, 1)...)
	b := g.spec.basis(f.sse, f.df)
	return &Bow{SagittaMM: v, Half: b.half(se), Significant: b.significant(v, se)}, f
}
