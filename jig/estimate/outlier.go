package estimate

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/coupon"
	"reseat/jig/units"
)

// Limits beyond which a row is an outlier. Of a form of 160 rows without one, about one in
// a hundred has a reading beyond the first.
const (
	outlierSDs  = 4.0
	slipOdds    = 5.3  // logarithm: how much likelier a slip must make a reading than its error does
	answerOdds  = -8.0 // logarithm of the odds of an answer given all other rows
	restoredSDs = 3.5  // an outlier that the other rows then leave within this is none
	mostShare   = 4    // of the rows at most one in so many is named
)

// Spreads at which gross outliers are looked for, mm: generous, so that no process looks wrong,
// and given, so that outliers cannot widen them.
var generous = spreads{math.Log(0.06), math.Log(0.08), math.Log(0.02)}

// No process cuts so far beside what was drawn: 2 mm and 2 %. Common practice, no source.
const (
	absurdMM    = 2.0
	absurdShare = 0.02
)

// view is how a row looks to all other rows.
type view struct {
	off, sd  float64 // of a reading: what it reads more than expected, and the standard deviation of that
	answered bool
	odds     float64 // of an answer: the logarithm of its odds
}

// excess is by how much a row goes over the limits; over 0: an outlier.
func (v view) excess() float64 {
	if v.answered {
		return 2 * (answerOdds - v.odds)
	}
	z := v.off / v.sd
	most := z*z - outlierSDs*outlierSDs
	for _, s := range misreadings {
		left := (math.Abs(v.off) - s) / v.sd
		most = max(most, z*z-left*left-2*slipOdds)
	}
	return most
}

var misreadings = []float64{0.5, 1, 10}

// views looks at every row from all others.
func (y *system) views(at spreads, out map[int]bool) map[int]view {
	b := y.believe(at)
	forms, base := append([][]coefficient{}, y.forms[:len(y.steps)]...), append([]float64{}, y.base[:len(y.steps)]...)
	for _, terms := range y.over {
		forms, base = append(forms, terms), append(base, y.mean(terms))
	}
	left := y.left(out, at)
	for _, s := range left {
		forms, base = append(forms, s.terms), append(base, s.at+y.mean(s.terms))
	}
	mean, cov := y.project(b, forms, base)
	for i := range y.steps {
		include(mean, cov, i, y.nu[i], y.tau[i])
	}
	views := map[int]view{}
	answered := func(row int, odds float64) {
		views[-1-row] = view{answered: true, odds: views[-1-row].odds + odds}
	}
	for i, s := range y.steps[:len(y.steps)-1] {
		cm, cv := cavity(mean[i], cov[i][i], y.nu[i], y.tau[i])
		odds, _, _ := s.step(cm, cv)
		answered(s.row, odds)
	}
	variance := math.Exp(2 * at[2])
	for i, o := range y.seen {
		j := len(y.steps) + i
		v := view{off: o.y - mean[j], sd: math.Sqrt(variance + cov[j][j])}
		if !out[o.row] {
			free := max(1-cov[j][j]/variance, 1e-6)
			v = view{off: v.off / free, sd: math.Sqrt(variance / free)}
		}
		views[o.row] = v
	}
	for i, s := range left {
		j := len(y.steps) + len(y.seen) + i
		odds, _, _ := s.step(mean[j], cov[j][j])
		answered(s.row, odds)
	}
	return views
}

// left are the steps of the answers that are left out.
func (y *system) left(out map[int]bool, at spreads) []pinAnswer {
	var left []pinAnswer
	for _, a := range y.answers {
		if out[-1-a.row] {
			left = append(left, y.stepped(a).narrowed(y.own(ofOval, at)))
		}
	}
	return left
}

// worst is the row that surprises most.
func worst(views map[int]view, out map[int]bool, rows int) (int, bool) {
	at, most := 0, 0.0
	for i := range 2 * rows { // the rows' readings, then their answers
		row := i
		if i >= rows {
			row = rows - 1 - i
		}
		if v, ok := views[row]; ok && !out[row] && v.excess() > most {
			at, most = row, v.excess()
		}
	}
	return at, most > 0
}

// outliers finds the rows that do not go with the others: one at a time, the most surprising
// first, at generous spreads and then at the likeliest. The key of an answer is -1 less its row.
// What is left is returned at its likeliest.
func (m *model) outliers(rows int) (out map[int]bool, views map[int]view, best *system, mode spreads) {
	out = map[int]bool{}
	for _, o := range m.seen {
		if math.Abs(o.y) > absurdMM+absurdShare*math.Abs(o.grows[0]) {
			out[o.row] = true
		}
	}
	room := len(out) + (len(m.seen)+len(m.answers))/mostShare
	for range room {
		s := setting{sign: 1, sized: true, oval: true, about: 0.1}
		other := s
		other.sign = -1
		y, z := m.assemble(s, out), m.assemble(other, out)
		if z.believe(generous).log > y.believe(generous).log {
			y = z
		}
		at, found := worst(y.views(generous, out), out, rows)
		if !found {
			break
		}
		out[at] = true
	}
	for turn := range room + 2 {
		best, mode = m.likeliest(out)
		views = best.views(mode, out)
		if turn > room {
			break
		}
		back := false
		for row := range out {
			v := views[row]
			if v.answered && v.odds > answerOdds/2 || !v.answered && math.Abs(v.off) < min(restoredSDs*v.sd, absurdMM) {
				delete(out, row)
				back = true
			}
		}
		if back {
			continue
		}
		at, found := worst(views, out, rows)
		if !found || len(out) >= room {
			break
		}
		out[at] = true
	}
	return out, views, best, mode
}

// says is what a maker should know of an outlier.
func (v view) says(r coupon.Row) string {
	if v.answered {
		return fmt.Sprintf("answered %q, which the other rows make nearly impossible: reversed?", r.Enters)
	}
	read := *r.Measured
	expected := read - v.off
	says := fmt.Sprintf("%s read, %s +-%s expected", units.Decimal(read, 3), units.Decimal(expected, 2),
		units.Decimal(1.96*v.sd, 2))
	// What was meant, if it was one of the usual slips: the nearest to what is expected.
	nearest := 3.5 * v.sd
	why := ""
	meant := func(mm float64, how string) {
		if off := math.Abs(mm - expected); off < nearest {
			nearest, why = off, fmt.Sprintf(": %s? %s", how, units.Decimal(mm, 3))
		}
	}
	for _, factor := range []float64{10, 100, 1000} {
		meant(read/factor, "decimal point lost")
	}
	for _, s := range misreadings {
		meant(read-math.Copysign(s, v.off), fmt.Sprintf("a slip of %s mm", units.Decimal(s, 1)))
	}
	digits := []byte(units.Fixed(read, 2))
	for i := range digits[1:] {
		j := i + 1
		if digits[j] == '.' {
			j++
		}
		swapped := slices.Clone(digits)
		swapped[i], swapped[j] = swapped[j], swapped[i]
		if mm, ok := units.ParseNumber(string(swapped)); ok && digits[i] != '.' && digits[i] != digits[j] {
			meant(mm, "digits swapped")
		}
	}
	return says + why
}
