package register

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

const (
	fewestPins = 2
	mostPins   = 12 // beyond that the number of pairings is not bounded usefully
)

// misfit is one search for the least miss: pins turned into the frame in which
// the turn's placements are rotations within a quarter turn of zero.
type misfit struct {
	pins   []geom.Vec // in the order in which they are paired
	tracks []track
	// gap[i][k] is the vector from pin k to pin i in polar form; likewise for
	// the middles of the tracks.
	pinGap, trackGap [mostPins][mostPins]polar

	best  float64 // least miss found, or the limit below which one is wanted
	first bool    // stop at the first one
	hit   bool    // one was found
	taken [mostPins]int
	used  [mostPins]bool
	turns turnSearch
}

type polar struct{ r, phi float64 }

func newMisfit(pins []geom.Vec, holes []HoleAt, t Turn) (*misfit, error) {
	if n := len(pins); n < fewestPins || n > mostPins {
		return nil, &InputError{"number of pins", float64(n), "2 to 12"}
	}
	if n := len(holes); n < len(pins) || n > mostPins {
		return nil, &InputError{"number of holes", float64(n), "one for every pin, at most 12"}
	}
	if t < HalfTurn || t > FlipShort {
		return nil, &InputError{"turn", float64(t), "HalfTurn, FlipLong or FlipShort"}
	}
	if !finitePoints(pins) {
		return nil, &InputError{"pin position (mm)", math.Inf(1), "finite coordinates below 100 m"}
	}
	s := &misfit{}
	for _, h := range holes {
		if !finite(h.At.X, h.At.Y, h.Travel, h.Angle) || h.Travel < 0 {
			return nil, &InputError{"hole position, travel or angle", math.Inf(1), "finite figures, travel not negative"}
		}
		s.tracks = append(s.tracks, track{h.At, geom.Polar(1, h.Angle), h.Travel / 2})
	}
	s.pins = spread(turned(pins, t))
	for i := range s.pins {
		for k := range s.pins {
			s.pinGap[i][k] = toPolar(s.pins[i].Sub(s.pins[k]))
		}
	}
	for i := range s.tracks {
		for k := range s.tracks {
			s.trackGap[i][k] = toPolar(s.tracks[i].c.Sub(s.tracks[k].c))
		}
	}
	n := len(pins)
	s.turns.q = make([]geom.Vec, n)
	s.turns.tracks = make([]track, n)
	return s, nil
}

func toPolar(v geom.Vec) polar { return polar{v.Norm(), math.Atan2(v.Y, v.X)} }

// turned applies the turn itself and moves the middle of the pins to the
// origin, so that the waves over the angle stay small and accurate.
func turned(pins []geom.Vec, t Turn) []geom.Vec {
	b := geom.EmptyBox()
	for _, p := range pins {
		b = b.Include(p)
	}
	c := b.Center()
	out := make([]geom.Vec, len(pins))
	for i, p := range pins {
		p = p.Sub(c)
		switch t {
		case HalfTurn:
			p = p.Scale(-1)
		case FlipLong:
			p.Y = -p.Y
		case FlipShort:
			p.X = -p.X
		}
		out[i] = p
	}
	return out
}

// spread orders the pins so that each is far from those before it, the first
// two being the farthest pair: a long baseline fixes the angle best.
func spread(pins []geom.Vec) []geom.Vec {
	rest := slices.Clone(pins)
	var a, b int
	far := -1.0
	for i := range rest {
		for k := range i {
			if d := rest[i].Dist(rest[k]); d > far {
				far, a, b = d, k, i
			}
		}
	}
	out := []geom.Vec{rest[a], rest[b]}
	rest = slices.Delete(rest, b, b+1)
	rest = slices.Delete(rest, a, a+1)
	for len(rest) > 0 {
		pick, far := 0, -1.0
		for i, p := range rest {
			near := math.Inf(1)
			for _, q := range out {
				near = math.Min(near, p.Dist(q))
			}
			if near > far {
				pick, far = i, near
			}
		}
		out = append(out, rest[pick])
		rest = slices.Delete(rest, pick, pick+1)
	}
	return out
}

// least widens the limit until a placement is found below it. A pairing is
// quickly refused while the limit is small, and the last round, which alone has
// to look at many, has a limit of at most four times the answer.
func (s *misfit) least() float64 {
	size := s.pinGap[0][1].r
	for limit := math.Max(size/firstShare, 10*MissTolerance); ; limit *= 4 {
		s.best, s.hit = limit, false
		s.pair(0, -math.Pi/2, math.Pi/2, 0)
		if s.hit {
			return s.best
		}
	}
}

// firstShare: the first limit is this part of the longest distance between pins.
const firstShare = 256

func (s *misfit) missesBy(need float64) bool {
	if need <= 0 {
		return true
	}
	s.best, s.first = need, true
	s.pair(0, -math.Pi/2, math.Pi/2, 0)
	return !s.hit
}

// choice is a hole for the next pin with what is known of it before searching.
type choice struct {
	hole   int
	lo, hi float64 // angles that remain
	strain float64 // largest difference of a pin gap from its track gap, mm
}

// pair finds a hole for pin depth and those after it. Angles outside lo..hi
// have been excluded.
func (s *misfit) pair(depth int, lo, hi, hint float64) {
	n := len(s.pins)
	if depth >= 2 {
		full := depth == n
		s.turns.pins = s.pins[:depth]
		s.turns.q = s.turns.q[:depth]
		s.turns.tracks = s.turns.tracks[:depth]
		for i := range depth {
			s.turns.tracks[i] = s.tracks[s.taken[i]]
		}
		miss, at, found := s.turns.least(lo, hi, hint, s.best, !full || s.first)
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
	choices := room[:0]
	for j := range s.tracks {
		if s.used[j] {
			continue
		}
		c := choice{hole: j, lo: lo, hi: hi}
		if s.narrow(&c, depth) {
			choices = append(choices, c)
		}
	}
	slices.SortStableFunc(choices, func(a, b choice) int {
		switch {
		case a.strain < b.strain:
			return -1
		case a.strain > b.strain:
			return 1
		}
		return 0
	})
	for _, c := range choices {
		if !s.narrow(&c, depth) { // the best miss may have shrunk meanwhile
			continue
		}
		s.used[c.hole], s.taken[depth] = true, c.hole
		s.pair(depth+1, c.lo, c.hi, math.Max(c.lo, math.Min(c.hi, hint)))
		s.used[c.hole] = false
		if s.hit && (s.first || s.best <= MissTolerance) {
			return
		}
	}
}

// narrow keeps, of the angles in c, those at which pin depth can lie in c's hole
// together with the pins paired before. Two pins D apart, each less than best
// from its track, leave
//
//	|D e(alpha + phi) - H| < 2 best + travel of both = reach
//
// for the vector H between the tracks' middles. It reports whether any are left.
func (s *misfit) narrow(c *choice, depth int) bool {
	for k := range depth {
		d, h := s.pinGap[depth][k], s.trackGap[c.hole][s.taken[k]]
		travel := s.tracks[c.hole].half + s.tracks[s.taken[k]].half
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
