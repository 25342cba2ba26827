// Package reliable says how far a board's pose hangs on single readings. Least squares spread a
// wrong reading over all the others, and with few of them the scatter hardly shows it; so a pose is
// held against what it would be without each of them. Values in, values out.
//
// Reference: Baarda, A testing procedure for use in geodetic networks, 1968 (recalled): what is
// asked of a network is the effect, on what it serves, of the error that escapes (its external
// reliability). Here it serves the features, and leaving out asks it of the readings at hand.
package reliable

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// Row is one coordinate that was read.
type Row struct {
	By  [3]float64 // what a unit of the pose's turn (rad), X and Y (mm) adds to it
	Off float64    // mm, from where the fit of all has it
}

// Reading is what can be wrong by itself: a mark with both its coordinates and all its repeats, or
// one touch of an edge.
type Reading []Row

// Spec is a least-squares fit of a pose.
type Spec struct {
	Readings []Reading
	Places   []geom.Vec // that must come back, from the point that the turn is about
	// Half is the half width of the interval of a value whose standard error is that of one reading,
	// when df coordinates more than the three unknowns left a sum of squares and a reading is
	// credited with no less than a standard deviation; +Inf where they say nothing.
	Half    func(sse float64, df int, leastSD float64) float64
	LeastSD float64 // of a reading, when it is asked whether one is wrong; mm
}

// Reliability is how well a pose is known, mm, at the place and in the direction that are known least.
type Reliability struct {
	HalfMM float64 // of the interval by all readings
	Place  int     // where that is
	// AsideMM is how far a place may lie from where all readings have it when one of them is wrong:
	// by how much the others have it elsewhere, and restShare of their interval. +Inf when the
	// others do not fix the board.
	AsideMM float64
	Reading int     // the one without which it is so
	RestMM  float64 // least root mean square of the residuals without one reading; +Inf when none are left
}

// restShare is the part of the others' interval that counts beside their move: the board is out
// only when a reading is wrong and the others err the same way. Derived from seeded boards, four
// to six marks, 2 000 each: with the mark, the direction and the size that hide best, 3 % of the
// boards pass that are out, 1.2 % with a mark and a direction by chance; with the whole interval
// none do, but a good board of four marks that repeat to 0.02 mm passes in 4 % only, not in 80 %.
const restShare = 0.5

// sums are the normal equations of some rows.
//
//	n = A'A by its upper triangle,  w = A'e,  ee = e'e
type sums struct {
	n    [6]float64 // 00 01 02 11 12 22
	w    [3]float64
	ee   float64
	rows int
}

// add adds a reading, or takes it out with by = -1.
func (s *sums) add(r Reading, by float64) {
	for _, x := range r {
		k := 0
		for i := range 3 {
			for j := i; j < 3; j++ {
				s.n[k] += float64(by * x.By[i] * x.By[j])
				k++
			}
			s.w[i] += float64(by * x.By[i] * x.Off)
		}
		s.ee += float64(by * x.Off * x.Off)
	}
	s.rows += int(by) * len(r)
}

// leastPivot is the part of a column's square that must be left once those before it are taken
// out: below it the rows leave the board free. Rounding leaves 1e-13.
const leastPivot = 1e-10

// factor is the lower triangle L with n = L L', by rows.
type factor [6]float64

// factored is false when the sums do not fix all three unknowns.
func (s *sums) factored() (l factor, ok bool) {
	n := &s.n
	l[0] = math.Sqrt(n[0])
	l[1], l[3] = n[1]/l[0], n[2]/l[0]
	d1 := n[3] - float64(l[1]*l[1])
	l[2] = math.Sqrt(d1)
	l[4] = (n[4] - float64(l[3]*l[1])) / l[2]
	d2 := n[5] - float64(l[3]*l[3]) - float64(l[4]*l[4])
	l[5] = math.Sqrt(d2)
	return l, n[0] > 0 && d1 > leastPivot*n[3] && d2 > leastPivot*n[5]
}

// solve gives z with L z = b, so that a' n^-1 b is the product of theirs.
func (l *factor) solve(b [3]float64) (z [3]float64) {
	z[0] = b[0] / l[0]
	z[1] = (b[1] - float64(l[1]*z[0])) / l[2]
	z[2] = (b[2] - float64(l[3]*z[0]) - float64(l[4]*z[1])) / l[5]
	return z
}

func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

// at returns the standard error of a place for readings of 1 mm, in the direction in which it is
// longest, and how far n^-1 w moves the place, where z is L^-1 w.
func (l *factor) at(p geom.Vec, z [3]float64) (se, move float64) {
	x, y := l.solve([3]float64{-p.Y, 1, 0}), l.solve([3]float64{p.X, 0, 1})
	xx, xy, yy := dot(x, x), dot(x, y), dot(y, y)
	return math.Sqrt((xx+yy)/2 + math.Hypot((xx-yy)/2, xy)), math.Hypot(dot(x, z), dot(y, z))
}

