package foolproof

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/minimax"
)

// track is the line between a slot's end centres; a point for a round hole.
type track struct {
	minimax.Pin
	middle geom.Vec
	play   float64
}

func newSearch(pins []geom.Vec, holes []HoleAt, t Misplacement) (*search, error) {
	if n := len(pins); n < fewestPins || n > mostPins {
		return nil, fmt.Errorf("%d pins; want %d to %d", n, fewestPins, mostPins)
	}
	if n := len(holes); n < len(pins) || n > mostPins {
		return nil, fmt.Errorf("%d holes; want one for every pin, at most %d", n, mostPins)
	}
	for i, p := range pins {
		if !finite(p.X, p.Y) {
			return nil, fmt.Errorf("pin %d lies nowhere", i)
		}
	}
	s := &search{}
	for i, h := range holes {
		if !finite(h.At.X, h.At.Y, h.Travel, h.Angle, h.Play) || h.Travel < 0 || h.Play < 0 {
			return nil, fmt.Errorf("hole %d is no place, travel, angle and play", i)
		}
		s.tracks = append(s.tracks, track{minimax.Pin{Dir: geom.Polar(1, h.Angle), Half: h.Travel / 2}, h.At, h.Play})
	}
	s.pins = spread(turned(pins, t))
	s.centre()
	for i := range s.pins {
		for k := range s.pins {
			s.pinGap[i][k] = toPolar(s.pins[i].Sub(s.pins[k]))
		}
	}
	for i := range s.tracks {
		for k := range s.tracks {
			s.trackGap[i][k] = toPolar(s.tracks[i].middle.Sub(s.tracks[k].middle))
		}
	}
	return s, nil
}

// centre moves the middle of the holes to the origin, which any shift may do,
// and notes how far things reach.
func (s *search) centre() {
	b := geom.EmptyBox()
	for _, k := range s.tracks {
		b = b.Include(k.middle)
	}
	var pin, hole float64
	for i := range s.tracks {
		k := &s.tracks[i]
		k.middle = k.middle.Sub(b.Center())
		hole = math.Max(hole, k.middle.Norm()+k.Half)
	}
	for _, p := range s.pins {
		pin = math.Max(pin, p.Norm())
	}
	s.turns.reach = pin + hole
}

func toPolar(v geom.Vec) polar { return polar{v.Norm(), math.Atan2(v.Y, v.X)} }

// turned applies the turn itself and moves the middle of the pins to the
// origin, so that the sinusoids over the angle stay small and accurate.
func turned(pins []geom.Vec, t Misplacement) []geom.Vec {
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

// largest bounds every length in millimetres and every angle that is accepted: a
// hundred metres, so that squares stay far from overflow.
const largest = 1e5

func finite(xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= largest) {
			return false
		}
	}
	return true
}
