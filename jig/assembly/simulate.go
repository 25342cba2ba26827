package assembly

import (
	"errors"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"

	"reseat/jig/geom"
)

const (
	// DefaultTrials is the number of assemblies drawn when none is asked for:
	// the odds are then known to 0.3 % at worst, 0.06 % near 99 %.
	DefaultTrials = 100_000
	// MostTrials bounds the memory (8 bytes each) and the time.
	MostTrials = 10_000_000
)

// Spec says what is to be simulated.
type Spec struct {
	Joints []Joint
	Trials int    // assemblies drawn; 0: DefaultTrials
	Seed   uint64 // of the draws; the same seed gives the same result
}

// Result is what a simulation gives. The shares are of all assemblies drawn.
type Result struct {
	// Odds is the share in which every pin enters; OddsLow and OddsHigh are the
	// 95 % interval that the number of trials leaves (Wilson). All three are 0 or
	// 1 when nothing varies.
	Odds, OddsLow, OddsHigh float64
	Trials                  int
	Seed                    uint64
	// ExtraFor99MM, added to the diametral clearance of every joint, makes 99 %
	// of the assemblies go together; negative: so much could be taken away.
	ExtraFor99MM float64
	// Tightest is, for each joint, the share of assemblies that it holds up: a
	// little less clearance there would have raised the extra needed. Several
	// joints may bind at once, so the sum is 1 or more.
	Tightest []float64
	// GapMM is the widest bracket met around an extra clearance: at most 2
	// SolveTolerance unless rounding stopped a search early. An assembly counts
	// as entering only when a pose was found for it.
	GapMM float64
}

// Simulate draws assemblies and lays each one the best way. Clearances and
// offsets are normal and independent. The result depends on the Spec alone, not
// on the number of processors. Errors, all of them joined: *InputError,
// *PatternError.
func Simulate(spec Spec) (Result, error) {
	faults := []error{checkJoints(spec.Joints)}
	if spec.Trials < 0 || spec.Trials > MostTrials {
		faults = append(faults, &InputError{"number of trials", -1, float64(spec.Trials), "0 (for 100000) to 10000000"})
	}
	if err := errors.Join(faults...); err != nil {
		return Result{}, err
	}
	res := Result{Trials: spec.Trials, Seed: spec.Seed, Tightest: make([]float64, len(spec.Joints))}
	if res.Trials == 0 {
		res.Trials = DefaultTrials
	}
	if !varies(spec.Joints) {
		res.settle(spec.Joints)
		return res, nil
	}
	t := drawAll(newPlate(spec.Joints), spec.Joints, res.Trials, res.Seed)
	res.Odds = float64(t.enter) / float64(res.Trials)
	res.OddsLow, res.OddsHigh = wilson(t.enter, res.Trials)
	for i := range res.Tightest {
		res.Tightest[i] = float64(t.binding[i]) / float64(res.Trials)
	}
	// Of n sorted values, the one at ceil(0.99 n) lets 99 % enter.
	res.ExtraFor99MM = 2 * selectNth(t.short, (99*res.Trials+99)/100-1)
	res.GapMM = 2 * t.gap
	return res, nil
}

func varies(joints []Joint) bool {
	for _, j := range joints {
		if j.ClearSDMM > 0 || j.PositionSDMM > 0 {
			return true
		}
	}
	return false
}

// settle fills r from the one assembly that there is when nothing varies.
func (r *Result) settle(joints []Joint) {
	var e [mostJoints]geom.Vec
	var c [mostJoints]float64
	for i, j := range joints {
		c[i] = j.ClearMM / 2
	}
	p := newPlate(joints)
	s := p.solve(&e, &c)
	if s.high <= 0 {
		r.Odds, r.OddsLow, r.OddsHigh = 1, 1, 1
	}
	r.ExtraFor99MM, r.GapMM = 2*s.high, 2*(s.high-s.low)
	for _, i := range p.laid(s).Binding {
		r.Tightest[i] = 1
	}
}

// chunkTrials are drawn from one generator, seeded by the Spec's seed and the
// chunk's number, so that it does not matter who draws which chunk.
const chunkTrials = 1024

// tally is what a run of trials adds up to.
type tally struct {
	short   []float64 // s* of every trial
	enter   int
	binding [mostJoints]int
	gap     float64
}

func drawAll(p *plate, joints []Joint, trials int, seed uint64) tally {
	total := tally{short: make([]float64, trials)}
	chunks := (trials + chunkTrials - 1) / chunkTrials
	workers := min(runtime.GOMAXPROCS(0), chunks)
	parts := make([]tally, workers)
	var next atomic.Int64
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			var part tally
			for {
				c := int(next.Add(1)) - 1
				if c >= chunks {
					break
				}
				part.short = total.short[c*chunkTrials : min(trials, (c+1)*chunkTrials)]
				part.draw(p, joints, rand.New(rand.NewPCG(seed, uint64(c))))
			}
			parts[w] = part
		})
	}
	wg.Wait()
	// Counts and a maximum: the order of the workers does not show.
	for _, part := range parts {
		total.enter += part.enter
		total.gap = max(total.gap, part.gap)
		for i, n := range part.binding {
			total.binding[i] += n
		}
	}
	return total
}

// draw fills t.short. Every joint takes three normal numbers, whatever its
// spreads are, so that two Specs with one seed see the same draws.
func (t *tally) draw(p *plate, joints []Joint, rng *rand.Rand) {
	var e [mostJoints]geom.Vec
	var r [mostJoints]float64
	for k := range t.short {
		for i := range joints {
			j := &joints[i]
			r[i] = (j.ClearMM + j.ClearSDMM*rng.NormFloat64()) / 2
			e[i].X = j.PositionSDMM * rng.NormFloat64()
			e[i].Y = j.PositionSDMM * rng.NormFloat64()
		}
		s := p.solve(&e, &r)
		t.short[k] = s.high
		if s.high <= 0 {
			t.enter++
		}
		for i := range joints {
			t.binding[i] += int(s.binding >> i & 1)
		}
		t.gap = max(t.gap, s.high-s.low)
	}
}
