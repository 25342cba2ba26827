package layout

import (
	"math"
	"slices"
	"sort"

	"reseat/jig/geom"
)

// The clear pins stand in a row on either side of the board, evenly spread, with
// one row moved along so that the plate cannot go on turned or flipped. The rows
// are tried from the tidiest to the least tidy; the first that blocks every
// wrong way by wantedMissMM wins, otherwise the best of them.

// wantedMissMM is a miss that a person sees at a glance and no play in the holes
// hides. Common practice, no source. The rule itself asks for leastMissMM.
const wantedMissMM = 8.0

// row is the line on one side along which clear pins may stand.
type row struct {
	v     float64
	spots []spot // u ascending
}

// findRow returns the row on one side (+1 left, -1 right) with the most room,
// stations beside the board. With mirrored set, a station counts only when
// the spot across the datum line is allowed too.
func findRow(cols [][]spot, side, length float64, mirrored bool) row {
	byV := map[float64][]spot{}
	for _, col := range cols {
		if u := col[0].at.X; u < 0 || u > length {
			continue
		}
		have := map[float64]bool{}
		if mirrored {
			for _, s := range col {
				have[s.at.Y] = true
			}
		}
		for _, s := range col {
			if s.at.Y*side > 0 && (!mirrored || have[-s.at.Y]) {
				byV[s.at.Y] = append(byV[s.at.Y], s)
			}
		}
	}
	vs := make([]float64, 0, len(byV))
	for v := range byV {
		vs = append(vs, v)
	}
	sort.Slice(vs, func(i, k int) bool { return math.Abs(vs[i]) < math.Abs(vs[k]) })
	var best row
	most := 0.0
	for _, v := range vs {
		room := 0.0
		for _, s := range byV[v] {
			// Every allowed station counts, one with room to spare counts more.
			room += enoughSlackMM + math.Min(s.slack, enoughSlackMM)
		}
		if room > most+slackEqual {
			most, best = room, row{v, byV[v]}
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
// restricts them: about the long axis both rows are alike, about the short axis
// each is symmetric about the board's middle.
func schemes(flip Flip) []scheme {
	var out []scheme
	steps := []float64{1.0 / 6, 1.0 / 4, 1.0 / 3, 2.0 / 5, 1.0 / 8, 1.0 / 12}
	for _, a := range steps {
		switch flip {
		case FlipLong:
			out = append(out, scheme{a, a, 1}, scheme{-a, -a, 1})
		case FlipShort:
			out = append(out, scheme{0, 0, 1 - a})
		default:
			out = append(out, scheme{a, 0, 1}, scheme{0, -a, 1}, scheme{a, -a / 2, 1}, scheme{-a, a / 3, 1})
		}
	}
	return out
}

// stations returns n positions on the row nearest to the scheme's, apart from
// one another and from the taken ones by at least least; false when they do not fit.
func (r row) stations(n int, length, shift, squeeze, least float64, taken []placed) ([]spot, bool) {
	var out []spot
	have := slices.Clone(taken)
	for i := range n {
		f := (float64(i)+0.5+shift)/float64(n) - 0.5
		want := length * (0.5 + f*squeeze)
		best, found := spot{}, false
		for _, s := range r.spots {
			if near(s.at, have, least) {
				continue
			}
			if !found || math.Abs(s.at.X-want) < math.Abs(best.at.X-want)-slackEqual {
				best, found = s, true
			}
		}
		if !found {
			return nil, false
		}
		out, have = append(out, best), append(have, placed{at: best.at})
	}
	sort.Slice(out, func(i, k int) bool { return out[i].at.X < out[k].at.X })
	return out, true
}

// rowLayouts returns the layouts of n clear pins in two rows, tidiest first.
func (s Spec) rowLayouts(cols [][]spot, n int, taken []placed) [][]spot {
	if n == 0 {
		return [][]spot{nil}
	}
	var out [][]spot
	if s.Flip != FlipLong || n%2 == 0 {
		return s.twoRows(cols, n, taken)
	}
	// Of an odd number one stands on the axis, as far from the others as can be.
	for _, single := range s.farOnAxis(cols, taken) {
		have := append(slices.Clone(taken), placed{at: single.at})
		if n == 1 {
			out = append(out, []spot{single})
			continue
		}
		for _, rest := range s.twoRows(cols, n-1, have) {
			out = append(out, append([]spot{single}, rest...))
		}
	}
	return out
}

// farOnAxis returns a few spots on the flip's axis, the farthest from taken first.
func (s Spec) farOnAxis(cols [][]spot, taken []placed) []spot {
	var out []spot
	have := slices.Clone(taken)
	for range farTries {
		best, far := spot{}, 0.0
		for _, c := range s.axisSpots(cols) {
			for _, sp := range c {
				if near(sp.at, have, s.apart()) {
					continue
				}
				d := math.Inf(1)
				for _, t := range have {
					d = math.Min(d, sp.at.Dist(t.at))
				}
				if d > far+slackEqual {
					best, far = sp, d
				}
			}
		}
		if far == 0 {
			break
		}
		out, have = append(out, best), append(have, placed{at: best.at})
	}
	return out
}

// farTries is how many places on the axis are tried for an odd pin.
const farTries = 3

// twoRows returns the layouts of n pins in one row on either side.
func (s Spec) twoRows(cols [][]spot, n int, taken []placed) [][]spot {
	paired := s.Flip == FlipLong
	left := findRow(cols, 1, s.LengthMM, paired)
	right := findRow(cols, -1, s.LengthMM, paired)
	if paired {
		right = row{-left.v, mirrored(left.spots)}
	}
	nl := (n + 1) / 2
	nr := n - nl
	if s.Flip == FlipShort && n == 2 {
		// One on either side would stand in the middle of both rows, and the
		// plate could be turned.
		nl, nr = 2, 0
	}
	if len(left.spots) == 0 || (nr > 0 && len(right.spots) == 0) {
		return nil
	}
	least := s.apart()
	var out [][]spot
	for _, sc := range schemes(s.Flip) {
		l, ok := left.stations(nl, s.LengthMM, sc.shiftLeft, 1, least, taken)
		if ok && s.Flip == FlipShort {
			l, ok = s.symmetric(l, taken)
		}
		if !ok {
			continue
		}
		r, ok := right.stations(nr, s.LengthMM, sc.shiftRight, sc.squeezeRight, least, group(l).stand(slices.Clone(taken)))
		if ok && s.Flip == FlipShort {
			r, ok = s.symmetric(r, group(l).stand(slices.Clone(taken)))
		}
		if ok {
			out = append(out, append(append([]spot(nil), l...), r...))
		}
	}
	return out
}

// symmetric makes a row its own image under the flip about the short axis by
// mirroring its first half; false when the mirrored pins do not fit.
func (s Spec) symmetric(row []spot, taken []placed) ([]spot, bool) {
	n := len(row)
	out := append([]spot(nil), row...)
	if n%2 == 1 {
		out[n/2].at.X = s.LengthMM / 2
	}
	for i := range n / 2 {
		out[n-1-i].at = s.image(out[i].at)
	}
	have := slices.Clone(taken)
	for _, sp := range out {
		if sl, _ := s.Region.clearance(sp.at, s.Region.HoleRadiusMM); sl < 0 {
			return nil, false
		}
		if near(sp.at, have, s.apart()) {
			return nil, false
		}
		have = append(have, placed{at: sp.at})
	}
	return out, true
}

func mirrored(row []spot) []spot {
	out := make([]spot, len(row))
	for i, s := range row {
		out[i] = spot{geom.Vec{X: s.at.X, Y: -s.at.Y}, s.slack}
	}
	return out
}
