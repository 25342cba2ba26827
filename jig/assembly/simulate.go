package assembly

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/montecarlo"
)

// Spec says what is to be simulated.
type Spec struct {
	Joints []Joint // 2 to 12
	Turned *Turned // nil: the two plates' holes err apart, as the joints say
	Trials int     // assemblies drawn, a power of two; 0: montecarlo.Runs
	Seed   uint64
}

// Turned is a plate that was bored together with the one that its pins stand in, and is put
// on turned over. Each place is drawn once, for both: with M the mirror, the pin under
// joint i stands off from its hole by
//
//	M e(under i) - e(own i)
type Turned struct {
	SDMM       float64  // of a place, per axis
	Mirror     geom.Vec // (1, -1) about the long axis, (-1, 1) about the short one
	Own, Under []int    // for each joint, the place of its hole and of its pin, from 0
	Places     int
}

// Result is what a simulation gives. The shares are of all assemblies drawn.
type Result struct {
	// Odds is the share in which every pin enters; OddsLow and OddsHigh are the
	// 95 % interval that as many independent trials would leave (Wilson); those of
	// the lattice are as close, or closer.
	Odds, OddsLow, OddsHigh float64
	Trials                  int
	Seed                    uint64
	// ExtraFor99MM, added to the diametral clearance of every joint, makes 99 %
	// of the assemblies go together; negative: so much could be taken away.
	ExtraFor99MM float64
	// Blocks is, for each joint, the share of the assemblies that do not go together in
	// which it blocks: its pin is larger than its hole, or a little more clearance there
	// would lessen what is short. Several joints may block at once, so the sum is 1 or
	// more.
	Blocks []float64
	// Failed is how many do not go together. Where they are too few to tell (Few), Blocks
	// is of the tightest hundredth of the assemblies: the joints with the least clearance.
	Failed int
	Few    bool
}

// Critical is the pin that blocks most often.
type Critical struct {
	Pin string `json:"critical_pin"`
	// Share of the assemblies that do not go together in which it blocks; ByClearance: of the
	// tightest hundredth of all, since too few fail, and it has the least clearance there.
	Share       float64 `json:"critical_share"`
	ByClearance bool    `json:"critical_by_clearance"`
}

func (c Critical) String() string {
	if c.ByClearance {
		return c.Pin + ", by its clearance: too few failures to count"
	}
	return fmt.Sprintf("%s, which blocks in %.0f %% of failures", c.Pin, 100*c.Share)
}

// Critical is the joint that blocks most often, the first of several, by the names of the
// joints' pins.
func (r Result) Critical(names []string) Critical {
	k := 0
	for i, share := range r.Blocks {
		if share > r.Blocks[k] {
			k = i
		}
	}
	return Critical{names[k], r.Blocks[k], r.Few}
}

// leastFailed is how many failures, of a hundred times as many assemblies, tell which
// joint blocks: a share of them is then good to a tenth, 95 % (derived).
const leastFailed = 100

// chunk is how many assemblies a core takes at a time.
const chunk = 512

// Simulate draws assemblies and lays each one the best way. Clearances and
// offsets are normal and independent, but for what the joints share. The result depends on the Spec alone, not
// on the number of processors. It returns an error for joints that give no pattern.
func Simulate(spec Spec) (Result, error) {
	p, err := newPlate(spec.Joints)
	if err != nil {
		return Result{}, err
	}
	res := Result{Trials: spec.Trials, Seed: spec.Seed}
	res.Trials = cmp.Or(res.Trials, montecarlo.Runs)
	runs := montecarlo.NewLattice(res.Trials, spec.Seed)
	axes := make([][3]montecarlo.Axis, len(spec.Joints))
	for i := range axes {
		axes[i] = [3]montecarlo.Axis{runs.Axis(), runs.Axis(), runs.Axis()}
	}
	var turned Turned
	if spec.Turned != nil {
		turned = *spec.Turned
	}
	places := make([][2]montecarlo.Axis, turned.Places)
	for i := range places {
		places[i] = [2]montecarlo.Axis{runs.Axis(), runs.Axis()}
	}
	var shared montecarlo.Axis
	if slices.ContainsFunc(spec.Joints, func(j Joint) bool { return j.SharedSDMM > 0 }) {
		shared = runs.Axis()
	}
	short, binding := make([]float64, res.Trials), make([]uint16, res.Trials)
	montecarlo.Parallel(res.Trials, chunk, func(from, to int) {
		off, room := make([]geom.Vec, len(axes)), make([]float64, len(axes))
		problem := p.problem(off, room)
		for k := from; k < to; k++ {
			for i, a := range axes {
				j := &spec.Joints[i]
				room[i] = (j.ClearMM + float64(j.ClearSDMM*a[0].Normal(k))) / 2
				if j.SharedSDMM > 0 {
					room[i] += float64(j.SharedSDMM*shared.Normal(k)) / 2
				}
				off[i] = geom.Vec{X: j.PositionSDMM * a[1].Normal(k), Y: j.PositionSDMM * a[2].Normal(k)}
				if spec.Turned != nil {
					own, under := places[turned.Own[i]], places[turned.Under[i]]
					off[i] = geom.Vec{
						X: turned.SDMM * (turned.Mirror.X*under[0].Normal(k) - own[0].Normal(k)),
						Y: turned.SDMM * (turned.Mirror.Y*under[1].Normal(k) - own[1].Normal(k)),
					}
				}
			}
			s, bits := p.solve(&problem)
			for i, r := range room {
				if r < 0 {
					bits |= 1 << i
				}
			}
			short[k], binding[k] = s.High, bits
		}
	})
	for _, s := range short {
		if s > 0 {
			res.Failed++
		}
	}
	enter, percentile := res.Trials-res.Failed, montecarlo.Percentile(short, 99)
	res.Odds = float64(enter) / float64(res.Trials)
	res.OddsLow, res.OddsHigh = wilson(enter, res.Trials)
	res.ExtraFor99MM = 2 * percentile
	from := math.SmallestNonzeroFloat64 // what is short by more than nothing
	if res.Few = res.Failed < max(1, min(leastFailed, res.Trials/100)); res.Few {
		from = percentile
	}
	res.Blocks = blocking(short, binding, from, len(spec.Joints))
	return res, nil
}

// blocking returns, for each joint, its share of the assemblies that are short by at
// least from; nothing but zeros where none is.
func blocking(short []float64, binding []uint16, from float64, joints int) []float64 {
	out, counted := make([]float64, joints), 0
	for k, s := range short {
		if s < from {
			continue
		}
		counted++
		for i := range out {
			out[i] += float64(binding[k] >> i & 1)
		}
	}
	for i := range out {
		out[i] /= float64(max(1, counted))
	}
	return out
}

// wilson returns the 95 % interval of a share of which k in n were seen.
//
//	(k + z^2/2 -+ z sqrt(k (n - k)/n + z^2/4)) / (n + z^2)
//
// It stays within 0 and 1 and keeps a width when k is 0 or n.
//
// Reference: E. B. Wilson, Probable inference, the law of succession, and statistical
// inference, J. Am. Stat. Assoc. 22 (1927) 209-212 (recalled).
func wilson(k, n int) (low, high float64) {
	const z = fit.Normal95
	a, m := float64(k), float64(n)
	mid, half := a+z*z/2, z*math.Sqrt(a*(m-a)/m+z*z/4)
	// Rounding must not leave the share itself outside.
	return max(0, min(a/m, (mid-half)/(m+z*z))), min(1, max(a/m, (mid+half)/(m+z*z)))
}
