package fit

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"reseat/jig/units"
)

// The formulas below are those of ISO 286-1:1988, annex A (standard tolerances) and its table
// for fundamental deviations, from which the tables were once computed: recalled.
// They are the outside check on the tables; where the two part the table stands, and the
// parting is written down here, so that a slip in a table cannot hide as one.

// stepMean is the geometric mean, in millimetres, of the ends of a step; the first step is
// counted from 1 mm.
func stepMean(over, upTo float64) float64 { return math.Sqrt(max(over, 1) * upTo) }

func mainMean(m int) float64 {
	if m == 0 {
		return stepMean(0, mainStepTo[0])
	}
	return stepMean(mainStepTo[m-1], mainStepTo[m])
}

func fineMean(f int) float64 {
	if f == 0 {
		return stepMean(0, fineStepTo[0])
	}
	return stepMean(fineStepTo[f-1], fineStepTo[f])
}

// toleranceFactor is i, micrometres, for D in millimetres.
func toleranceFactor(d float64) float64 { return 0.45*math.Cbrt(d) + 0.001*d }

// gradeMultiples are the standard's multiples of i, IT5 to IT18.
var gradeMultiples = map[Grade]float64{
	IT5: 7, IT6: 10, IT7: 16, IT8: 25, IT9: 40, IT10: 64, IT11: 100,
	IT12: 160, IT13: 250, IT14: 400, IT15: 640, IT16: 1000, IT17: 1600, IT18: 2500,
}

// formulaIT is the standard tolerance before rounding, micrometres.
func formulaIT(g Grade, main int) float64 {
	d := mainMean(main)
	it1, it5 := 0.8+0.020*d, 7*toleranceFactor(d)
	switch g {
	case IT01:
		return 0.3 + 0.008*d
	case IT0:
		return 0.5 + 0.012*d
	case IT1, IT2, IT3, IT4:
		// IT2 to IT4 are spaced geometrically between IT1 and IT5.
		return it1 * math.Pow(it5/it1, float64(g-IT1)/4)
	}
	return gradeMultiples[g] * toleranceFactor(d)
}

// roundingIT is the step, micrometres, that a standard tolerance is rounded to.
func roundingIT(v float64) float64 {
	switch {
	case v < 0.95:
		return 0.1
	case v < 5:
		return 0.5
	case v <= 100:
		return 1
	case v <= 200:
		return 5
	case v <= 560:
		return 10
	case v <= 1000:
		return 20
	case v <= 2000:
		return 50
	}
	return 100
}

// partingIT names the cells of table 1 that are not the formula's value rounded to the nearest
// step, as grade@upper end of the step in mm. Most come from keeping the same figures in every
// decade (IT11 is ten times IT6, IT16 ten times IT11) or are left from the older ISA system.
var partingIT = strings.Fields(`
	IT01@6 IT01@18 IT01@30 IT01@180 IT0@18 IT0@30 IT0@180 IT1@6 IT1@120 IT1@250 IT1@400 IT1@500 IT2@18
	IT2@30 IT2@80 IT2@180 IT2@315 IT2@400 IT2@500 IT3@6 IT3@30 IT3@400 IT3@500 IT4@3 IT4@6 IT4@18
	IT4@400 IT4@500 IT6@3 IT6@6 IT6@400 IT6@500 IT7@3 IT7@10 IT7@18 IT7@500 IT9@3 IT9@6 IT10@3 IT10@6
	IT10@10 IT10@18 IT11@3 IT11@6 IT11@50 IT11@80 IT11@400 IT11@500 IT12@3 IT12@6 IT12@10 IT12@18
	IT13@3 IT13@6 IT14@3 IT14@6 IT15@3 IT15@6 IT16@3 IT16@6 IT16@50 IT16@80 IT16@400 IT16@500 IT17@3
	IT17@6 IT17@10 IT17@18 IT17@500 IT18@3 IT18@6`)

