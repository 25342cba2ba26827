package fit

import (
	"fmt"
	"math"
	"strconv"
)

// LargestMM is the largest nominal size, in millimetres, that this package has tables for
// (the standard itself goes on to 3150 mm with fewer classes).
const LargestMM = 500

const (
	mainSteps = 13 // main steps of nominal sizes up to 500 mm
	fineSteps = 25 // main steps with their intermediate steps
)

// mainStepTo holds the upper ends of the main steps, millimetres; a step contains its upper
// end and not its lower one (ISO 286-1:2010 table 1).
var mainStepTo = [mainSteps]float64{3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500}

// fineStepTo holds the upper ends of the main and intermediate steps together, millimetres
// (ISO 286-1:2010 tables 2 to 5).
var fineStepTo = [fineSteps]float64{
	3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160,
	180, 200, 225, 250, 280, 315, 355, 400, 450, 500,
}

// mainOf gives the main step that each fine step lies in.
var mainOf = [fineSteps]int8{0, 1, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 8, 9, 9, 9, 10, 10, 11, 11, 12, 12}

// stepOf gives the fine step of a nominal size, or a *SizeError.
func stepOf(sizeMM float64) (int, error) {
	// NaN fails both comparisons and so is refused too.
	if !(sizeMM > 0) || !(sizeMM <= LargestMM) {
		return 0, newSizeError(sizeMM)
	}
	lo, hi := 0, fineSteps-1
	for lo < hi {
		mid := (lo + hi) / 2
		if sizeMM <= fineStepTo[mid] {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo, nil
}

// A SizeError reports a nominal size that the tables do not reach.
type SizeError struct {
	SizeMM float64
	Why    string
	Remedy string
}

func newSizeError(sizeMM float64) *SizeError {
	e := &SizeError{SizeMM: sizeMM}
	switch {
	case math.IsNaN(sizeMM), math.IsInf(sizeMM, 0):
		e.Why, e.Remedy = "is not a finite number", "give the nominal size in mm, over 0 and up to 500"
	case sizeMM <= 0:
		e.Why, e.Remedy = "a nominal size is greater than 0", "give the diameter itself, in mm"
	default:
		e.Why, e.Remedy = "the tables end at 500 mm", "give a size over 0 and up to 500 mm"
	}
	return e
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("fit: size %s mm: %s; %s", mm(e.SizeMM), e.Why, e.Remedy)
}

// mm writes a size as people do: no trailing zeros, no exponent for ordinary sizes.
func mm(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e7) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Range gives the ends, in millimetres, of the step of nominal sizes that holds sizeMM: over
// the first, up to and including the second. With fine it counts the intermediate steps (14,
// 24, 40 ...) that some deviations need. The error is a [SizeError].
func Range(sizeMM float64, fine bool) (overMM, upToMM float64, err error) {
	at, err := stepOf(sizeMM)
	if err != nil {
		return 0, 0, err
	}
	lo, hi := at, at
	for !fine && lo > 0 && mainOf[lo-1] == mainOf[at] {
		lo--
	}
	for !fine && hi+1 < fineSteps && mainOf[hi+1] == mainOf[at] {
		hi++
	}
	if lo > 0 {
		overMM = fineStepTo[lo-1]
	}
	return overMM, fineStepTo[hi], nil
}
