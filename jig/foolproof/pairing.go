package foolproof

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

const (
	fewestPins = 2
	mostPins   = 12 // beyond that the number of pairings is not bounded usefully
)

// search is one search for the least miss: pins turned into the frame in which
// the turn's placements are rotations within a quarter turn of zero.
type search struct {
	pins   []geom.Vec // spread
	tracks []track
	// gap[i][k] is the vector from pin k to pin i in polar form; likewise for
	// the middles of the tracks.
	pinGap, trackGap [mostPins][mostPins]polar

	best  float64       // least miss found, or the limit below which one is wanted
	first bool          // stop at the first one
	hit   bool          // one was found
	order []int         // pins paired, in order
	hole  [mostPins]int // of each pin paired
	used  uint16        // holes taken, one bit each
	turns turnSearch
}

type polar struct{ r, phi float64 }

// least widens the limit until a placement is found below it. Pairings are
// quickly refused while the limit is below the answer; far above it nearly all
// would have to be looked at, so it grows in small steps.
func (s *search) least() float64 {
	size := s.pinGap[0][1].r
	for limit := math.Max(size/firstShare, 10*MissTolerance); ; limit *= limitGrowth {
		s.best, s.hit = limit, false
		s.pair(-math.Pi/2, math.Pi/2, 0)
		if s.hit {
			return s.best
		}
	}
}

// firstShare: the first limit is this part of the longest distance between pins.
const firstShare = 256

// limitGrowth is the step of the limit. Measured on twelve scattered pins: 1.5
// times the answer costs five times the proof of the answer itself, twice the
// answer a thousand times.
const limitGrowth = 1.4

func (s *search) missesBy(need float64) bool {
	if need <= 0 {
		return true
	}
	s.best, s.first = need, true
	s.pair(-math.Pi/2, math.Pi/2, 0)
	return !s.hit
}

// choice is a hole for the next pin with what is known of it before searching.
type choice struct {
	hole   int
	lo, hi float64 // angles that remain
	strain float64 // largest difference of a pin gap from its track gap, mm
}

// pair finds a hole for one more pin, and so for all that are left. Angles
// outside lo..hi have been excluded.
func (s *search) pair(lo, hi, hint float64) {
	depth := len(s.order)
	if depth >= 2 {
		full := depth == len(s.pins)
		miss, at, found := s.fit(lo, hi, hint, !full || s.first)
		if !found {
			return
		}
		if full {
			s.best, s.hit = miss, true
			return
		}
		hint = at
	}
	var room [mostPins]choice
	pin, choices := s.next(lo, hi, room[:0])
	slices.SortStableFunc(choices, func(a, b choice) int { return cmp.Compare(a.strain, b.strain) })
	for _, c := range choices {
		if !s.narrow(&c, pin) { // the best miss may have shrunk meanwhile
			continue
		}
		s.order = append(s.order, pin)
		s.hole[pin], s.used = c.hole, s.used|1<<c.hole
		s.pair(c.lo, c.hi, math.Max(c.lo, math.Min(c.hi, hint)))
		s.order, s.used = s.order[:depth], s.used&^(1<<c.hole)
		if s.hit && (s.first || s.best <= missTol) {
			return
		}
	}
}

// fit searches the angles for the least miss of the pins paired so far.
func (s *search) fit(lo, hi, hint float64, any bool) (miss, at float64, found bool) {
	var pins []geom.Vec
	var holes []track
	for _, i := range s.order {
		pins, holes = append(pins, s.pins[i]), append(holes, s.tracks[s.hole[i]])
	}
	s.turns.pair(pins, holes)
	return s.turns.least(lo, hi, hint, s.best, any)
}

// next picks the pin to pair and returns the holes that it may enter: the first
// two pins as spread laid them, then the pin with the fewest holes left. No
// choices come back when the pins that are left cannot all have a hole of their
// own.
func (s *search) next(lo, hi float64, choices []choice) (pin int, _ []choice) {
	depth := len(s.order)
	var may [mostPins]uint16 // holes of each pin, one bit each
	var left []int
	var room [mostPins]int
	left = room[:0]
	fewest := math.MaxInt
	var list [mostPins]choice
	for i := range s.pins {
		if slices.Contains(s.order, i) || depth < 2 && i != depth {
			continue
		}
		found := list[:0]
		for j := range s.tracks {
			if s.used>>j&1 != 0 {
				continue
			}
			c := choice{hole: j, lo: lo, hi: hi}
			if s.narrow(&c, i) {
				found = append(found, c)
				may[i] |= 1 << j
			}
		}
		if len(found) < fewest {
			fewest, pin = len(found), i
			choices = append(choices[:0], found...)
		}
		if fewest == 0 {
			return pin, nil
		}
		left = append(left, i)
	}
	if !allSeated(left, &may) {
		return pin, nil
	}
	return pin, choices
}

// narrow keeps, of the angles in c, those at which the pin can lie in c's hole
// together with the pins paired before. Two pins D apart, each less than best and
// the play of its hole from its track, leave
//
//	|D e(alpha + phi) - H| < 2 best + travel and play of both = reach
//
// for the vector H between the tracks' middles. It reports whether any are left.
func (s *search) narrow(c *choice, pin int) bool {
	for _, k := range s.order {
		d, h := s.pinGap[pin][k], s.trackGap[c.hole][s.hole[k]]
		a, b := &s.tracks[c.hole], &s.tracks[s.hole[k]]
		travel := a.Half + a.play + b.Half + b.play
		reach := 2*s.best + travel
		strain := math.Abs(d.r - h.r)
		if strain > reach {
			return false
		}
		c.strain = math.Max(c.strain, strain-travel)
		cos := (d.r*d.r + h.r*h.r - reach*reach) / (2 * d.r * h.r)
		if !(cos > -1) { // any angle will do, or one of the gaps is zero
			continue
		}
		half := math.Acos(math.Min(cos, 1))
		mid := wrap(h.phi - d.phi)
		lo, hi := math.Inf(1), math.Inf(-1)
		// The range may reach around the half turn; keep the hull of its parts.
		for _, m := range [3]float64{mid, mid - 2*math.Pi, mid + 2*math.Pi} {
			if a, b := math.Max(c.lo, m-half), math.Min(c.hi, m+half); a <= b {
				lo, hi = math.Min(lo, a), math.Max(hi, b)
			}
		}
		if lo > hi {
			return false
		}
		c.lo, c.hi = lo, hi
	}
	return true
}
