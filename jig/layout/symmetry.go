package layout

import (
	"math"

	"reseat/jig/geom"
)

// A job that turns the board over wants the pattern to be its own image: about the
// datum line (flip long) or about the line across through the board's middle
// (flip short). The locating pair then either stands on that axis, or its two pins
// are each other's image and change places. The other pins come as single ones on
// the axis or as pairs of images.

// image returns where the wanted flip takes p.
func (s Spec) image(p geom.Vec) geom.Vec {
	if s.Flip == FlipShort {
		return geom.Vec{X: s.LengthMM - p.X, Y: p.Y}
	}
	return geom.Vec{X: p.X, Y: -p.Y}
}

// ownImage reports whether the wanted flip takes every pin to a pin, and the
// locating pair to itself.
func (s Spec) ownImage(pins []Pin) bool {
	if s.Flip == NoFlip {
		return true
	}
	for i, p := range pins {
		found := false
		for k, q := range pins {
			found = found || s.image(p.At).Dist(q.At) < pointEqualMM && (i < 2) == (k < 2)
		}
		if !found {
			return false
		}
	}
	return true
}

// fromAxis is how far p lies from the flip's axis, positive on the side that
// stands for both.
func (s Spec) fromAxis(p geom.Vec) float64 {
	if s.Flip == FlipShort {
		return s.LengthMM/2 - p.X
	}
	return p.Y
}

// speaks reports whether p stands for itself and its image: on one side of the axis,
// and on the other only where the images do not fall on the grid.
func (s Spec) speaks(p geom.Vec) bool {
	d := s.fromAxis(p)
	if d > 0 || s.Flip == FlipLong {
		return d > 0
	}
	k := s.image(p).X / s.Region.StepMM
	return d < 0 && math.Abs(k-math.Round(k))*s.Region.StepMM > pointEqualMM
}

// axisSpots returns the spots on the flip's axis, as columns. The middle of the
// board need not be on the grid.
func (s Spec) axisSpots(cols [][]spot) [][]spot {
	var out [][]spot
	if s.Flip == FlipShort {
		lo, hi := s.Region.gridBox()
		var col []spot
		for k := lo[1]; k <= hi[1]; k++ {
			p := geom.Vec{X: s.LengthMM / 2, Y: float64(k) * s.Region.StepMM}
			if sl, _ := s.Region.slackAbove(p, s.Region.HoleRadiusMM, 0); sl >= 0 {
				col = append(col, spot{p, sl})
			}
		}
		if col != nil {
			out = append(out, col)
		}
		return out
	}
	for _, col := range cols {
		for i := range col {
			if col[i].at.Y == 0 {
				out = append(out, col[i:i+1])
			}
		}
	}
	return out
}

// imageOf returns the image of a spot as a spot of its own, if it is allowed.
func (s Spec) imageOf(a spot) (spot, bool) {
	m := s.image(a.at)
	sl, _ := s.Region.slackAbove(m, s.Region.HoleRadiusMM, 0)
	return spot{m, sl}, sl >= 0
}

// choosePair returns the best pair that the flip allows.
func (s Spec) choosePair(f finder, cols [][]spot) (pair, bool) {
	if s.Flip == NoFlip {
		return f.best(cols)
	}
	p, ok := f.best(s.axisSpots(cols))
	q, okQ := s.bestImages(f, cols)
	switch {
	case !ok:
		return q, okQ
	case !okQ || p.err*(1+searchGap) < q.err:
		return p, true
	case q.err*(1+searchGap) < p.err:
		return q, true
	case q.better(p):
		return q, true
	}
	return p, true
}