// MostDilution is the largest factor from the error of a reading to that of the board's place at
// the readings' middle. Marks and edges that fix a board give one or two; two nearly parallel edges
// alone, between which the board slides, give 40.
const MostDilution = 10.0

func (l *factor) slides() bool {
	se, _ := l.at(geom.Vec{}, [3]float64{})
	return se > MostDilution
}

// Guarded judges a pose. The distances are convex over the plane, so that the hull of the places
// has the worst of them.
//
//	without reading i:  x_i - x = -N_i^-1 A_i'e_i,  N_i = N - A_i'A_i
//	                    SSE_i = SSE - e_i'e_i - (A_i'e_i)' N_i^-1 (A_i'e_i)
func (s Spec) Guarded() Reliability {
	var all sums
	for _, r := range s.Readings {
		all.add(r, 1)
	}
	return s.guarded(all, all.ee, 0)
}

// guarded takes the sums of all readings, the sum of squares that their scatter is judged by, and a
// reading's standard deviation where readings are expected only: each then moves a place by what
// chance makes of it on average, at the least.
//
//	move^2 = sd^2 (se_i^2 - se^2)
func (s Spec) guarded(all sums, sse, sd float64) Reliability {
	inf := math.Inf(1)
	g := Reliability{HalfMM: inf, AsideMM: inf, RestMM: inf}
	l, ok := all.factored()
	if !ok {
		return g
	}
	df, hull := all.rows-3, geom.Hull(s.Places)
	widest, known := 0.0, make([]float64, len(hull))
	for i, p := range hull {
		known[i], _ = l.at(p, [3]float64{})
		if known[i] > widest {
			widest, g.Place = known[i], slices.Index(s.Places, p)
		}
	}
	if one := s.Half(sse, df, 0); one < inf {
		g.HalfMM = widest * one
	}
	half := restShare * s.Half(sse, df, s.LeastSD)
	g.AsideMM = 0
	for i, r := range s.Readings {
		var own sums
		own.add(r, 1)
		rest, aside := all, inf
		rest.add(r, -1)
		if l, ok := rest.factored(); ok && !l.slides() {
			z := l.solve(own.w)
			aside = 0
			for k, p := range hull {
				se, move := l.at(p, z)
				move = max(move, sd*math.Sqrt(max(0, float64(se*se)-float64(known[k]*known[k]))))
				aside = max(aside, move+float64(se*half))
			}
			if rest.rows > 3 {
				left := max(0, rest.ee-dot(z, z))
				g.RestMM = min(g.RestMM, math.Sqrt(left/float64(len(s.Readings)-1)))
			}
		}
		if aside > g.AsideMM {
			g.AsideMM, g.Reading = aside, i
		}
	}
	return g
}

// With judges the pose as it would be with more readings that lie where the fit has them; the
// scatter is expected to stay as it is.
func (s Spec) With(more ...Reading) Reliability {
	var all sums
	for _, r := range s.Readings {
		all.add(r, 1)
	}
	sd2 := s.LeastSD * s.LeastSD
	if all.rows > 3 {
		sd2 = max(sd2, all.ee/float64(all.rows-3))
	}
	sse := all.ee
	s.Readings = slices.Clip(s.Readings)
	for _, r := range more {
		all.add(r, 1)
		sse += sd2 * float64(len(r))
		s.Readings = append(s.Readings, r)
	}
	return s.guarded(all, sse, math.Sqrt(sd2))
}

// Next chooses from readings that were not taken those that make a pose known within a limit: one
// after the other, the one that helps most, and then each once more beside those that followed it.
// It returns their indices, at most most of them and none when nothing helps, and what the pose
// comes to with all of them.
func (s Spec) Next(from []Reading, limitMM float64, most int) (chosen []int, to Reliability) {
	to = s.With()
	for len(chosen) < most && max(to.HalfMM, to.AsideMM) > limitMM {
		with := append(slices.Clone(chosen), -1)
		if !s.improve(from, with, len(chosen), &to) {
			break
		}
		chosen = with
	}
	for i := range chosen {
		s.improve(from, chosen, i, &to)
	}
	return chosen, to
}

// improve puts the best reading at a place of the chosen ones, if any is better than what they come
// to.
func (s Spec) improve(from []Reading, chosen []int, at int, to *Reliability) (better bool) {
	best := chosen[at]
	for i := range from {
		if slices.Contains(chosen, i) {
			continue
		}
		chosen[at] = i
		more := make([]Reading, len(chosen))
		for k, c := range chosen {
			more[k] = from[c]
		}
		if g := s.With(more...); g.better(*to) {
			best, *to, better = i, g, true
		}
	}
	chosen[at] = best
	return better
}

// better compares the larger of the two distances, then the interval alone: it can shrink while
// one reading more is wanted to guard the others.
func (g Reliability) better(than Reliability) bool {
	a, b := max(g.HalfMM, g.AsideMM), max(than.HalfMM, than.AsideMM)
	return a < b || a == b && g.HalfMM < than.HalfMM
}
