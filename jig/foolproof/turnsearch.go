package foolproof

import (
	"container/heap"
	"math"

	"reseat/jig/geom"
	"reseat/jig/minimax"
)

// sinusoid is cos cos(alpha) + sin sin(alpha) + mean, in millimetres.
type sinusoid struct{ cos, sin, mean float64 }

func (m sinusoid) at(alpha float64) float64 {
	s, c := math.Sincos(alpha)
	return m.cos*c + m.sin*s + m.mean
}

// minimum returns the angle in (-pi, pi] at which m is least.
func (m sinusoid) minimum() float64 { return math.Atan2(-m.sin, -m.cos) }

// roots returns the two angles at which m is zero, or none.
func (m sinusoid) roots() (r [2]float64, ok bool) {
	amp := math.Hypot(m.cos, m.sin)
	if amp == 0 || math.Abs(m.mean) > amp {
		return r, false
	}
	crest, half := math.Atan2(m.sin, m.cos), math.Acos(-m.mean/amp)
	return [2]float64{wrap(crest - half), wrap(crest + half)}, true
}

// wrap returns the angle in [-pi, pi] that differs from a by whole turns.
func wrap(a float64) float64 { return math.Remainder(a, 2*math.Pi) }

// bracket is a range of angles with the lower bounds found at its ends.
type bracket struct {
	lo, hi   float64
	atLo     sinusoid // bound found at lo
	atHi     sinusoid
	low      float64 // least of the larger bound over the range
	try      float64 // the angle where that is
	loW, hiW bool    // whether there is a bound at lo, at hi
}

// measure finds low and try. Both bounds are sinusoids, so the least of the
// larger one lies at an end, in a minimum or where they cross. All angles
// lie within a quarter turn of zero, so none needs to be taken modulo a turn.
func (k *bracket) measure() {
	k.low, k.try = math.Inf(1), k.lo
	look := func(a float64) {
		if a < k.lo || a > k.hi {
			return
		}
		v := math.Inf(-1)
		if k.loW {
			v = k.atLo.at(a)
		}
		if k.hiW {
			v = math.Max(v, k.atHi.at(a))
		}
		if v < k.low {
			k.low, k.try = v, a
		}
	}
	look(k.lo)
	look(k.hi)
	if k.loW {
		look(k.atLo.minimum())
	}
	if k.hiW {
		look(k.atHi.minimum())
	}
	if k.loW && k.hiW {
		a, b := k.atLo, k.atHi
		if r, ok := (sinusoid{a.cos - b.cos, a.sin - b.sin, a.mean - b.mean}).roots(); ok {
			look(r[0])
			look(r[1])
		}
	}
}

// brackets is a heap, the most promising range first: where pins stand in one place the
// miss is the same at every angle, and there are thousands.
type brackets []bracket

func (b brackets) Len() int           { return len(b) }
func (b brackets) Less(i, j int) bool { return b[i].low < b[j].low }
func (b brackets) Swap(i, j int)      { b[i], b[j] = b[j], b[i] }
func (b *brackets) Push(x any)        { *b = append(*b, x.(bracket)) }

func (b *brackets) Pop() any {
	last := len(*b) - 1
	x := (*b)[last]
	*b = (*b)[:last]
	return x
}

// turnSearch finds the angle and shift for which the largest distance of pins
// from their tracks is least, pin i having hole i.
type turnSearch struct {
	pins    []geom.Vec
	middles []geom.Vec // of the holes
	problem minimax.Problem
	basis   minimax.Basis
	reach   float64 // from the origin to the farthest pin and from there to the farthest track point, mm
	open    brackets
}

// pair gives the search its pins and the holes of each.
func (s *turnSearch) pair(pins []geom.Vec, holes []track) {
	s.pins, s.middles = pins, s.middles[:0]
	s.problem.Pins, s.problem.Room = s.problem.Pins[:0], s.problem.Room[:0]
	for _, h := range holes {
		s.middles, s.problem.Pins = append(s.middles, h.middle), append(s.problem.Pins, h.Pin)
		s.problem.Room = append(s.problem.Room, h.play)
	}
	s.problem.Off = make([]geom.Vec, len(pins))
	var cuts [3]minimax.Cut
	for i := range cuts {
		cuts[i] = minimax.NewCut(s.problem.Pins, 0, geom.Polar(1, 2*math.Pi/3*float64(i)))
	}
	s.basis = minimax.NewBasis(cuts[:]...)
}

