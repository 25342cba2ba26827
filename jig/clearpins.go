package jig

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
func schemes(flip string) []scheme {
	var out []scheme
	steps := []float64{1.0 / 6, 1.0 / 4, 1.0 / 3, 2.0 / 5, 1.0 / 8, 1.0 / 12}
	for _, a := range steps {
		switch flip {
		case "long":
			out = append(out, scheme{a, a, 1}, scheme{-a, -a, 1})
		case "short":
			out = append(out, scheme{0, 0, 1 - a})
		default:
			out = append(out, scheme{a, 0, 1}, scheme{0, -a, 1}, scheme{a, -a / 2, 1}, scheme{-a, a / 3, 1})
		}
	}
	return out
}

// stations returns n positions on the row nearest to the scheme's, apart from
// one another and from the taken ones by at least least; false when they do not fit.
func (r row) stations(n int, length, shift, squeeze, least float64, taken []geom.Vec) ([]spot, bool) {
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
		out, have = append(out, best), append(have, best.at)
	}
	sort.Slice(out, func(i, k int) bool { return out[i].at.X < out[k].at.X })
	return out, true
}

func near(p geom.Vec, taken []geom.Vec, least float64) bool {
	for _, t := range taken {
		if p.Dist(t) < least {
			return true
		}
	}
	return false
}

// spread is the fallback when there is no room beside the board: each further
// pin goes as far as it can from those that stand, starting at the skip-th best.
func spread(pool []spot, n, skip int, least float64, taken []geom.Vec) ([]spot, bool) {
	var out []spot
	have := slices.Clone(taken)
	for len(out) < n {
		type far struct {
			s spot
			d float64
		}
		var cands []far
		for _, s := range pool {
			d := math.Inf(1)
			for _, t := range have {
				d = math.Min(d, s.at.Dist(t))
			}
			if d >= least {
				cands = append(cands, far{s, d})
			}
		}
		if len(cands) == 0 {
			return nil, false
		}
		sort.SliceStable(cands, func(i, k int) bool { return cands[i].d > cands[k].d+slackEqual })
		pick := cands[min(skip, len(cands)-1)].s
		out, have, skip = append(out, pick), append(have, pick.at), 0
	}
	return out, true
}
