package seat

import (
	"math"

	"reseat/jig/geom"
)

// Choice is three places of a board to be pushed against, the window's walls set back
// everywhere else.
type Choice struct {
	Stops []Stop // as of Home; in the order of the outline
	// How far the push may be out of its direction before the board leaves a stop, with
	// friction too, radians, and its line aside, mm.
	Direction, AsideMM float64
	// PerMM is the most that a feature moves, as the root of the sum of squares, when each stop's
	// wall stands off by a millimetre.
	PerMM float64
}

// candidates is about how many places of the outline Choose tries, three at a time.
const candidates = 60

// endRoomShare is the part of an edge at either end that no stop is put on: the wall there is
// relieved, and the board's corner chipped. Practice.
const endRoomShare = 0.1

// Choose returns the three places that hold the features nearest to where they belong, of those
// that the push closes with its direction out by as much as the margin, either way; ok is false
// when no three do. The features are as many as are asked for; without any, the corners of
// the board's bounds count. The error is of an outline that is none.
func (c Contour) Choose(features []geom.Vec, margin float64) (best Choice, ok bool, err error) {
	f, err := c.frame()
	if err != nil {
		return best, false, err
	}
	if len(features) == 0 {
		features = geom.Rect(c.Outline.Bounds()).Corners()
	}
	places := f.places(candidates)
	best.PerMM = math.Inf(1)
	triples(len(places), func(i, j, k int) {
		of := []contact{places[k], places[j], places[i]}
		d, held := dual(of[0].a, of[1].a, of[2].a)
		if !held {
			return
		}
		turn, aside := f.margins(d, c.Push)
		if turn < margin {
			return
		}
		var stops []Stop
		for i, k := range of {
			k.PerMM = f.pose(d[i])
			stops = append(stops, k.Stop)
		}
		worst := mostMove(stops, features)
		if worst >= best.PerMM*(1-alike) || f.sticks(of, turned(c.Push, margin)) || f.sticks(of, turned(c.Push, -margin)) {
			return
		}
		best, ok = Choice{Stops: stops, Direction: turn, AsideMM: aside, PerMM: worst}, true
	})
	if !ok {
		return Choice{}, false, nil
	}
	return best, true, nil
}

// places are about n places spread evenly over the outline's walls, but for the edges' ends. Edges
// shorter than half a step have one only where a step ends, so that many chords give no more.
func (f contourFrame) places(n int) (out []contact) {
	var all, run float64
	for _, s := range f.sides {
		all += s.edge.Length()
	}
	for _, s := range f.sides {
		steps := s.edge.Length() / all * float64(n)
		before := math.Floor(run)
		run += steps
		m := int(math.Ceil(steps))
		if steps < 0.5 {
			m = int(math.Floor(run) - before)
		}
		for k := range m {
			share := endRoomShare + (1-2*endRoomShare)*(float64(k)+0.5)/float64(m)
			at, normal := s.edge.P.Lerp(s.edge.Q, share), s.n
			if s.radius > 0 {
				at = s.edge.Arc().At(share)
				normal = at.Sub(s.at).Scale(s.out / s.radius)
			}
			out = append(out, contact{Stop: Stop{At: at, Normal: normal}, a: f.halfspace(at, normal, 0).a})
		}
	}
	return out
}
