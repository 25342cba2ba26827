package fit

import (
	"fmt"
	"strings"

	"reseat/jig/units"
)

const (
	smallestABN = 1.0 // mm: A, B, a, b and N9 and coarser start above this size (table notes)
	// finestDelta is the finest grade that table 3 gives a delta for.
	finestDelta = IT3
)

// undefined says why the standard gives no limits of class c at a size, and which class
// comes nearest; why is "" for a class that is defined. Its letters and grade exist.
func undefined(sizeMM float64, step int, l letter, c Class) (why string, nearest Class) {
	g, hole := c.Grade, c.IsHole()
	at := func(g Grade) Class { return Class{c.Letters, g} }
	switch l {
	case letA, letB:
		if sizeMM <= smallestABN {
			return "A, B, a and b are not used up to 1 mm", c.with("c")
		}
	case letCD, letEF, letFG:
		if fundamental[l][step] == 0 {
			return "CD, EF, FG and cd, ef, fg are given up to 50 mm only", c.with(c.Letters[1:])
		}
	case letJ:
		switch {
		case hole && (g < IT6 || g > IT8), !hole && (g < IT5 || g > IT8):
			return "J is given in grades 6 to 8 only and j in 5 to 8", c.with("js")
		case !hole && g == IT8 && mainOf[step] > 0:
			return "j8 is given up to 3 mm only", c.with("js")
		}
	case letN:
		if hole && g > IT8 && sizeMM <= smallestABN {
			return "N9 and coarser are not used up to 1 mm", at(IT8)
		}
	case letK:
		if hole && g > IT8 && mainOf[step] > 0 {
			return "K9 and coarser are given up to 3 mm only", at(IT8)
		}
	case letT:
		if fundamental[l][step] == 0 {
			return "T and t start above 24 mm", c.with("u")
		}
	case letV:
		if fundamental[l][step] == 0 {
			return "V and v start above 14 mm", c.with("x")
		}
	case letY:
		if fundamental[l][step] == 0 {
			return "Y and y start above 18 mm", c.with("z")
		}
	}
	switch {
	case hole && l >= letK && g < finestDelta:
		return "holes K to ZC start at grade 3, the finest with a delta", at(finestDelta)
	case g >= IT14 && sizeMM <= noCoarseGradesToMM:
		return "IT14 and coarser are not used up to 1 mm", at(IT13)
	}
	return "", c
}

// with is c with other letters, in its own case.
func (c Class) with(letters string) Class {
	if c.IsHole() {
		return Class{strings.ToUpper(letters), c.Grade}
	}
	return Class{strings.ToLower(letters), c.Grade}
}

// undefinedError names the nearest class that is itself defined: two reasons can meet (T01 at
// 10 mm, J16 at 0.5 mm).
func undefinedError(sizeMM float64, step int, c Class, why string, nearest Class) error {
	for {
		more, next := undefined(sizeMM, step, letterOf(nearest.Letters), nearest)
		if more == "" {
			break
		}
		nearest = next
	}
	return fmt.Errorf("%s at %s mm is not defined: %s; the nearest defined class is %s%s",
		c, units.Short(sizeMM), why, nearest, seldomMade(nearest))
}

// seldomMade names the nearest class of the same letters that a shop finds gauges for, when c
// itself is one that ISO 286-2 does not tabulate.
func seldomMade(c Class) string {
	if c.IsListed() {
		return ""
	}
	s := c.listed()
	c.Grade = min(max(c.Grade, s.from), s.to)
	return fmt.Sprintf(" (seldom made; ISO 286-2 tabulates %s)", c)
}
