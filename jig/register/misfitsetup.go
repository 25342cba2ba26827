package register

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

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
	if err := checkPoints("pin", pins); err != nil {
		return nil, err
	}
	at := make([]geom.Vec, len(holes))
	for i, h := range holes {
		at[i] = h.At
	}
	if err := checkPoints("hole", at); err != nil {
		return nil, err
	}
	s := &misfit{}
	for i, h := range holes {
		if !finite(h.Travel) || h.Travel < 0 {
			return nil, &InputError{fmt.Sprintf("travel of hole %d (mm)", i), h.Travel, "zero or more"}
		}
		if !finite(h.Angle) {
			return nil, &InputError{fmt.Sprintf("angle of hole %d (rad)", i), h.Angle, "a finite angle"}
		}
		s.tracks = append(s.tracks, track{h.At, geom.Polar(1, h.Angle), h.Travel / 2})
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
			s.trackGap[i][k] = toPolar(s.tracks[i].c.Sub(s.tracks[k].c))
		}
	}
	s.turns.q = make([]geom.Vec, len(pins))
	return s, nil
}

// centre moves the middle of the holes to the origin, which any shift may do,
// and notes how far things reach.
func (s *misfit) centre() {
	b := geom.EmptyBox()
	for _, k := range s.tracks {
		b = b.Include(k.c)
	}
	var pin, hole float64
	for i := range s.tracks {
		k := &s.tracks[i]
		k.c = k.c.Sub(b.Center())
		hole = math.Max(hole, k.c.Norm()+k.half)
	}
	for _, p := range s.pins {
		pin = math.Max(pin, p.Norm())
	}
	s.turns.reach = pin + hole
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
