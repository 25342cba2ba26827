package layout

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// The clear pins stand in a row on either side of the board, evenly spread, with
// one row moved along so that the plate cannot go on turned or flipped. The rows
// are tried from the tidiest to the least tidy.

// row is a line beside the board along which clear pins may stand.
type row struct {
	v      float64
	groups []group // those whose first pin stands on it, u ascending
}

// findRow returns the row on one side (+1 left, -1 right) with the most room, of the
// stations beside the board; nearest the datum line among equals.
func (s *search) findRow(side float64) (best row) {
	beside := func(g group) bool { return g[0].at.X >= 0 && g[0].at.X <= s.LengthMM && g[0].at.Y*side > 0 }
	room := map[float64]float64{} // of each row, by its v
	for _, g := range s.groups {
		if beside(g) {
			// Every allowed station counts, one with room to spare counts more.
			for _, p := range g {
				room[g[0].at.Y] += enoughMM + min(p.clearance, enoughMM)
			}
		}
	}
	nearest := func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) }
	most := 0.0
	for _, v := range slices.SortedFunc(maps.Keys(room), nearest) {
		if room[v] > most+sameMM {
			most, best.v = room[v], v
		}
	}
	for _, g := range s.groups {
		if beside(g) && g[0].at.Y == best.v {
			best.groups = append(best.groups, g)
		}
	}
	return best
}

// scheme moves the rows along: pins of a row stand at the fractions
// (i + 1/2)/n of the board, drawn together by the factor and then shifted.
type scheme struct {
	shiftLeft, shiftRight float64 // in spacings of the row
	squeezeRight          float64 // factor on the right row's spread
}

// schemes lists the ways to place the rows, tidiest first. A flip that must fit
// restricts them: about the long axis the right row is the left one's image, about the
// short axis each is symmetric about the board's middle.
func schemes(flip Flip) []scheme {
	var out []scheme
	for _, a := range []float64{1.0 / 6, 1.0 / 4, 1.0 / 3, 2.0 / 5, 1.0 / 8, 1.0 / 12} {
		switch flip {
		case FlipLong:
			out = append(out, scheme{a, 0, 1}, scheme{-a, 0, 1})
		case FlipShort:
			out = append(out, scheme{0, 0, 1 - a})
		default:
			out = append(out, scheme{a, 0, 1}, scheme{0, -a, 1}, scheme{a, -a / 2, 1}, scheme{-a, a / 3, 1})
		}
	}
	return out
}

// rows returns the arrangements of n clear pins in two rows, tidiest first.
func (s *search) rows(n int, taken []occupied) [][]group {
	if s.Flip != FlipLong || n%2 == 0 {
		return s.twoRows(n, taken)
	}
	// Of an odd number one stands on the axis, as far from the others as can be.
	var out [][]group
	tried := taken
	for range axisTries {
		single := s.farthest(s.groups[:len(s.axis)], tried, func(group) bool { return true })
		if single == nil {
			break
		}
		tried = single.occupy(tried)
		if n == 1 {
			out = append(out, []group{single})
			continue
		}
		for _, rest := range s.twoRows(n-1, single.occupy(taken)) {
			out = append(out, append([]group{single}, rest...))
		}
	}
	return out
}

// axisTries is how many places on the axis are tried for an odd pin.
const axisTries = 3

// twoRows returns the arrangements of n pins in one row on either side.
func (s *search) twoRows(n int, taken []occupied) [][]group {
	if s.sides == nil {
		s.sides = []row{s.findRow(1), s.findRow(-1)}
	}
	left, right := s.sides[0], s.sides[1]
	nl, nr := (n+1)/2, n/2
	switch {
	case s.Flip == FlipLong:
		nl, nr = n/2, 0 // groups of two
	case s.Flip == FlipShort && n == 2:
		// One on either side would stand in the middle of both rows, and the
		// plate could be turned.
		nl, nr = 2, 0
	}
	var out [][]group
	for _, c := range schemes(s.Flip) {
		l, ok := s.stations(left, nl, c.shiftLeft, 1, taken)
		if !ok {
			continue
		}
		if r, ok := s.stations(right, nr, c.shiftRight, c.squeezeRight, occupy(taken, l)); ok {
			out = append(out, append(l, r...))
		}
	}
	return out
}

// stations returns groups of the row for n stations, each nearest to the scheme's and
// clear of the others and of taken; false when they do not fit. Of a row that is
// symmetric about the board's middle, half is placed with its images, and of an odd
// number one in the middle.
func (s *search) stations(r row, n int, shift, squeeze float64, taken []occupied) (out []group, ok bool) {
	size, place := 2, n
	switch s.Flip {
	case NoFlip:
		size = 1
	case FlipShort:
		place = n / 2
		if n%2 == 1 {
			middle := slices.IndexFunc(r.groups, func(g group) bool { return len(g) == 1 && g.free(taken, s.apart) })
			if middle < 0 {
				return nil, false
			}
			out = append(out, r.groups[middle])
			taken = r.groups[middle].occupy(taken)
		}
	}
	for i := range place {
		want := s.LengthMM * (0.5 + ((float64(i)+0.5+shift)/float64(n)-0.5)*squeeze)
		off := func(g group) float64 { return math.Abs(g[0].at.X - want) }
		var best group
		for _, g := range r.groups {
			if len(g) == size && (best == nil || off(g) < off(best)-sameMM) && g.free(taken, s.apart) {
				best = g
			}
		}
		if best == nil {
			return nil, false
		}
		out, taken = append(out, best), best.occupy(taken)
	}
	return out, true
}
