package plate

import (
	"math"

	"reseat/jig/geom"
)

// Key is a corner of the board's start end that is cut off at 45 degrees, where nut or
// joint hides it, and that the window fills: the board then goes in one way only. The
// filled corner never touches the board that lies right, so that the walls alone locate
// it. The zero value is none.
type Key struct {
	Corner int     // of the board as geom.Taper runs it: 0 right, 3 left
	LegMM  float64 // cut off along each edge, from the sharp corner; 0: no key
	GapMM  float64 // from the board's cut to the filled corner
}

const (
	keyLegMM     = 3.0 // least leg: seen at a glance, and small enough to be hidden. Common practice, no source.
	keyLackMM    = 0.5 // that the key leaves the board to lack the wrong way. Common practice, no source.
	keyLegStepMM = 0.5 // legs are whole steps, as a maker marks them
	// roundedShare of its radius is how far back from the cut an end of 135 degrees is
	// rounded: tan(22.5)/sqrt 2 = 0.293.
	roundedShare = 0.3
)

// NewKey returns the key of a board pushed as stated, away from the side that it is pushed
// against. A cutter of radius rc rounds the filled corner's two ends, and the gap keeps
// them off the board's.
//
// Turned the wrong way, the board's sharp corner comes where the filled one is. It can
// draw back from there by the clearance c both ways, and s lacking at every wall,
//
//	leg/sqrt 2 = gap + sqrt 2 (c + s) + s,
//
// by more where its corners are rounded by r, which takes r (sqrt 2 - 1) off.
//
// A start end of the given width that half of would be cut off has no key.
func NewKey(width, clearance, radius, rc float64, push string) Key {
	k := Key{GapMM: 2*clearance + cornerUnderMM + roundedShare*rc}
	if push == "right" {
		k.Corner = 3
	}
	leg := math.Sqrt2 * (k.GapMM + math.Sqrt2*(clearance+keyLackMM) + keyLackMM)
	k.LegMM = UpTo(math.Max(math.Max(keyLegMM, leg)+(2-math.Sqrt2)*radius, radius), keyLegStepMM)
	if 2*k.LegMM > width {
		return Key{}
	}
	return k
}

// Side is the side of the start end that the corner is on, seen along the datum line;
// empty without a key.
func (k Key) Side() string {
	switch {
	case k.LegMM == 0:
		return ""
	case k.Corner == 3:
		return "left"
	}
	return "right"
}

// Cut returns the board, a quadrilateral, less its corner.
func (k Key) Cut(board geom.Loop) geom.Loop { return k.fill(board, board, 0) }

// Fill returns the window's walls round a quadrilateral board, with the corner filled;
// the walls alone where they leave it no room.
func (k Key) Fill(board, walls geom.Loop) geom.Loop { return k.fill(board, walls, k.GapMM) }

// fill cuts the corner of l off at the gap from the board's cut.
func (k Key) fill(board, l geom.Loop, gap float64) geom.Loop {
	if k.LegMM == 0 {
		return l
	}
	c, n := k.Corner, len(l)
	in, out := board.Edge((c+n-1)%n), board.Edge(c)
	p := in.Q.Sub(in.Q.Sub(in.P).Unit().Scale(k.LegMM))
	q := out.P.Add(out.Q.Sub(out.P).Unit().Scale(k.LegMM))
	away := q.Sub(p).Unit().Left().Scale(-1)
	on := func(e geom.Edge) float64 { // where the cut meets the edge, as a share of it
		return away.Dot(p.Add(away.Scale(gap)).Sub(e.P)) / away.Dot(e.Q.Sub(e.P))
	}
	a, b := l.Edge((c+n-1)%n), l.Edge(c)
	s, t := on(a), on(b)
	if s >= 1 || t <= 0 {
		return l
	}
	pts := l.Corners()
	cut := append(append([]geom.Vec{}, pts[:c]...), a.P.Lerp(a.Q, s), b.P.Lerp(b.Q, t))
	return geom.FromPoints(append(cut, pts[c+1:]...))
}

// Wall is the number of a wall in the filled walls.
func (k Key) Wall(w Wall) Wall {
	if k.LegMM > 0 && int(w) >= k.Corner {
		return w + 1
	}
	return w
}

// Opening returns the window that Window drew with its corner filled; rc rounds the ends of
// the cut, 0: sharp.
func (k Key) Opening(window, filled geom.Loop, rc float64) geom.Loop {
	each := len(window) / 4
	if len(filled) == 4 || len(window)%4 != 0 {
		return window
	}
	ends := geom.RoundCorners(filled, rc)
	per := len(ends) / len(filled)
	out := append(geom.Loop{}, window[:each*k.Corner]...)
	out = append(out, ends[per*k.Corner:per*(k.Corner+2)]...)
	return append(out, window[each*(k.Corner+1):]...)
}
