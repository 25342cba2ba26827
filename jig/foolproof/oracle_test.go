package foolproof

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"
)

// slowMiss is the independent oracle of LeastMiss for up to four pins: every
// pairing, a grid of angles over the whole half circle refined by golden section
// around its lowest points, and at each angle a nested ternary search for the
// shift (the miss is convex in it). It shares nothing with the search but the
// definition.
func slowMiss(pins []geom.Vec, holes []HoleAt, t Misplacement) float64 {
	const steps = 90
	type dip struct {
		miss, lo, hi float64
		hole         []int
	}
	var dips []dip
	angle := func(i int) float64 { return math.Pi * (float64(max(0, min(steps, i)))/steps - 0.5) }
	pairings(len(pins), len(holes), func(hole []int) {
		var miss [steps + 1]float64
		for i := range miss {
			miss[i] = slowShift(place(pins, t, angle(i)), holes, hole, 0.05)
		}
		for i, m := range miss {
			if i > 0 && miss[i-1] < m-0.1 || i < steps && miss[i+1] < m-0.1 {
				continue
			}
			dips = append(dips, dip{m, angle(i - 1), angle(i + 1), slices.Clone(hole)})
		}
	})
	slices.SortFunc(dips, func(a, b dip) int { return cmp.Compare(a.miss, b.miss) })
	best := math.Inf(1)
	for _, d := range dips {
		// Between grid points a pin travels less than 2 mm (pi/90 of 50 mm).
		if d.miss > best+2 {
			break
		}
		best = math.Min(best, golden(func(a float64) float64 {
			return slowShift(place(pins, t, a), holes, d.hole, 1e-6)
		}, d.lo, d.hi, 1e-6))
	}
	return best
}

// place turns the pins by the definition in the comments of Misplacement.
func place(pins []geom.Vec, t Misplacement, a float64) []geom.Vec {
	out := make([]geom.Vec, len(pins))
	for i, p := range pins {
		switch t {
		case HalfTurn:
			out[i] = geom.Rigid{Angle: math.Pi + a}.Apply(p)
		case FlipLong:
			out[i] = geom.Rigid{Angle: a, Mirror: true}.Apply(p)
		case FlipShort:
			out[i] = geom.Rigid{Angle: a}.Apply(vec(-p.X, p.Y))
		}
	}
	return out
}

func slowShift(q []geom.Vec, holes []HoleAt, hole []int, tol float64) float64 {
	var sin, cos [mostPins]float64
	for i := range q {
		sin[i], cos[i] = math.Sincos(holes[hole[i]].Angle)
	}
	miss := func(t geom.Vec) float64 {
		far := 0.0 // a plate that goes on misses nothing
		for i, p := range q {
			h := holes[hole[i]]
			d := p.Add(t).Sub(h.At)
			x, y := d.X*cos[i]+d.Y*sin[i], d.Y*cos[i]-d.X*sin[i]
			far = math.Max(far, math.Hypot(math.Max(0, math.Abs(x)-h.Travel/2), y)-h.Play)
		}
		return far
	}
	// The first pin comes within the pattern's size of its hole.
	c := holes[hole[0]].At.Sub(q[0])
	r := 0.0
	for i, p := range q {
		r = math.Max(r, p.Add(c).Dist(holes[hole[i]].At)+holes[hole[i]].Travel)
	}
	return golden(func(x float64) float64 {
		return golden(func(y float64) float64 { return miss(vec(x, y)) }, c.Y-r, c.Y+r, tol)
	}, c.X-r, c.X+r, tol)
}

// golden returns the least value of f found by golden section, to tol in x.
func golden(f func(float64) float64, lo, hi, tol float64) float64 {
	const ratio = 0.6180339887498949
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := f(a), f(b)
	for hi-lo > tol {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = f(b)
		}
	}
	return math.Min(fa, fb)
}

// pairings calls f with every way to give each of n pins a hole of its own.
func pairings(n, holes int, f func([]int)) {
	hole := make([]int, 0, n)
	used := make([]bool, holes)
	var next func()
	next = func() {
		if len(hole) == n {
			f(hole)
			return
		}
		for j := range holes {
			if !used[j] {
				used[j] = true
				hole = append(hole, j)
				next()
				hole = hole[:len(hole)-1]
				used[j] = false
			}
		}
	}
	next()
}

// oracleTol is what the oracle's nested searches may be off by: 1e-6 mm in
// shift, 1e-6 rad at 60 mm in angle.
const oracleTol = 2e-4

func TestLeastMissAgainstOracle(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	largest := 0.0
	cases := 12
	if testing.Short() {
		cases = 6
	}
	for k := range cases {
		n := 2 + k%3
		var pins []geom.Vec
		var holes []HoleAt
		for range n {
			p := vec(80*r.Float64(), 30*r.Float64())
			pins = append(pins, p)
			holes = append(holes, HoleAt{At: p.Add(geom.Polar(4*r.Float64(), 7*r.Float64()))})
		}
		switch k % 4 {
		case 1: // one slot, as in a real pattern
			holes[1].Travel, holes[1].Angle = 6*r.Float64(), math.Pi*r.Float64()
		case 2: // slots everywhere
			for i := range holes {
				holes[i].Travel, holes[i].Angle = 12*r.Float64(), math.Pi*r.Float64()
			}
		case 3: // a close hole, and clear ones
			for i := range holes[1:] {
				holes[i+1].Play = 2 * r.Float64()
			}
		}
		for turn := HalfTurn; turn <= FlipShort; turn++ {
			if n == 4 && int(turn) != k/3%3 {
				continue // 24 pairings to search: one turn each, in turn
			}
			got, err := LeastMiss(pins, holes, turn)
			if err != nil {
				t.Fatal(err)
			}
			want := slowMiss(pins, holes, turn)
			largest = math.Max(largest, math.Abs(got-want))
			if math.Abs(got-want) > MissTolerance+oracleTol {
				t.Errorf("case %d, %v: %.6f, oracle %.6f", k, turn, got, want)
			}
		}
	}
	t.Logf("largest difference %.2g mm", largest)
}
