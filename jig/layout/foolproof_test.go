package layout

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"testing"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

// attack tries to put the plate on its pins in a wrong way, as a person would: two
// pins are laid on any two holes, and from the most promising of these placements
// the plate is shifted and turned as long as the worst pin comes nearer. It shares
// nothing with the search of jig/foolproof, and cannot find a miss below the truth.
type attack struct {
	pins   []geom.Vec // turned already
	holes  []Pin
	travel float64
	angle  float64 // of the slot
}

func newAttack(pins []Pin, travel float64, turn foolproof.Misplacement) attack {
	d := pins[1].At.Sub(pins[0].At)
	a := attack{holes: pins, travel: travel, angle: math.Atan2(d.Y, d.X)}
	for _, p := range pins {
		q := p.At
		switch turn {
		case foolproof.HalfTurn:
			q = q.Scale(-1)
		case foolproof.FlipLong:
			q.Y = -q.Y
		case foolproof.FlipShort:
			q.X = -q.X
		}
		a.pins = append(a.pins, q)
	}
	return a
}

// gap is how far a point lies from a hole: from the line of a slot's middle.
func (a attack) gap(at geom.Vec, h Pin) float64 {
	w := at.Sub(h.At)
	if h.Role != Slot {
		return w.Norm()
	}
	x, y := w.Dot(geom.Polar(1, a.angle)), w.Dot(geom.Polar(1, a.angle).Left())
	return math.Hypot(max(0, math.Abs(x)-a.travel/2), y)
}

// worst is the largest gap when every pin has a hole of its own, chosen so that
// it is least: the threshold is lowered until no full matching is left. One that is not
// below the limit is infinite.
func (a attack) worst(p geom.Rigid, below float64) float64 {
	n := len(a.pins)
	d := make([][]float64, n)
	var all []float64
	for i, q := range a.pins {
		at := p.Apply(q)
		d[i] = make([]float64, n)
		for k, h := range a.holes {
			d[i][k] = a.gap(at, h)
		}
		if slices.Min(d[i]) >= below {
			return math.Inf(1)
		}
		all = append(all, d[i]...)
	}
	slices.Sort(all)
	most := sort.SearchFloat64s(all, below) // of them are below
	full := func(limit float64) bool {
		owner := make([]int, n)
		for k := range owner {
			owner[k] = -1
		}
		var seat func(i int, seen []bool) bool
		seat = func(i int, seen []bool) bool {
			for k := range n {
				if d[i][k] <= limit && !seen[k] {
					seen[k] = true
					if owner[k] < 0 || seat(owner[k], seen) {
						owner[k] = i
						return true
					}
				}
			}
			return false
		}
		for i := range n {
			if !seat(i, make([]bool, n)) {
				return false
			}
		}
		return true
	}
	if most == 0 || !full(all[most-1]) {
		return math.Inf(1)
	}
	return all[sort.Search(most-1, func(i int) bool { return full(all[i]) })]
}

// least returns the smallest miss that the attack finds.
func (a attack) least(r *rand.Rand) float64 {
	type start struct {
		p     geom.Rigid
		worst float64
	}
	var starts []start
	for i, p := range a.pins {
		for _, q := range a.pins[:i] {
			for k, g := range a.holes {
				for m, h := range a.holes {
					if k == m {
						continue
					}
					pq, gh := q.Sub(p), h.At.Sub(g.At)
					phi := math.Atan2(pq.Cross(gh), pq.Dot(gh))
					if math.Abs(phi) > math.Pi/2 {
						continue
					}
					at := geom.Rigid{Angle: phi}
					at.Shift = g.At.Lerp(h.At, 0.5).Sub(at.Apply(p.Lerp(q, 0.5)))
					// No pin can come nearer than to the hole nearest to it.
					near := 0.0
					for _, v := range a.pins {
						one := math.Inf(1)
						for _, o := range a.holes {
							one = min(one, a.gap(at.Apply(v), o))
						}
						near = max(near, one)
					}
					starts = append(starts, start{at, near})
				}
			}
		}
	}
	nearest := func(n int) {
		slices.SortStableFunc(starts, func(x, y start) int { return cmp.Compare(x.worst, y.worst) })
		starts = starts[:min(len(starts), n)]
	}
	nearest(60)
	for i := range starts {
		starts[i].worst = a.worst(starts[i].p, math.Inf(1))
	}
	nearest(8)
	best := math.Inf(1)
	for _, s := range starts {
		p, w := s.p, s.worst
		for step := max(1, w/2); step > 1e-3; step /= 2 {
			for range 14 {
				q := geom.Rigid{Angle: p.Angle + step*r.NormFloat64()/200}
				if math.Abs(q.Angle) > math.Pi/2 {
					continue
				}
				// Turned about the pattern's middle, then shifted.
				c := a.pins[0].Lerp(a.pins[1], 0.5)
				q.Shift = p.Apply(c).Sub(q.Apply(c)).Add(geom.Vec{X: step * r.NormFloat64(), Y: step * r.NormFloat64()})
				if v := a.worst(q, w); v < w {
					p, w = q, v
				}
			}
		}
		best = min(best, w)
	}
	return best
}

