package fit

import (
	"fmt"
	"sort"

	"reseat/jig/units"
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

// stepOf gives the fine step of a nominal size, or an error outside 0 < size <= 500.
func stepOf(sizeMM float64) (int, error) {
	if !(sizeMM > 0 && sizeMM <= LargestMM) { // NaN too
		return 0, fmt.Errorf("size %s mm: give the nominal diameter, over 0 and up to %d mm", units.Short(sizeMM),
			LargestMM)
	}
	return sort.SearchFloat64s(fineStepTo[:], sizeMM), nil
}
