package jig

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// A printed plate longer than the printer's bed is cut across into parts. The seams
// run straight across, between the pins; every bar that a seam cuts is held by a
// dovetail key that lies flat and goes in from above. The faces butt and set the
// length, the key keeps them together, and its clearance is what the joint adds to
// the error (jointSource).

// Sizes of a key. All: common practice, no source.
const (
	keyShare    = 0.4  // length of a key in widths of its head
	keyNeck     = 0.6  // width of the neck in widths of the head
	mostKeyMM   = 24.0 // a wider head gains nothing
	leastKeyMM  = 6.0  // a narrower one breaks when the parts are pushed together
	keyWallMM   = 3.0  // least material on either side of a head
	leastPartMM = 30.0 // a shorter part is not worth a seam
)

// key is a dovetail on one bar of a seam: it stands on the near part and points to
// the far end.
type key struct {
	v          float64 // its middle
	head, neck float64 // half widths
	length     float64
}

// flare is how much the key widens for each millimetre of its length.
func (k key) flare() float64 { return (k.head - k.neck) / k.length }

// corners runs over the key from the right to the left, grown by c on the flanks and
// the head: the key itself for c = 0, its socket otherwise. A flank that moves by c
// along its normal moves by c sqrt(1 + flare^2) along the seam.
func (k key) corners(u, c float64) []geom.Vec {
	n := k.neck + c*math.Hypot(1, k.flare())
	h := n + k.flare()*(k.length+c)
	return []geom.Vec{{X: u, Y: k.v - n}, {X: u + k.length + c, Y: k.v - h}, {X: u + k.length + c, Y: k.v + h}, {X: u, Y: k.v + n}}
}

// bar is a stretch of plate that a seam cuts, right and left edge.
type bar struct{ right, left float64 }

// seam is one cut across the plate.
type seam struct {
	u    float64
	keys []key // one for each bar, right first
	bars []bar
}

// reachU is how far the seam's keys and sockets reach along u.
func (s seam) reachU(clearance float64) float64 {
	far := 0.0
	for _, k := range s.keys {
		far = math.Max(far, k.length+clearance)
	}
	return far
}

// splitter cuts one plate.
type splitter struct {
	outline, window geom.Loop
	pins            []Pin
	rails           []geom.Loop
	web             float64 // between a hole and a seam or a key
	clearance       float64 // of a key in its socket, per side
}

// SplitError is a plate that cannot be cut into parts that fit the printer.
type SplitError struct {
	Says string
	Got  float64 // mm
	Need float64 // mm
}

func (e *SplitError) Error() string { return "jig: the plate cannot be split: " + e.Says }

// seams chooses the fewest seams whose parts fit a bed of the given sides, lying
// either way, and among those the ones nearest to equal parts.
func (s splitter) seams(bedX, bedY float64) ([]seam, error) {
	box := s.outline.Bounds()
	size := box.Size()
	longest := 0.0 // a part may be this long
	for _, b := range [][2]float64{{bedX, bedY}, {bedY, bedX}} {
		if size.Y <= b[1] {
			longest = math.Max(longest, b[0])
		}
	}
	if longest == 0 {
		return nil, &SplitError{fmt.Sprintf("it is %.1f mm wide and the bed %.0f x %.0f mm; seams run across only", size.Y, bedX, bedY), math.Max(bedX, bedY), size.Y}
	}
	places := s.places()
	for n := 1; n <= mostSeams; n++ {
		if out, ok := s.choose(places, n, longest); ok {
			return out, nil
		}
	}
	return nil, &SplitError{
		fmt.Sprintf("no seams leave parts of at most %.0f mm and stay clear of pins and corners", longest), longest, size.X,
	}
}

// mostSeams bounds the search: nine parts of a 220 mm bed make the longest board.
const mostSeams = 12

// places are the legal seams, on whole millimetres, u ascending.
func (s splitter) places() []seam {
	box := s.outline.Bounds()
	var out []seam
	for u := math.Ceil(box.Min.X + leastPartMM/2); u <= box.Max.X-leastPartMM/2; u++ {
		if m, ok := s.at(u); ok {
			out = append(out, m)
		}
	}
	return out
}

// at makes the seam at u, or reports that none may be there: not through a hole, a
// corner, the notch or a rounding.
func (s splitter) at(u float64) (seam, bool) {
	m := seam{u: u}
	outer, ok := crossings(s.outline, u)
	if !ok || len(outer) != 2 {
		return m, false
	}
	m.bars = []bar{{outer[0], outer[1]}}
	if s.window != nil {
		inner, ok := crossings(s.window, u)
		if !ok {
			return m, false
		}
		if len(inner) == 2 {
			m.bars = []bar{{outer[0], inner[0]}, {inner[1], outer[1]}}
		}
	}
	for _, b := range m.bars {
		k, ok := s.key(b, u)
		if !ok {
			return m, false
		}
		m.keys = append(m.keys, k...)
	}
	// The edges must run straight beside the whole of the joint.
	end := u + m.reachU(s.clearance) + keyWallMM
	for _, l := range []geom.Loop{s.outline, s.window} {
		for i := range l {
			if p := l[i]; p.X > u-keyWallMM && p.X < end {
				return m, false
			}
		}
	}
	for _, p := range s.pins {
		r := (p.Print.MaxMM + p.Print.SlotMM) / 2
		if p.At.X > u-r-s.web && p.At.X < end-keyWallMM+r+s.web {
			return m, false
		}
	}
	return m, true
}