func TestStandardTolerancesFollowFormula(t *testing.T) {
	var parting []string
	worst := 0.0
	for g := IT01; g <= IT18; g++ {
		for m := range mainSteps {
			want, got := formulaIT(g, m), standardTolerance[g][m]
			off := math.Abs(got-want) / want
			worst = max(worst, off)
			if math.Abs(got-want) > roundingIT(want)/2+roundingSlack {
				parting = append(parting, g.String()+"@"+units.Short(mainStepTo[m]))
			}
		}
	}
	if !slices.Equal(parting, partingIT) {
		t.Errorf("cells parting from the formula:\n%s\nwant\n%s", strings.Join(parting, " "),
			strings.Join(partingIT, " "))
	}
	t.Logf("%d of %d cells part from the formula, by at most %.0f %%", len(parting), gradeCount*mainSteps, 100*worst)
}

// roundingSlack, in micrometres, covers the binary residue of a formula that lands on a half
// step; it is far below the smallest step, 0.1.
const roundingSlack = 1e-6

// formulaFD is the fundamental deviation of a shaft before rounding, as a range: p and s have
// a span in their formula. d is the mean of the step in mm, main its index, fine the fine step.
func formulaFD(l letter, d float64, main, fine int) (from, to float64) {
	it := func(g Grade) float64 { return standardTolerance[g][main] }
	one := func(v float64) (float64, float64) { return v, v }
	of := func(l letter) float64 { v, _ := formulaFD(l, d, main, fine); return v }
	switch l {
	case letA:
		if d <= 120 {
			return one(265 + 1.3*d)
		}
		return one(3.5 * d)
	case letB:
		if d <= 160 {
			return one(140 + 0.85*d)
		}
		return one(1.8 * d)
	case letC:
		if d <= 40 {
			return one(52 * math.Pow(d, 0.2))
		}
		return one(95 + 0.8*d)
	case letCD:
		return one(math.Sqrt(of(letC) * of(letD)))
	case letD:
		return one(16 * math.Pow(d, 0.44))
	case letE:
		return one(11 * math.Pow(d, 0.41))
	case letEF:
		return one(math.Sqrt(of(letE) * of(letF)))
	case letF:
		return one(5.5 * math.Pow(d, 0.41))
	case letFG:
		return one(math.Sqrt(of(letF) * of(letG)))
	case letG:
		return one(2.5 * math.Pow(d, 0.34))
	case letK:
		return one(0.6 * math.Cbrt(d))
	case letM:
		return one(it(IT7) - it(IT6))
	case letN:
		return one(5 * math.Pow(d, 0.34))
	case letP:
		return it(IT7), it(IT7) + 5
	case letR:
		return one(math.Sqrt(fundamental[letP][fine] * fundamental[letS][fine]))
	case letS:
		if d <= 50 {
			return it(IT8) + 1, it(IT8) + 4
		}
		return one(it(IT7) + 0.4*d)
	case letT:
		return one(it(IT7) + 0.63*d)
	case letU:
		return one(it(IT7) + d)
	case letV:
		return one(it(IT7) + 1.25*d)
	case letX:
		return one(it(IT7) + 1.6*d)
	case letY:
		return one(it(IT7) + 2*d)
	case letZ:
		return one(it(IT7) + 2.5*d)
	case letZA:
		return one(it(IT8) + 3.15*d)
	case letZB:
		return one(it(IT9) + 4*d)
	}
	return one(it(IT10) + 5*d)
}

// roundingFD is the step, micrometres, that a fundamental deviation is rounded to: coarser for
// clearance (a to g) than for k to zc.
func roundingFD(l letter, v float64) float64 {
	if l <= letG {
		switch {
		case v <= 45:
			return 1
		case v <= 200:
			return 5
		case v <= 560:
			return 10
		case v <= 800:
			return 20
		}
		return 50
	}
	switch {
	case v <= 100:
		return 1
	case v <= 300:
		return 2
	case v <= 560:
		return 5
	case v <= 800:
		return 10
	case v <= 1000:
		return 20
	case v <= 2000:
		return 50
	}
	return 100
}

// shaftLetters gives the small letters by letter, for messages.
var shaftLetters = strings.Fields("a b c cd d e ef f fg g h js j k m n p r s t u v x y z za zb zc")

