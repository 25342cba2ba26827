package fit

import (
	"fmt"
	"math"
)

// Limits are the two limit deviations of a class at a size, micrometres, positive above the
// nominal size. Upper is never below Lower.
type Limits struct{ Upper, Lower float64 }

// Width is the tolerance, Upper - Lower, micrometres.
func (l Limits) Width() float64 { return onGrid(l.Upper - l.Lower) }

// ClassLimits gives the limit deviations of class c at a nominal size of sizeMM.
//
// A shaft of a to h hangs below the nominal size, one of k to zc stands above it:
//
//	a..h:   upper = -fd        lower = upper - IT
//	k..zc:  lower = +fd        upper = lower + IT
//	js:     upper = +IT/2      lower = -IT/2
//
// with fd the tabulated fundamental deviation (for k only in grades 4 to 7, else 0). A hole
// of A to H is the mirror image of the shaft. A hole of K, M, N to IT8 and of P to ZC to IT7
// is set back by the difference to the next finer grade, so that H with p of the finer grade
// and P with h of the finer grade give the same fit:
//
//	upper = -fd + delta        delta = ITn - IT(n-1), sizes over 3 mm, n >= 3
//
// Reference: ISO 286-1:2010, 4.3.2.5 and tables 2 to 5.
//
// Half a tolerance is given as it is (JS7 at 8 mm: +7.5 and -7.5), not rounded down to whole
// micrometres as older tables do: the zone keeps the width of its grade.
//
// The error is a size beyond the tables, letters or a grade that do not exist, or a class that
// the standard does not define at this size, with the nearest that it does. No allocation
// unless it fails.
func ClassLimits(sizeMM float64, c Class) (Limits, error) {
	step, err := stepOf(sizeMM)
	if err != nil {
		return Limits{}, err
	}
	l := letterOf(c.Letters)
	if l == noLetter || !c.Grade.IsValid() {
		return Limits{}, fmt.Errorf("class %q: there is no such class; write letters and a grade, such as H7 or m6", c)
	}
	if why, nearest := undefined(sizeMM, step, l, c); why != "" {
		return Limits{}, undefinedError(sizeMM, step, c, why, nearest)
	}
	it := standardTolerance[c.Grade][mainOf[step]]
	if c.IsHole() {
		return holeLimits(step, l, c.Grade, it), nil
	}
	return shaftLimits(step, l, c.Grade, it), nil
}

// shaftLimits needs a class that is defined; it is the standard tolerance.
func shaftLimits(step int, l letter, g Grade, it float64) Limits {
	main := mainOf[step]
	switch {
	case l <= letH:
		// 0 - fd and not -fd: h must give 0, not the negative zero.
		return fromUpper(0-fundamental[l][step], it)
	case l == letJS:
		return Limits{it / 2, 0 - it/2}
	case l == letJ:
		switch g {
		case IT7:
			return fromLower(-shaftJ7[main], it)
		case IT8:
			return fromLower(-shaftJ8[main], it)
		}
		return fromLower(-shaftJ56[main], it)
	case l == letK && (g < IT4 || g > IT7):
		return fromLower(0, it)
	}
	return fromLower(fundamental[l][step], it)
}

// holeLimits needs a class that is defined; it is the standard tolerance.
func holeLimits(step int, l letter, g Grade, it float64) Limits {
	main := mainOf[step]
	fd := fundamental[l][step]
	switch {
	case l <= letH:
		return fromLower(fd, it)
	case l == letJS:
		return Limits{it / 2, 0 - it/2}
	case l == letJ:
		switch g {
		case IT6:
			return fromUpper(holeJ6[main], it)
		case IT7:
			return fromUpper(holeJ7[main], it)
		}
		return fromUpper(holeJ8[main], it)
	case l == letK && g > IT8:
		return fromUpper(0, it) // up to 3 mm only, see undefined
	case l == letN && g > IT8 && main > 0:
		return fromUpper(0, it)
	case l == letM && g == IT6 && fineStepTo[step] > 250 && fineStepTo[step] <= 315:
		// The one exception of table 2: -9 where the rule gives -11 (a note to the table).
		return fromUpper(-9, it)
	}
	coarsest := IT7 // of the grades with delta: P to ZC
	if l <= letN {
		coarsest = IT8
	}
	if g <= coarsest {
		return fromUpper(delta(int(main), g)-fd, it)
	}
	return fromUpper(0-fd, it)
}

// delta is the set-back of holes K to ZC, micrometres: ITn - IT(n-1), none up to 3 mm
// (ISO 286-1:2010 table 3, right-hand columns, IT3 to IT8).
func delta(main int, g Grade) float64 {
	if main == 0 {
		return 0
	}
	return standardTolerance[g][main] - standardTolerance[g-1][main]
}

// fromUpper puts a zone of width it below its upper deviation.
func fromUpper(upper, it float64) Limits { return Limits{upper, onGrid(upper - it)} }

// fromLower puts a zone of width it on its lower deviation.
func fromLower(lower, it float64) Limits { return Limits{onGrid(lower + it), lower} }

// gridPerUM: every tabulated value is a whole number of 1/20 micrometre (IT values have one
// decimal, js halves them).
const gridPerUM = 20

// onGrid takes the binary residue out of a sum, so that 6 + 0.3 is the float64 nearest 6.3.
func onGrid(um float64) float64 { return math.Round(um*gridPerUM) / gridPerUM }
