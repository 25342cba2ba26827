package fit

import (
	"fmt"
	"strings"
	"testing"

	"reseat/jig/units"
)

// beyondSample names the cells of the tables that no row of the sample confirms, by letters:
// upper ends of the steps in mm. They rest on memory and on the cell-by-cell comparison with a
// public retyped copy of PN-EN ISO 286-1:2011 that deviation.go speaks of.
const beyondSample = `
a 3 10 14 18 24 30 40 50 100 200 225 400
b 3 14 18 120
c 3 80 140 315 400 500
cd 14 18 24 30 40 50
d 40 50
e 450 500
ef 14 18 24 30 40 50
f 65 80
fg 14 18 24 30 40 50
g 450 500
k 450 500
m 3
p 6 14 18
r 280
s 280
t 140 200 280
v 18 24 30 40 50 65 80 100 120 140 160 180 200 225 250 280 315 355 400 450 500
x 65 80 180 225 400
y 24 30 100 180 225 250 400 500
z 3 200 450
za 10 18 50 140 225 280
zb 6 30 40 225 500
zc 40 65 120 200 250
IT01 3 6 10 18 30 50 80 120 180 250 315 400 500
IT0 3 6 10 18 30 50 80 120 180 250 315 400 500
IT1 3 6 10 50 120 180 400 500
IT2 3 6 10 18 50 315
IT3 80 180 250 400
IT11 3
IT12 3 80
IT13 3 120
IT14 3 6 10 50 80 120 250
IT15 3 10 18 30 50 180 315
IT16 3 10 30 50 80 120 180 250 315 400
IT17 3 10 18 80 250 400 500
IT18 3 6 10 18 30 50 180 400
`

// TestSampleReach works out which cells of the tables the sample holds to the micrometre, so
// that a reader knows what rests on what; it fails when that changes.
func TestSampleReach(t *testing.T) {
	var reached [letterCount][fineSteps]bool
	var tolerance [gradeCount][mainSteps]bool
	for _, row := range readSample(t) {
		l, g := letterOf(row.class.Letters), row.class.Grade
		for f, to := range fineStepTo {
			if to <= row.over || to > row.upTo {
				continue
			}
			tolerance[g][mainOf[f]] = true
			switch {
			case l == letK && (g < IT4 || g > IT8 || g == IT8 && !row.class.IsHole()):
			case l == letN && row.class.IsHole() && g > IT8:
			default:
				reached[l][f] = true
			}
		}
	}
	var open []string
	all, seen := 0, 0
	for l := range letterCount {
		if letter(l) == letH || letter(l) == letJS || letter(l) == letJ {
			continue // h is zero, js follows from the tolerance, j and J have one value per grade
		}
		var steps []string
		for f := range fineSteps {
			if fundamental[l][f] == 0 && letter(l) != letK {
				continue
			}
			all++
			if reached[l][f] {
				seen++
			} else {
				steps = append(steps, units.Short(fineStepTo[f]))
			}
		}
		if len(steps) > 0 {
			open = append(open, shaftLetters[l]+" "+strings.Join(steps, " "))
		}
	}
	for g := range gradeCount {
		var steps []string
		for m := range mainSteps {
			all++
			if tolerance[g][m] {
				seen++
			} else {
				steps = append(steps, units.Short(mainStepTo[m]))
			}
		}
		if len(steps) > 0 {
			open = append(open, fmt.Sprint(Grade(g), " ", strings.Join(steps, " ")))
		}
	}
	if got := "\n" + strings.Join(open, "\n") + "\n"; got != beyondSample {
		t.Errorf("cells beyond the sample:%swant:%s", got, beyondSample)
	}
	t.Logf("%d of %d cells are held by the sample", seen, all)
}
