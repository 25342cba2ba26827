package fit

import "fmt"

// An UndefinedError reports a class that ISO 286-1 does not define at a size.
type UndefinedError struct {
	SizeMM  float64
	Class   Class
	Why     string // what the standard says
	Nearest Class  // the nearest class that is defined at this size; it serves in place of Class
}

func (e *UndefinedError) Error() string {
	return fmt.Sprintf("fit: %s at %s mm is not defined: %s; the nearest defined class is %s%s",
		e.Class, mm(e.SizeMM), e.Why, e.Nearest, seldomMade(e.Nearest))
}

// seldomMade names the nearest class of the same letters that a shop finds gauges for, when c
// itself is one that ISO 286-2 does not tabulate.
func seldomMade(c Class) string {
	l := letterOf(c.Letters)
	if l == noLetter || c.Listed() {
		return ""
	}
	s := listedShaft[l]
	if c.IsHole() {
		s = listedHole[l]
	}
	c.Grade = min(max(c.Grade, s.from), s.to)
	return fmt.Sprintf(" (seldom made; ISO 286-2 tabulates %s)", c)
}

// reason says why a class is undefined; the sentences stand in newUndefined.
type reason int8

const (
	defined reason = iota
	tooCoarseTo1
	aOrBTo1
	nTo1
	upTo50Only
	jGrade
	j8Over3
	kOver3
	noDelta
	startsLater
)

const (
	smallestABN = 1.0 // mm: A, B, a, b and N9 and coarser start above this size (table notes)
	// finestDelta is the finest grade that table 3 gives a delta for.
	finestDelta = IT3
)

// undefined gives the reason why a class has no limits at a size, or defined.
func undefined(sizeMM float64, step int, l letter, g Grade, hole bool) reason {
	switch l {
	case letA, letB:
		if sizeMM <= smallestABN {
			return aOrBTo1
		}
	case letCD, letEF, letFG:
		if fundamental[l][step] == 0 {
			return upTo50Only
		}
	case letJ:
		switch {
		case hole && (g < IT6 || g > IT8), !hole && (g < IT5 || g > IT8):
			return jGrade
		case !hole && g == IT8 && mainOf[step] > 0:
			return j8Over3
		}
	case letN:
		if hole && g > IT8 && sizeMM <= smallestABN {
			return nTo1
		}
	case letK:
		if hole && g > IT8 && mainOf[step] > 0 {
			return kOver3
		}
	case letT, letV, letY:
		if fundamental[l][step] == 0 {
			return startsLater
		}
	}
	if hole && l >= letK && g < finestDelta {
		return noDelta
	}
	if g >= IT14 && sizeMM <= noCoarseGradesToMM {
		return tooCoarseTo1
	}
	return defined
}

// newUndefined words the reason and finds the class to use instead.
func newUndefined(sizeMM float64, c Class, l letter, r reason) *UndefinedError {
	e := &UndefinedError{SizeMM: sizeMM, Class: c, Nearest: c}
	instead := func(hole, shaft string) {
		e.Nearest.Letters = shaft
		if c.IsHole() {
			e.Nearest.Letters = hole
		}
	}
	switch r {
	case tooCoarseTo1:
		e.Why = "IT14 and coarser are not used up to 1 mm"
		e.Nearest.Grade = IT13
	case aOrBTo1:
		e.Why = "A, B, a and b are not used up to 1 mm"
		instead("C", "c")
	case nTo1:
		e.Why = "N9 and coarser are not used up to 1 mm"
		e.Nearest.Grade = IT8
	case upTo50Only:
		e.Why = "CD, EF, FG and cd, ef, fg are given up to 50 mm only"
		switch l {
		case letCD:
			instead("D", "d")
		case letEF:
			instead("F", "f")
		default:
			instead("G", "g")
		}
	case jGrade:
		e.Why = "J is given in grades 6 to 8 only and j in 5 to 8"
		instead("JS", "js")
	case j8Over3:
		e.Why = "j8 is given up to 3 mm only"
		e.Nearest.Letters = "js"
	case kOver3:
		e.Why = "K9 and coarser are given up to 3 mm only"
		e.Nearest.Grade = IT8
	case noDelta:
		e.Why = "holes K to ZC start at grade 3, the finest with a delta"
		e.Nearest.Grade = finestDelta
	case startsLater:
		switch l {
		case letT:
			e.Why = "T and t start above 24 mm"
			instead("U", "u")
		case letV:
			e.Why = "V and v start above 14 mm"
			instead("X", "x")
		default:
			e.Why = "Y and y start above 18 mm"
			instead("Z", "z")
		}
	}
	settle(e)
	return e
}

// settle moves the grade of the named class until that class itself is defined: two reasons
// can meet (T01 at 10 mm, J16 at 0.5 mm).
func settle(e *UndefinedError) {
	step, err := stepOf(e.SizeMM)
	if err != nil {
		return
	}
	l := letterOf(e.Nearest.Letters)
	hole := e.Nearest.IsHole()
	for range gradeCount {
		switch undefined(e.SizeMM, step, l, e.Nearest.Grade, hole) {
		case defined:
			return
		case noDelta:
			e.Nearest.Grade = finestDelta
		default:
			e.Nearest.Grade--
		}
	}
}

// badClass words a class value that was not made by ParseClass.
func badClass(c Class) error {
	if !c.Grade.Valid() && letterOf(c.Letters) != noLetter {
		return &ClassError{Text: c.String(), Why: "the grade is one of 01, 0, 1 to 18", Remedy: "write " + c.Letters + "7, or another of these grades"}
	}
	if _, err := ParseClass(c.String()); err != nil {
		return err
	}
	return &ClassError{Text: c.String(), Why: "there is no such class", Remedy: "write letters and a grade, such as H7 or m6"}
}
