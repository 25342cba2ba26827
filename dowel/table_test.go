package dowel

import "math"

// asPrinted is the rounding of sums of millimetres; tables are printed to a
// micrometre or a ten-thousandth of an inch.
const asPrinted = 1e-9

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }
