package fit

import "strings"

// A letter is a fundamental deviation without its case: index into the tables below.
type letter int8

const noLetter letter = -1

const (
	letA letter = iota
	letB
	letC
	letCD
	letD
	letE
	letEF
	letF
	letFG
	letG
	letH
	letJS
	letJ
	letK
	letM
	letN
	letP
	letR
	letS
	letT
	letU
	letV
	letX
	letY
	letZ
	letZA
	letZB
	letZC
	letterCount int = iota
)

// letterOf finds the letters of a class, in either case, without allocation.
func letterOf(s string) letter {
	if l, ok := letters[s]; ok {
		return l
	}
	return noLetter
}

// letters holds the letters above in their order, capital and small.
var letters = func() map[string]letter {
	all := map[string]letter{}
	for i, s := range strings.Fields("A B C CD D E EF F FG G H JS J K M N P R S T U V X Y Z ZA ZB ZC") {
		all[s], all[strings.ToLower(s)] = letter(i), letter(i)
	}
	return all
}()

// sizes is how far, in micrometres, the zone of the shaft keeps away from the nominal size:
// below it for a to g, above it for k to zc. Zero for a letter and step without a value (and
// for k up to 3 mm, where it is a true zero).
type sizes [fineSteps]float64

// fundamental holds the fundamental deviations of shafts as ISO 286-1:2010 tables 4 and 5
// print them, without sign, micrometres, by fine step. h and js need no entry; j has tables
// of its own. The holes follow from these by the rules in limits.go.
//
// Where a value comes from: recalled, then held against every row of
// testdata/reference/iso286-2-limits-sample.csv in either case of the letter, and cell by cell
// against a public retyped copy of PN-EN ISO 286-1:2011 (the same tables). Where the table
// and the standard's own formula part, the table stands: see formula_test.go.
//
// cd, ef and fg stand in the 2010 edition up to 50 mm (10 mm in the edition before). That
// retyped copy prints ef from 18 to 30 mm as 25 for shafts and 28 for holes; 28 is taken for
// both, since the mirror rule demands one value and the formula sqrt(e*f) gives 28.3.
var fundamental = [letterCount]sizes{
	letA: {
		270, 270, 280, 290, 290, 300, 300, 310, 320, 340, 360, 380, 410, 460, 520, 580, 660, 740, 820,
		920, 1050, 1200, 1350, 1500, 1650,
	},
	letB: {
		140, 140, 150, 150, 150, 160, 160, 170, 180, 190, 200, 220, 240, 260, 280, 310, 340, 380, 420,
		480, 540, 600, 680, 760, 840,
	},
	letC: {
		60, 70, 80, 95, 95, 110, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280,
		300, 330, 360, 400, 440, 480,
	},
	letCD: {34, 46, 56, 70, 70, 85, 85, 100, 100},
	letD:  spread(20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230),
	letE:  spread(14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135),
	letEF: {10, 14, 18, 23, 23, 28, 28, 35, 35},
	letF:  spread(6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68),
	letFG: {4, 6, 8, 10, 10, 12, 12, 15, 15},
	letG:  spread(2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20),
	letK:  spread(0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5),
	letM:  spread(2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23),
	letN:  spread(4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40),
	letP:  spread(6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68),
	letR: {
		10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98,
		108, 114, 126, 132,
	},
	letS: {
		14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170,
		190, 208, 232, 252,
	},
	letT: {6: 41, 48, 54, 66, 75, 91, 104, 122, 134, 146, 166, 180, 196, 218, 240, 268, 294, 330, 360},
	letU: {
		18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210, 236, 258, 284, 315, 350,
		390, 435, 490, 540,
	},
	letV: {
		4: 39, 47, 55, 68, 81, 102, 120, 146, 172, 202, 228, 252, 284, 310, 340, 385, 425, 475, 530,
		595, 660,
	},
	letX: {
		20, 28, 34, 40, 45, 54, 64, 80, 97, 122, 146, 178, 210, 248, 280, 310, 350, 385, 425, 475, 525,
		590, 660, 740, 820,
	},
	letY: {
		5: 63, 75, 94, 114, 144, 174, 214, 254, 300, 340, 380, 425, 470, 520, 580, 650, 730, 820, 920,
		1000,
	},
	letZ: {
		26, 35, 42, 50, 60, 73, 88, 112, 136, 172, 210, 258, 310, 365, 415, 465, 520, 575, 640, 710,
		790, 900, 1000, 1100, 1250,
	},
	letZA: {
		32, 42, 52, 64, 77, 98, 118, 148, 180, 226, 274, 335, 400, 470, 535, 600, 670, 740, 820, 920,
		1000, 1150, 1300, 1450, 1600,
	},
	letZB: {
		40, 50, 67, 90, 108, 136, 160, 200, 242, 300, 360, 445, 525, 620, 700, 780, 880, 960, 1050,
		1200, 1300, 1500, 1650, 1850, 2100,
	},
	letZC: {
		60, 80, 97, 130, 150, 188, 218, 274, 325, 405, 480, 585, 690, 800, 900, 1000, 1150, 1250, 1350,
		1550, 1700, 1900, 2100, 2400, 2600,
	},
}

// spread repeats a value of each main step over its intermediate steps.
func spread(v ...float64) (s sizes) {
	for i := range s {
		s[i] = v[mainOf[i]]
	}
	return s
}

// shaftJ holds the lower deviation of j without its sign, micrometres, by main step: one
// column for grades 5 and 6, one for 7, one for 8 (ISO 286-1:2010 table 4). j8 exists up to
// 3 mm only. These are historical values; the standard gives no formula for them.
var (
	shaftJ56 = [mainSteps]float64{2, 2, 2, 3, 4, 5, 7, 9, 11, 13, 16, 18, 20}
	shaftJ7  = [mainSteps]float64{4, 4, 5, 6, 8, 10, 12, 15, 18, 21, 26, 28, 32}
	shaftJ8  = [mainSteps]float64{6}
)

// holeJ holds the upper deviation of J6, J7 and J8, micrometres, by main step
// (ISO 286-1:2010 table 2). Historical values, no formula.
var (
	holeJ6 = [mainSteps]float64{2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33}
	holeJ7 = [mainSteps]float64{4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43}
	holeJ8 = [mainSteps]float64{6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66}
)