// key makes the keys of a bar: one in the middle of what rails leave free, or two
// when the plate is whole there.
func (s splitter) key(b bar, u float64) ([]key, bool) {
	free := b
	for _, l := range s.rails {
		cut, ok := crossings(l, u)
		if !ok || len(cut) != 2 {
			continue
		}
		if cut[1] > free.right && cut[0] < free.left {
			// A rail stands at the window's side of its bar.
			if cut[0]-b.right > b.left-cut[1] {
				free.left = math.Min(free.left, cut[0])
			} else {
				free.right = math.Max(free.right, cut[1])
			}
		}
	}
	make1 := func(f bar) (key, bool) {
		head := math.Min(mostKeyMM, f.left-f.right-2*keyWallMM)
		if head < leastKeyMM {
			return key{}, false
		}
		return key{v: (f.left + f.right) / 2, head: head / 2, neck: keyNeck * head / 2, length: keyShare * head}, true
	}
	if free.left-free.right > 4*mostKeyMM {
		mid := (free.left + free.right) / 2
		k1, ok1 := make1(bar{free.right, mid})
		k2, ok2 := make1(bar{mid, free.left})
		return []key{k1, k2}, ok1 && ok2
	}
	k, ok := make1(free)
	return []key{k}, ok
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
		t := (u - e.P.X) / (e.Q.X - e.P.X)
		out = append(out, e.P.Y+t*(e.Q.Y-e.P.Y))
	}
	slices.Sort(out)
	return out, true
}

// choose takes n of the places so that every part fits, each as near as can be to
// the equal division; false when a part would not fit.
func (s splitter) choose(places []seam, n int, longest float64) ([]seam, bool) {
	box := s.outline.Bounds()
	if len(places) < n {
		return nil, false
	}
	// Least of the largest deviations from equal parts, by dynamic programming:
	// cost[i] is the best with the latest seam at places[i].
	cost := make([]float64, len(places))
	from := make([][]int, len(places))
	want := func(k int) float64 { return box.Min.X + box.Size().X*float64(k)/float64(n+1) }
	for i, p := range places {
		cost[i] = math.Inf(1)
		if p.u+p.reachU(0)-box.Min.X <= longest && p.u-box.Min.X >= leastPartMM {
			cost[i], from[i] = math.Abs(p.u-want(1)), []int{i}
		}
	}
	for k := 2; k <= n; k++ {
		next, path := make([]float64, len(places)), make([][]int, len(places))
		for i, p := range places {
			next[i] = math.Inf(1)
			for j := range i {
				if math.IsInf(cost[j], 1) || p.u-places[j].u < leastPartMM+places[j].reachU(s.clearance) || p.u+p.reachU(0)-places[j].u > longest {
					continue
				}
				if c := math.Max(cost[j], math.Abs(p.u-want(k))); c < next[i] {
					next[i], path[i] = c, append(slices.Clone(from[j]), i)
				}
			}
		}
		cost, from = next, path
	}
	best := -1
	for i, p := range places {
		if !math.IsInf(cost[i], 1) && box.Max.X-p.u <= longest && box.Max.X-p.u >= leastPartMM && (best < 0 || cost[i] < cost[best]) {
			best = i
		}
	}
	if best < 0 {
		return nil, false
	}
	out := make([]seam, n)
	for k, i := range from[best] {
		out[k] = places[i]
	}
	return out, true
}

// piece is one part of a split plate, in the board frame.
type piece struct {
	outline geom.Loop
	window  geom.Loop // only of a plate that is not cut through it
	from    float64   // u of the seam at its near end; -Inf: none
	to      float64   // and at its far end; +Inf: none
	marks   []Mark    // of its own: which part it is
}

// pieces cuts the plate at the seams, near end first, right before left.
func (s splitter) pieces(seams []seam) []piece {
	var out []piece
	for i := range len(seams) + 1 {
		var lo, hi *seam
		p := piece{from: math.Inf(-1), to: math.Inf(1)}
		if i > 0 {
			lo = &seams[i-1]
			p.from = lo.u
		}
		if i < len(seams) {
			hi = &seams[i]
			p.to = hi.u
		}
		for _, l := range s.between(lo, hi) {
			q := p
			q.outline = l
			// A window that no seam cuts stays a window.
			if s.window != nil && inRange(s.window.Bounds(), p.from, p.to) {
				q.window = s.window
			}
			out = append(out, q)
		}
	}
	return out
}

func inRange(b geom.Box, from, to float64) bool { return b.Min.X > from && b.Max.X < to }

