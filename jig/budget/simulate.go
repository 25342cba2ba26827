package budget

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"reseat/jig/geom"
)

// figures are the simulated 95 % errors of one feature, mm.
type figures struct{ radial, along, across float64 }

// quantities is how many errors of a feature are looked at: the square of the
// radial one, |along| and |across|.
const quantities = 3

// blockBytes bounds the memory for values that are kept: features are taken in
// blocks, and the board's trials drawn again for each.
const blockBytes = 64 << 20

// simulate returns the figures of every feature.
//
// A pilot of about the square root of all chunks tells within which narrow range
// each figure lies; then all trials are run, only the values in that range are
// kept, and the figure is selected among them: exact, whatever the pilot says.
func (d *drawing) simulate(at []geom.Vec, trials int) []figures {
	chunks := (trials + chunkTrials - 1) / chunkTrials
	pilot := min(chunks, int(math.Ceil(math.Sqrt(float64(chunks)))))
	kept := pilot*chunkTrials + inBracket(trials, pilot)
	block := max(1, blockBytes/(8*quantities*kept))
	out := make([]figures, 0, len(at))
	for first := 0; first < len(at); first += block {
		r := run{drawing: d, first: first, at: at[first:min(first+block, len(at))], trials: trials, workers: runtime.GOMAXPROCS(0)}
		out = append(out, r.figures(pilot)...)
	}
	return out
}

// inBracket returns about how many of all trials lie in a bracket: twice
// pilotSigmas deviations of the pilot's rank.
func inBracket(trials, pilot int) int {
	return int(float64(trials) * 2 * pilotSigmas * math.Sqrt(share*(1-share)/float64(pilot*chunkTrials)))
}

// run is a simulation of some of the features.
type run struct {
	*drawing
	first   int // of at, among all features
	at      []geom.Vec
	trials  int
	workers int
}

// figures runs the pilot and then all trials.
func (r *run) figures(pilot int) []figures {
	brackets := make([]bracket, len(r.at)*quantities)
	for i := range brackets {
		brackets[i] = everything
	}
	if n := pilot * chunkTrials; n < r.trials {
		values := make([]float64, len(brackets)*n)
		of := func(quantity int) []float64 { return values[quantity*n : (quantity+1)*n] }
		r.chunks(n, func(_, quantity, first int, xs []float64) { copy(of(quantity)[first:], xs) })
		for i := range brackets {
			brackets[i] = bracketOf(of(i))
		}
	}
	return r.select95(brackets, inBracket(r.trials, pilot))
}

// select95 runs all trials and selects the figures. Those that a bracket misses
// are looked for again with an open one. Room is about how many values a bracket
// will hold.
func (r *run) select95(brackets []bracket, room int) []figures {
	ts := r.tallies(brackets, room)
	values := make([]float64, len(ts))
	missed := false
	for i := range ts {
		v, ok := ts[i].figure(rank(r.trials))
		if !ok {
			brackets[i], missed = everything, true
		}
		values[i] = v
	}
	if missed {
		return r.select95(brackets, room)
	}
	out := make([]figures, len(r.at))
	for i := range out {
		out[i] = figures{math.Sqrt(values[quantities*i]), values[quantities*i+1], values[quantities*i+2]}
	}
	return out
}

// tallies runs all trials and counts every quantity against its bracket. The
// counts, and the values kept but for their order, do not depend on how the
// chunks are shared out.
func (r *run) tallies(brackets []bracket, room int) []tally {
	workers := make([][]tally, r.workers)
	for w := range workers {
		workers[w] = make([]tally, len(brackets))
		for i, b := range brackets {
			workers[w][i] = tally{bracket: b, inside: make([]float64, 0, room/len(workers))}
		}
	}
	r.chunks(r.trials, func(worker, quantity, _ int, xs []float64) { workers[worker][quantity].add(xs) })
	for _, ts := range workers[1:] {
		for i := range ts {
			workers[0][i].merge(&ts[i])
		}
	}
	return workers[0]
}

// chunks runs the first trials, chunk by chunk on every core, and hands out the
// errors xs of a quantity in the trials from first on. The workers are numbered
// from 0 and call take at the same time.
func (r *run) chunks(trials int, take func(worker, quantity, first int, xs []float64)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for worker := range r.workers {
		wg.Go(func() {
			var c chunkMemory
			for {
				i := int(next.Add(1)) - 1
				first := i * chunkTrials
				if first >= trials {
					return
				}
				r.fill(i, &c.fields)
				for f, at := range r.at {
					c.errors(at)
					if r.own > 0 {
						c.addOwn(r.drawing, r.first+f, i)
					}
					c.magnitudes()
					for q := range c.values {
						take(worker, quantities*f+q, first, c.values[q][:min(chunkTrials, trials-first)])
					}
				}
			}
		})
	}
	wg.Wait()
}

// chunkMemory is the memory of one worker.
type chunkMemory struct {
	fields fields
	values [quantities][chunkTrials]float64
}

// errors leaves the moves along and across of the point at in values 1 and 2.
func (c *chunkMemory) errors(at geom.Vec) {
	f := &c.fields
	for i := range chunkTrials {
		c.values[1][i] = f[0][i] + f[2][i]*at.X + f[3][i]*at.Y
		c.values[2][i] = f[1][i] + f[4][i]*at.X + f[5][i]*at.Y
	}
}

func (c *chunkMemory) addOwn(d *drawing, feature, i int) {
	r := d.ownStream(feature, i)
	for i := range chunkTrials {
		c.values[1][i] += d.own * r.NormFloat64()
		c.values[2][i] += d.own * r.NormFloat64()
	}
}

// magnitudes turns the moves into the quantities that are counted.
func (c *chunkMemory) magnitudes() {
	for i := range chunkTrials {
		x, y := c.values[1][i], c.values[2][i]
		c.values[0][i] = x*x + y*y
		c.values[1][i], c.values[2][i] = math.Abs(x), math.Abs(y)
	}
}
