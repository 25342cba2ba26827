package foolproof

import (
	"math"

	"reseat/jig/geom"
)

// wave is cos cos(alpha) + sin sin(alpha) + mean, in millimetres.
type wave struct{ cos, sin, mean float64 }

// wave returns the lower bound that b gives for pins at R(alpha) p.
func (b *basis) wave(pins []geom.Vec) wave {
	m := wave{mean: -b.slack}
	for i, f := range b.f {
		p := pins[f.pin]
		m.cos += b.w[i] * f.n.Dot(p)
		m.sin += b.w[i] * f.n.Dot(p.Left())
		m.mean -= b.w[i] * f.base
	}
	return m
}

func (m wave) at(alpha float64) float64 {
	s, c := math.Sincos(alpha)
	return m.cos*c + m.sin*s + m.mean
}

func (m wave) minus(o wave) wave { return wave{m.cos - o.cos, m.sin - o.sin, m.mean - o.mean} }

// trough returns the angle in (-pi, pi] at which m is least.
func (m wave) trough() float64 { return math.Atan2(-m.sin, -m.cos) }

// roots returns the two angles at which m is zero, or none.
func (m wave) roots() (r [2]float64, ok bool) {
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
	atLo     wave // bound found at lo
	atHi     wave
	low      float64 // least of the larger bound over the range
	try      float64 // the angle where that is
	loW, hiW bool    // whether there is a bound at lo, at hi
}

// measure finds low and try. Both bounds are sine waves, so the least of the
// larger one lies at an end, in a trough or where the waves cross. All angles
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
		look(k.atLo.trough())
	}
	if k.hiW {
		look(k.atHi.trough())
	}
	if k.loW && k.hiW {
		if r, ok := k.atLo.minus(k.atHi).roots(); ok {
			look(r[0])
			look(r[1])
		}
	}
}

// turnSearch finds the angle and shift for which the largest distance of pins
// from their tracks is least, pin i having track i.
type turnSearch struct {
	pins, q []geom.Vec
	tracks  []track
	reach   float64 // from the origin to the farthest pin and from there to the farthest track point, mm
	basis   basis
	open    []bracket
}

// least searches the angles lo..hi for a miss below limit. It returns the least
// one and its angle; found is false when there is none below limit by betterBy.
// With any set it returns the first that it meets.
//
// Every angle tried yields a sine wave that bounds the miss from below at all
// angles and is exact at this one; ranges in which the waves stay above the best
// miss found are dropped. Near a sharp minimum the waves cross almost at the
// minimum, so few angles are needed.
func (s *turnSearch) least(lo, hi, hint, limit float64, any bool) (miss, at float64, found bool) {
	s.basis = firstBasis(s.tracks)
	best := limit
	enough := 0.0
	if any {
		enough = limit - betterBy
	}
	s.open = append(s.open[:0], bracket{lo: lo, hi: hi, low: math.Inf(-1), try: math.Max(lo, math.Min(hi, hint))})
	for len(s.open) > 0 {
		// The most promising range first.
		pick := 0
		for i := range s.open {
			if s.open[i].low < s.open[pick].low {
				pick = i
			}
		}
		k := s.open[pick]
		s.open[pick] = s.open[len(s.open)-1]
		s.open = s.open[:len(s.open)-1]
		if k.low >= best-searchTol {
			break // no other range can be better
		}
		sin, cos := math.Sincos(k.try)
		for i, p := range s.pins {
			s.q[i] = geom.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y}
		}
		_, high, _ := exchange(s.q, s.tracks, &s.basis, s.reach+limit, enough)
		if high < best-betterBy {
			best, at, found = high, k.try, true
			if any || best <= MissTolerance {
				return best, at, true
			}
		}
		m := s.basis.wave(s.pins)
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
				s.open = append(s.open, half)
			}
		}
	}
	return best, at, found
}

const (
	// searchTol is the miss that a search over angles may overlook, mm.
	// Together with exchangeTol it makes up MissTolerance.
	searchTol = MissTolerance * 8 / 10
	// betterBy is the least gain that counts as a better miss, mm, so that pairings
	// which tie up to rounding are looked at once. It is less than searchTol by
	// more than exchangeTol: an angle that does not count then drops its
	// surroundings.
	betterBy = MissTolerance * 5 / 10
	// leastAngle is the width in radians below which a range of angles is one
	// angle: a pin a metre from the middle moves by 1e-5 of MissTolerance.
	leastAngle = 1e-12
	// endShare keeps a tried angle off the ends of its range, so that every
	// round shortens the range by a fixed share at least.
	endShare = 1.0 / 64
)