// bound returns the lower bound that the basis gives for pins at R(alpha) p, found at an angle:
//
//	sum w (n . R(alpha) p - n . middle - support - room)
//
// Where its holes are round and in one place, normals that turn with the pins give at every angle
// what they give at this one.
func (s *turnSearch) bound(alpha float64) sinusoid {
	m := sinusoid{mean: -s.basis.Rest * s.problem.Reach}
	first, level := -1, true
	for i, f := range s.basis.Cuts {
		if f.Pin < 0 || s.basis.Weights[i] == 0 {
			continue
		}
		w, n, p := s.basis.Weights[i], geom.Vec{X: f.Row.X, Y: f.Row.Y}, s.pins[f.Pin]
		m.cos += w * n.Dot(p)
		m.sin += w * n.Dot(p.Left())
		m.mean -= w * (n.Dot(s.middles[f.Pin]) + f.Support + s.problem.Room[f.Pin])
		if first < 0 {
			first = f.Pin
		}
		level = level && s.problem.Pins[f.Pin].Half == 0 && s.middles[f.Pin] == s.middles[first]
	}
	if level {
		m = sinusoid{mean: m.at(alpha)}
	}
	return m
}

// least searches the angles lo..hi for a miss below limit. It returns the least
// one and its angle; found is false when there is none below limit by betterBy.
// With any set it returns the first that it meets.
//
// Every angle tried yields a sinusoid that bounds the miss from below at all
// angles and is exact at this one; ranges in which they stay above the best
// miss found are dropped. Near a sharp minimum they cross almost at the
// minimum, so few angles are needed.
func (s *turnSearch) least(lo, hi, hint, limit float64, any bool) (miss, at float64, found bool) {
	best := limit
	s.problem.Reach, s.problem.Enough, s.problem.Gap = s.reach+limit, 0, exchangeTol
	if any {
		s.problem.Enough = limit - betterBy
	}
	s.open = append(s.open[:0], bracket{lo: lo, hi: hi, low: math.Inf(-1), try: math.Max(lo, math.Min(hi, hint))})
	for len(s.open) > 0 {
		k := heap.Pop(&s.open).(bracket)
		if k.low >= best-searchTol {
			break // no other range can be better
		}
		sin, cos := math.Sincos(k.try)
		for i, p := range s.pins {
			s.problem.Off[i] = geom.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y}.Sub(s.middles[i])
		}
		high := s.problem.Solve(&s.basis, minimax.Bounds{High: math.Inf(1)}).High
		if high < best-betterBy {
			best, at, found = high, k.try, true
			if any || best <= missTol {
				return best, at, true
			}
		}
		m := s.bound(k.try)
		for _, half := range [2]bracket{
			{lo: k.lo, hi: k.try, atLo: k.atLo, loW: k.loW, atHi: m, hiW: true},
			{lo: k.try, hi: k.hi, atLo: m, loW: true, atHi: k.atHi, hiW: k.hiW},
		} {
			if half.hi-half.lo <= leastAngle {
				continue
			}
			half.measure()
			if half.low < best-searchTol {
				// An angle next to an end that was tried tells nothing new.
				if w := (half.hi - half.lo) * endShare; half.loW && half.try < half.lo+w {
					half.try = half.lo + w
				} else if half.hiW && half.try > half.hi-w {
					half.try = half.hi - w
				}
				heap.Push(&s.open, half)
			}
		}
	}
	return best, at, found
}

const (
	// missTol is what the search may miss by, mm: a hundredth of MissTolerance, the
	// unit that the answer is rounded to. Together the next two make it up.
	missTol = MissTolerance / 100
	// exchangeTol is the gap at which the search over shifts stops.
	exchangeTol = missTol / 10
	// searchTol is the miss that a search over angles may overlook.
	searchTol = missTol * 8 / 10
	// betterBy is the least gain that counts as a better miss, so that pairings
	// which tie up to rounding are looked at once. It is less than searchTol by
	// more than exchangeTol: an angle that does not count then drops its
	// surroundings.
	betterBy = missTol * 5 / 10
	// leastAngle is the width in radians below which a range of angles is one
	// angle: a pin a metre from the middle moves by a tenth of missTol.
	leastAngle = 1e-12
	// endShare keeps a tried angle off the ends of its range, so that every
	// round shortens the range by a fixed share at least.
	endShare = 1.0 / 64
)