// between returns the contours of the plate between two seams, nil being the plate's
// own end. It walks outline and window with the material on its left and goes over
// to the seam's other crossing where it meets one.
func (s splitter) between(lo, hi *seam) []geom.Loop {
	from, to := math.Inf(-1), math.Inf(1)
	if lo != nil {
		from = lo.u
	}
	if hi != nil {
		to = hi.u
	}
	var chains []geom.Loop // open, from crossing to crossing
	var whole []geom.Loop
	loops := []geom.Loop{s.outline}
	if s.window != nil && !inRange(s.window.Bounds(), from, to) {
		loops = append(loops, reversed(s.window))
	}
	for _, l := range loops {
		c, closed := clip(l, from, to)
		chains = append(chains, c...)
		if closed {
			whole = append(whole, l)
		}
	}
	if len(chains) == 0 {
		return whole
	}
	var out []geom.Loop
	used := make([]bool, len(chains))
	for i := range chains {
		if used[i] {
			continue
		}
		var l geom.Loop
		for at := i; !used[at]; {
			used[at] = true
			l = append(l, chains[at]...)
			end := l[len(l)-1].Vec
			l[len(l)-1].Bulge = 0
			var path []geom.Vec
			if end.X == to {
				path = s.along(hi, end.Y, 1)
			} else {
				path = s.along(lo, end.Y, -1)
			}
			for _, p := range path[:len(path)-1] {
				l = append(l, geom.Vertex{Vec: p})
			}
			at = startsAt(chains, path[len(path)-1])
			if at < 0 {
				return nil // the seam does not close the part; never for a legal seam
			}
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b geom.Loop) int {
		return int(math.Copysign(1, a.Bounds().Center().Y-b.Bounds().Center().Y))
	})
	return out
}

// crossingMM is how near two crossings computed from either end of an edge lie: far
// above rounding, far below any wall.
const crossingMM = 1e-6

func startsAt(chains []geom.Loop, p geom.Vec) int {
	for i, c := range chains {
		if c[0].Dist(p) <= crossingMM {
			return i
		}
	}
	return -1
}

// along runs along a seam from the crossing at v to the other side of its bar: to the
// left (+1) on the near part, over the keys, to the right (-1) on the far part, over
// the sockets.
func (s splitter) along(m *seam, v float64, way int) []geom.Vec {
	var out []geom.Vec
	for _, b := range m.bars {
		start, end := b.right, b.left
		if way < 0 {
			start, end = end, start
		}
		if math.Abs(start-v) > crossingMM {
			continue
		}
		for _, k := range m.keys {
			if k.v < b.right || k.v > b.left {
				continue
			}
			if way > 0 {
				out = append(out, k.corners(m.u, 0)...)
			} else {
				c := k.corners(m.u, s.clearance)
				slices.Reverse(c)
				out = append(c, out...)
			}
		}
		return append(out, geom.Vec{X: m.u, Y: end})
	}
	return nil
}

// clip returns the stretches of a contour between the lines across at from and to,
// or reports that all of it lies there.
func clip(l geom.Loop, from, to float64) (chains []geom.Loop, whole bool) {
	in := func(p geom.Vec) bool { return p.X > from && p.X < to }
	var pts geom.Loop // with the crossings put in
	for i := range l {
		e := l.Edge(i)
		pts = append(pts, l[i])
		var cuts []geom.Vertex
		for _, u := range []float64{from, to} {
			if (e.P.X < u) != (e.Q.X < u) {
				t := (u - e.P.X) / (e.Q.X - e.P.X)
				cuts = append(cuts, geom.Vertex{Vec: geom.Vec{X: u, Y: e.P.Y + t*(e.Q.Y-e.P.Y)}})
			}
		}
		if len(cuts) == 2 && (cuts[1].X-cuts[0].X)*(e.Q.X-e.P.X) < 0 {
			cuts[0], cuts[1] = cuts[1], cuts[0]
		}
		pts = append(pts, cuts...)
	}
	first := slices.IndexFunc(pts, func(p geom.Vertex) bool { return !in(p.Vec) && p.X != from && p.X != to })
	if first < 0 {
		if len(pts) == len(l) {
			return nil, true
		}
		return nil, false
	}
	var chain geom.Loop
	for i := range len(pts) + 1 {
		p := pts[(first+i)%len(pts)]
		edge := p.X == from || p.X == to
		switch {
		case in(p.Vec):
			chain = append(chain, p)
		case edge && len(chain) == 0:
			next := pts[(first+i+1)%len(pts)]
			if in(next.Vec) || next.X != p.X && (next.X == from || next.X == to) {
				chain = append(chain, p)
			}
		case edge:
			chains = append(chains, append(chain, p))
			chain = nil
		}
	}
	return chains, false
}

// reversed turns a contour the other way round.
func reversed(l geom.Loop) geom.Loop {
	out := make(geom.Loop, len(l))
	for i := range l {
		out[len(l)-1-i] = geom.Vertex{Vec: l[(i+1)%len(l)].Vec, Bulge: -l[i].Bulge}
	}
	return out
}
