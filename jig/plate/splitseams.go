package plate

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// key is a dovetail on one bar of a seam: it stands on the near part and points to
// the far end.
type key struct {
	v          float64 // its middle
	head, neck float64 // half widths
	length     float64
}

// corners runs over the key from the right to the left, grown by c on the flanks and
// the head: the key itself for c = 0, its socket otherwise. A flank that widens by f for
// each millimetre and moves by c along its normal moves by c sqrt(1 + f^2) along the seam.
func (k key) corners(u, c float64) []geom.Vec {
	flare := (k.head - k.neck) / k.length
	n := k.neck + c*math.Hypot(1, flare)
	h := n + flare*(k.length+c)
	end := u + k.length + c
	return []geom.Vec{{X: u, Y: k.v - n}, {X: end, Y: k.v - h}, {X: end, Y: k.v + h}, {X: u, Y: k.v + n}}
}

// bar is a stretch of plate that a seam cuts, right and left edge.
type bar struct{ right, left float64 }

// seam is one cut across the plate.
type seam struct {
	u    float64
	bars []bar
	keys []key // of each bar, right first
	far  float64
}

// places are the legal seams, on whole millimetres, u ascending, between the plate's
// two ends, which stand for seams without keys.
func (w Whole) places() []seam {
	box := w.Outline.Bounds()
	out := []seam{{u: box.Min.X}}
	for u := math.Ceil(box.Min.X + leastPartMM/2); u <= box.Max.X-leastPartMM/2; u++ {
		if m, ok := w.at(u); ok {
			out = append(out, m)
		}
	}
	return append(out, seam{u: box.Max.X})
}

// at makes the seam at u, or reports that none may be there: not through a hole, a
// corner, the notch or a rounding.
func (w Whole) at(u float64) (seam, bool) {
	m := seam{u: u}
	outer, ok := crossings(w.Outline, u)
	if !ok || len(outer) != 2 {
		return m, false
	}
	m.bars = []bar{{outer[0], outer[1]}}
	inner, ok := crossings(w.Window, u)
	if !ok {
		return m, false
	}
	if len(inner) == 2 {
		m.bars = []bar{{outer[0], inner[0]}, {inner[1], outer[1]}}
	}
	for _, b := range m.bars {
		keys := w.keys(b, u)
		if keys == nil {
			return m, false
		}
		for _, k := range keys {
			m.far = math.Max(m.far, k.length)
		}
		m.keys = append(m.keys, keys...)
	}
	// The edges must run straight beside the whole of the joint, and holes stay clear.
	end := u + m.far + w.ClearanceMM
	for _, l := range []geom.Loop{w.Outline, w.Window} {
		for _, p := range l {
			if p.X > u-keyWallMM && p.X < end+keyWallMM {
				return m, false
			}
		}
	}
	for _, h := range w.Holes {
		if h.At.X > u-h.R-w.WebMM && h.At.X < end+h.R+w.WebMM {
			return m, false
		}
	}
	return m, true
}

// keys makes the keys of a bar: one in the middle of what rails leave free, or two when
// the plate is whole there; nil when it has no room for them.
func (w Whole) keys(b bar, u float64) []key {
	free := b
	for _, l := range w.Rails {
		cut, ok := crossings(l, u)
		if !ok || len(cut) != 2 || cut[1] <= free.right || cut[0] >= free.left {
			continue
		}
		// A rail stands at the window's side of its bar.
		if cut[0]-b.right > b.left-cut[1] {
			free.left = math.Min(free.left, cut[0])
		} else {
			free.right = math.Max(free.right, cut[1])
		}
	}
	stretches := []bar{free}
	if free.left-free.right > 4*mostKeyMM {
		mid := (free.left + free.right) / 2
		stretches = []bar{{free.right, mid}, {mid, free.left}}
	}
	var out []key
	for _, f := range stretches {
		head := math.Min(mostKeyMM, f.left-f.right-2*keyWallMM)
		if head < leastKeyMM {
			return nil
		}
		out = append(out, key{v: (f.left + f.right) / 2, head: head / 2, neck: keyNeck * head / 2, length: keyShare * head})
	}
	return out
}

// crossings returns where the contour crosses the line across at u, v ascending;
// false when the line runs through an arc or a corner.
func crossings(l geom.Loop, u float64) ([]float64, bool) {
	var out []float64
	for i := range l {
		e := l.Edge(i)
		if e.P.X == u || e.Q.X == u {
			return nil, false
		}
		if (e.P.X < u) == (e.Q.X < u) {
			continue
		}
		if e.IsArc() {
			return nil, false
		}
		out = append(out, across(e, u))
	}
	slices.Sort(out)
	return out, true
}

// across is where a straight edge crosses the line at u.
func across(e geom.Edge, u float64) float64 {
	t := (u - e.P.X) / (e.Q.X - e.P.X)
	return e.P.Y + float64(t*(e.Q.Y-e.P.Y))
}