// TestFoolproofAgainstAttack: for every number of pins and every flip, what is told of
// the three wrong ways is what the attack finds, and what must block blocks.
func TestFoolproofAgainstAttack(t *testing.T) {
	t.Parallel()
	const loose = 0.10 // the attack ends within this share of the true miss
	r := rand.New(rand.NewPCG(4, 7))
	for i, flip := range []Flip{NoFlip, FlipLong, FlipShort} {
		for k, n := range []int{2, 3, 4, 5, 6, 7, 9, MostPins} {
			if (i+k)%2 > 0 && worlds(1) == 1 {
				continue // where more is asked for
			}
			t.Run(fmt.Sprintf("flip %s, %d pins", flip, n), func(t *testing.T) {
				w := board([]float64{120, 300, 478}[n%3], 41.5, 55, 65, 48)
				w.Flip, w.Count = flip, n
				pins := w.Place().Pins
				if len(pins) != n {
					t.Fatalf("%d pins", len(pins))
				}
				f := Misses(pins, w.TravelMM, w.PlayMM)
				for i, told := range []float64{f.HalfTurnMM, f.FlipLongMM, f.FlipShortMM} {
					way := wrongWays[i]
					found := newAttack(pins, w.TravelMM, way.turn).least(r)
					if found < told-2*foolproof.MissTolerance || found > told*(1+loose)+0.05 {
						t.Errorf("%d: told %.4f mm, the attack finds %.4f mm", way.turn, told, found)
					}
					if n == 2 {
						continue // two pins can always be turned
					}
					if way.flip == flip && told > FlipFitsMM || way.flip != flip && told < LeastMissMM {
						t.Errorf("%d: misses by %.4f mm", way.turn, told)
					}
				}
			})
		}
	}
}

// TestAllRound: every pin locates, none is a slot, and the pattern is as foolproof.
func TestAllRound(t *testing.T) {
	t.Parallel()
	for _, flip := range []Flip{NoFlip, FlipLong, FlipShort} {
		for _, n := range []int{2, 3, 4, 6, MostPins} {
			t.Run(fmt.Sprintf("flip %s, %d pins", flip, n), func(t *testing.T) {
				w := board(478, 41.5, 55, 81, 37)
				w.Flip, w.Count = flip, n
				slotted := w.Place()
				w.AllRound = true
				got := w.Place()
				if len(got.Pins) != n {
					t.Fatalf("%d pins", len(got.Pins))
				}
				for i, p := range got.Pins {
					if p.Role != Round {
						t.Errorf("P%d is %s", i+1, p.Role)
					}
				}
				if n > 2 && !w.blocks(got.Pins, LeastMissMM) {
					t.Error("a wrong way on is open")
				}
				if !w.ownImage(got.Pins) {
					t.Error("the pattern does not fit turned over")
				}
				// Without a slot's travel the pair has no less room.
				if got.ObjectiveMM > slotted.ObjectiveMM*1.02 {
					t.Errorf("objective %.4f mm, with a slot %.4f mm", got.ObjectiveMM, slotted.ObjectiveMM)
				}
			})
		}
	}
}

// Without a number the pattern has the fewest pins that block every wrong way: fewer do
// not with the same pair, and the pair is as good as it is with that number stated.
func TestFewestPins(t *testing.T) {
	for _, c := range []struct {
		name   string
		world  *world
		flip   Flip
		length int // of the pattern
	}{
		{"tapered", board(478, 41.5, 55, 60, 30), NoFlip, 3},
		{"straight", board(430, 38, 38, 60, 30), NoFlip, 3},
		{"turned over, three on the long axis", board(560, 52, 66, 60, 42), FlipLong, 3},
		{"turned over, no room for a third on the axis", board(560, 52, 66, 32, 42), FlipLong, 4},
		{"turned over about the short axis", board(560, 52, 66, 60, 42), FlipShort, 3},
		{"no room for a third", board(300, 40, 40, 26, -6), NoFlip, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := c.world
			w.Count, w.Flip, w.PlayMM = 0, c.flip, 1
			p := w.Place()
			if len(p.Pins) != c.length {
				t.Fatalf("%d pins, want %d: %v", len(p.Pins), c.length, p.Pins)
			}
			w.checkPlaces(t, c.name, p.Pins)
			f := Misses(p.Pins, w.TravelMM, w.PlayMM)
			least := f.HalfTurnMM
			if c.flip != FlipLong {
				least = min(least, f.FlipLongMM)
			}
			if c.flip != FlipShort {
				least = min(least, f.FlipShortMM)
			}
			if (least >= LeastMissMM) != (c.length > 2) {
				t.Errorf("%d pins miss by %.3f", c.length, least)
			}
			w.Count = c.length
			if q := w.Place(); q.ObjectiveMM != p.ObjectiveMM {
				t.Errorf("objective %.4f, with the number stated %.4f", p.ObjectiveMM, q.ObjectiveMM)
			}
		})
	}
}
