package fit

import (
	"fmt"
	"strconv"

	"reseat/jig/units"
)

// A Grade is a standard tolerance grade of ISO 286-1, finest first.
// The zero value is [IT01].
type Grade int

// The twenty standard tolerance grades. IT01 and IT0 are finer than IT1.
const (
	IT01 Grade = iota
	IT0
	IT1
	IT2
	IT3
	IT4
	IT5
	IT6
	IT7
	IT8
	IT9
	IT10
	IT11
	IT12
	IT13
	IT14
	IT15
	IT16
	IT17
	IT18
)

// gradeCount is the number of standard tolerance grades.
const gradeCount = int(IT18) + 1

// digits gives the grade as it stands behind the letters of a class: "01", "0", "1" ... "18".
func (g Grade) digits() string {
	switch {
	case g == IT01:
		return "01"
	case g > IT01 && g <= IT18:
		return strconv.Itoa(int(g) - 1)
	}
	return "?" + strconv.Itoa(int(g))
}

// String gives "IT7"; a value outside IT01 to IT18 gives "IT?" and the raw number.
func (g Grade) String() string { return "IT" + g.digits() }

// IsValid reports whether g is one of IT01 to IT18.
func (g Grade) IsValid() bool { return g >= IT01 && g <= IT18 }

// parseGrade reads "01", "0", "1" ... "18".
func parseGrade(s string) (Grade, bool) {
	if s == "01" {
		return IT01, true
	}
	if len(s) == 0 || len(s) > 2 || (s[0] == '0' && len(s) > 1) {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > 18 {
		return 0, false
	}
	return Grade(n + 1), true
}

// standardTolerance is ISO 286-1:2010 table 1, micrometres: one row per grade, one column per
// main step of nominal sizes (see mainStepTo). Recalled, then confirmed cell by cell from IT1
// up against a printed copy (GB/T 1800.3-1998 table of standard tolerances) and against the
// rows of testdata/reference/iso286-2-limits-sample.csv; IT01 and IT0 against a public
// retyped copy of PN-EN ISO 286-1:2011.
var standardTolerance = [gradeCount][mainSteps]float64{
	IT01: {0.3, 0.4, 0.4, 0.5, 0.6, 0.6, 0.8, 1, 1.2, 2, 2.5, 3, 4},
	IT0:  {0.5, 0.6, 0.6, 0.8, 1, 1, 1.2, 1.5, 2, 3, 4, 5, 6},
	IT1:  {0.8, 1, 1, 1.2, 1.5, 1.5, 2, 2.5, 3.5, 4.5, 6, 7, 8},
	IT2:  {1.2, 1.5, 1.5, 2, 2.5, 2.5, 3, 4, 5, 7, 8, 9, 10},
	IT3:  {2, 2.5, 2.5, 3, 4, 4, 5, 6, 8, 10, 12, 13, 15},
	IT4:  {3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20},
	IT5:  {4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27},
	IT6:  {6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40},
	IT7:  {10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63},
	IT8:  {14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97},
	IT9:  {25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155},
	IT10: {40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250},
	IT11: {60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400},
	IT12: {100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630},
	IT13: {140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970},
	IT14: {250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550},
	IT15: {400, 480, 580, 700, 840, 1000, 1200, 1400, 1600, 1850, 2100, 2300, 2500},
	IT16: {600, 750, 900, 1100, 1300, 1600, 1900, 2200, 2500, 2900, 3200, 3600, 4000},
	IT17: {1000, 1200, 1500, 1800, 2100, 2500, 3000, 3500, 4000, 4600, 5200, 5700, 6300},
	IT18: {1400, 1800, 2200, 2700, 3300, 3900, 4600, 5400, 6300, 7200, 8100, 8900, 9700},
}

// noCoarseGradesToMM: up to and including this nominal size, in millimetres, the standard does
// not use IT14 to IT18: the tolerance would be a quarter of the size or more (ISO 286-1, note
// to table 1).
const noCoarseGradesToMM = 1

// Tolerance gives the standard tolerance of grade g at a nominal size, micrometres
// (ISO 286-1:2010 table 1). The error is a size outside 0 < sizeMM <= 500, IT14 and coarser
// at sizes up to 1 mm, or a value of g that is no grade.
func Tolerance(sizeMM float64, g Grade) (float64, error) {
	fine, err := stepOf(sizeMM)
	switch {
	case err != nil:
		return 0, err
	case !g.IsValid():
		return 0, fmt.Errorf("%s: there is no such grade; use IT01, IT0, IT1 to IT18", g)
	case g >= IT14 && sizeMM <= noCoarseGradesToMM:
		return 0, fmt.Errorf("%s at %s mm: IT14 and coarser are not used up to 1 mm; use IT13", g, units.Short(sizeMM))
	}
	return standardTolerance[g][mainOf[fine]], nil
}