// bestImages returns the best pair of two pins that change places, by the same
// three steps as finder.best; every spot with its image is judged.
func (s Spec) bestImages(f finder, cols [][]spot) (pair, bool) {
	var all []spot
	for _, c := range cols {
		for _, a := range c {
			if s.speaks(a.at) && 2*math.Abs(s.fromAxis(a.at)) >= f.least {
				all = append(all, a)
			}
		}
	}
	const unknown, yes, no = 0, 1, 2
	seen := make([]int8, len(all))
	images := make([]spot, len(all))
	fits := func(i int) bool {
		if seen[i] == unknown {
			m, ok := s.imageOf(all[i])
			images[i], seen[i] = m, no
			if ok && f.legal(all[i], m) {
				seen[i] = yes
			}
		}
		return seen[i] == yes
	}
	errs := make([]float64, len(all))
	least := math.Inf(1)
	for i, a := range all {
		if errs[i] = f.features.error(a.at, s.image(a.at)); errs[i] < least && fits(i) {
			least = errs[i]
		}
	}
	limit := least * (1 + pairEqual)
	ends := math.Inf(1)
	for i, a := range all {
		if errs[i] <= limit {
			if e := f.ends.error(a.at, s.image(a.at)); e < ends && fits(i) {
				ends = e
			}
		}
	}
	var best pair
	found := false
	for i, a := range all {
		if errs[i] > limit || f.ends.error(a.at, s.image(a.at)) > ends*(1+endsEqual) || !fits(i) {
			continue
		}
		if p := f.measure(a, images[i]); !found || p.tidier(best) {
			best, found = p, true
		}
	}
	return best, found
}

// otherPairs returns pairs besides p, best first, no two alike: for patterns whose
// best pair stands in the way of the other pins. The last of them belong to dense
// fillings of the ground.
func (s Spec) otherPairs(f finder, p pair, cols [][]spot, pk *packer) []pair {
	if s.Count == 2 {
		return nil // the pair is all there is
	}
	var all []pair
	add := func(a, b spot) {
		if f.legal(a, b) {
			all = append(all, f.measure(a, b))
		}
	}
	both := func(spots []spot) {
		for i, a := range spots {
			for _, b := range spots[i+1:] {
				add(a, b)
			}
		}
	}
	if s.Flip == NoFlip {
		both(thinned(cols, f.step, otherSpots))
	} else {
		both(thinned(s.axisSpots(cols), f.step, otherSpots))
		for _, a := range thinned(cols, f.step, 4*otherSpots) {
			if !s.speaks(a.at) {
				continue
			}
			if m, ok := s.imageOf(a); ok {
				add(a, m)
			}
		}
	}
	sortPairs(all)
	out := unlike([]pair{p}, all, f.least/2, mostOthers)
	out = append(out, s.reserved(f, cols)...)
	for _, order := range pk.orders {
		all = nil
		var singles []spot
		for _, g := range fill(order, nil, s.apart()) {
			if len(g) == 2 {
				add(g[0], g[1])
			} else if len(singles) < otherSpots {
				singles = append(singles, g[0])
			}
		}
		both(singles)
		sortPairs(all)
		out = unlike(out, all, f.least/2, 1)
	}
	sortPairs(out[1:])
	return out[1:]
}

// reserved returns the best pairs on and beside the flip's axis when one pin of an
// odd number must stand on the axis as well: the room for that one is taken out at
// each end of every stretch of the axis, and the pair is searched in what is left.
func (s Spec) reserved(f finder, cols [][]spot) []pair {
	if s.Flip == NoFlip || s.Count%2 == 0 {
		return nil
	}
	var all []pair
	if q, ok := s.bestImages(f, cols); ok {
		all = append(all, q)
	}
	var axis []spot
	for _, c := range s.axisSpots(cols) {
		axis = append(axis, c...)
	}
	apart := s.apart() + s.TravelMM/2
	for i, single := range axis {
		within := func(k int) bool {
			return k >= 0 && k < len(axis) && axis[k].at.Dist(single.at) < 1.5*f.step
		}
		if within(i-1) && within(i+1) {
			continue
		}
		var left [][]spot
		for k := range axis {
			if axis[k].at.Dist(single.at) >= apart {
				left = append(left, axis[k:k+1])
			}
		}
		if q, ok := f.best(left); ok {
			all = append(all, q)
		}
	}
	sortPairs(all)
	return all
}

// unlike appends up to n pairs to out that differ from those in it by least.
func unlike(out, from []pair, least float64, n int) []pair {
	for _, q := range from {
		alike := false
		for _, o := range out {
			alike = alike || q.round.at.Dist(o.round.at)+q.slot.at.Dist(o.slot.at) <= least
		}
		if alike {
			continue
		}
		if out = append(out, q); n == 1 {
			break
		}
		n--
	}
	return out
}

const (
	// otherSpots and mostOthers bound the search for other pairs, which is only
	// done for a job that would fail without.
	otherSpots = 60
	mostOthers = 6
)