// partingFD names the cells of the table of shafts that are not the formula's value rounded to
// the nearest step: letters@upper end of the step in mm=table/formula. Where several fine
// steps share a value, each stands here.
var partingFD = strings.Fields(`
	a@14=290/282.4 a@18=290/282.4 a@140=460/453.7 a@180=580/594.0 a@355=1200/1170.4 a@400=1350/1318.9
	b@6=140/143.6 b@10=150/146.6 b@120=240/233.1 b@140=260/250.2 b@160=280/267.2 b@250=420/426.9
	b@315=540/534.6 c@14=95/87.4 c@18=95/87.4 c@24=110/97.6 c@30=110/97.6 c@40=120/105.7
	c@80=150/152.7 c@100=170/166.6 c@120=180/182.6 c@200=240/246.8 c@280=300/306.7 c@450=440/434.4
	c@500=480/474.5 cd@14=70/66.2 cd@18=70/66.2 cd@24=85/78.9 cd@30=85/78.9 cd@40=100/92.9
	cd@50=100/92.9 d@10=40/39.4 e@355=125/122.2 e@400=125/122.2 f@3=6/6.9 fg@3=4/4.6 g@3=2/3.0
	k@3=0/0.7 m@3=2/4.0 n@3=4/6.0 n@100=23/23.8 n@120=23/23.8 p@3=6/12.5 r@3=10/9.2 r@14=23/22.4
	r@18=23/22.4 r@40=34/33.4 r@50=34/33.4 r@160=65/65.6 r@200=77/78.1 r@225=80/80.6 r@500=132/130.9
	s@3=14/16.5 t@30=41/37.9 t@40=48/46.8 t@50=54/53.2 u@3=18/11.7 u@6=23/16.2 u@10=28/22.7
	u@14=33/31.4 u@18=33/31.4 u@24=41/41.8 u@450=490/487.3 u@500=540/537.3 v@18=39/37.8 x@3=20/12.8
	x@6=28/18.8 x@10=34/27.4 x@14=40/36.9 x@18=45/43.4 z@3=26/14.3 z@6=35/22.6 z@10=42/34.4
	z@14=50/47.6 z@18=60/57.7 za@3=32/19.5 za@6=42/31.4 za@10=52/46.4 zb@3=40/31.9 zb@6=50/47.0
	zb@18=108/106.5 zb@50=242/240.9 zc@3=60/48.7 zc@6=80/69.2`)

func TestFundamentalDeviationsFollowFormula(t *testing.T) {
	var parting []string
	cells := 0
	for l := letA; l <= letZC; l++ {
		if l == letH || l == letJS || l == letJ {
			continue // zero, half the tolerance, and a table without formula
		}
		for f := range fineSteps {
			table := fundamental[l][f]
			if table == 0 && l != letK {
				continue
			}
			cells++
			main := int(mainOf[f])
			d := mainMean(main)
			if splits(l, main) {
				d = fineMean(f)
			}
			from, to := formulaFD(l, d, main, f)
			half := roundingFD(l, from)/2 + roundingSlack
			if table < from-half || table > to+half {
				parting = append(parting, shaftLetters[l]+"@"+units.Short(fineStepTo[f])+"="+units.Short(table)+"/"+
					strconv.FormatFloat((from+to)/2, 'f', 1, 64))
			}
		}
	}
	if !slices.Equal(parting, partingFD) {
		t.Errorf("cells parting from the formula:\n%s\nwant\n%s", strings.Join(parting, " "),
			strings.Join(partingFD, " "))
	}
	t.Logf("%d cells, %d part from the formula", cells, len(parting))
}

// splits reports whether a letter has a value of its own in each intermediate step.
func splits(l letter, main int) bool {
	var first float64
	seen := false
	for f := range fineSteps {
		if int(mainOf[f]) != main {
			continue
		}
		if seen && fundamental[l][f] != first {
			return true
		}
		first, seen = fundamental[l][f], true
	}
	return false
}
