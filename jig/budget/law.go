package budget

import (
	"math"

	"reseat/fit"
)

// Law says how an error is spread over what is stated of it.
type Law int

const (
	Normal  Law = iota // within Half in 95 % of cases; half width of the middle 95 %
	Uniform            // anywhere within Half, no place likelier than another
	Sign               // exactly Half, to one side or the other with equal odds
	Fixed              // exactly Half, sign and all: a bias without spread
)

// Var is one cause: the error at p is t Field.At(p), with one t for the board.
//
// In the worst case |t| is Half. For Normal that is the stated limit, which one
// board in twenty exceeds, so that a simulated figure may lie above the worst
// case when few normal causes make it up.
type Var struct {
	Field Field
	Half  float64 // in the unit that makes Field a move in mm; its sign counts for Fixed alone
	Law   Law
}

// sd returns the standard deviation of t.
//
//	normal: Half/1.95996   uniform: Half/sqrt 3   sign: Half   fixed: 0
//
// Reference: JCGM 100:2008, 4.3.4 and 4.3.7 (recalled).
func (v Var) sd() float64 {
	switch v.Law {
	case Normal:
		return v.Half / fit.Normal95
	case Uniform:
		return v.Half / math.Sqrt(3)
	case Sign:
		return v.Half
	}
	return 0
}
