package dowel

import (
	"fmt"
	"math"
	"sort"
	"sync"

	"reseat/jig/units"
)

// A DrillSize is a twist drill that is sold.
type DrillSize struct {
	Name       string  `json:"name"` // "5.8", "15/64", "No2", "B"
	DiameterMM float64 `json:"diameter_mm"`
	Inch       bool    `json:"inch"`
}

func (d DrillSize) String() string {
	if d.Inch {
		return fmt.Sprintf("%s (%.3f mm)", d.Name, d.DiameterMM)
	}
	return d.Name + " mm"
}

// numberDrills are the diameters of number drills 1 to 80 in 1/10000 in, and
// letterDrills those of A to Z (testdata/reference/drills_inch.csv has the source).
var (
	numberDrills = [80]int{
		2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660,
		1610,
		1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980,
		960, 935, 890, 860, 820, 810, 785, 760, 730, 700, 670, 635, 595, 550, 520, 465, 430, 420, 410, 400,
		390, 380, 370, 360, 350, 330, 320, 310, 292, 280, 260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
	}
	letterDrills = [26]int{
		2340, 2380, 2420, 2460, 2500, 2570, 2610, 2660, 2720, 2770, 2810, 2900, 2950,
		3020, 3160, 3230, 3320, 3390, 3480, 3580, 3680, 3770, 3860, 3970, 4040, 4130,
	}
)

// metricRuns are the stretches of the metric series, in 1/100 mm: from, to and
// step (BS 328, testdata/reference/drills_metric.csv).
var metricRuns = [][3]int{{100, 295, 5}, {300, 1390, 10}, {1400, 2500, 25}}

// The series are made when first asked for, so that a command that drills nothing
// starts without them.
var metricDrills, inchDrills = sync.OnceValue(metricSeries), sync.OnceValue(inchSeries)

func metricSeries() []DrillSize {
	var out []DrillSize
	for _, r := range metricRuns {
		for d := r[0]; d <= r[1]; d += r[2] {
			v := float64(d) / 100
			out = append(out, DrillSize{short(v), v, false})
		}
	}
	return out
}

func inchSeries() []DrillSize {
	var out []DrillSize
	add := func(name string, tenths int) {
		out = append(out, DrillSize{name, float64(tenths) * units.MMPerInch / 10000, true})
	}
	for i, d := range numberDrills {
		add(fmt.Sprintf("No%d", i+1), d)
	}
	for i, d := range letterDrills {
		add(string(rune('A'+i)), d)
	}
	for n := 1; n <= 64; n++ {
		v := float64(n) * units.MMPerInch / 64
		out = append(out, DrillSize{units.Inches(v), v, true})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].DiameterMM < out[j].DiameterMM })
	return out
}

// sameDrillMM tells two drills apart: it is a tenth of the least step of either
// series, so a size that is a drill's own, up to rounding, does not count as above it.
const sameDrillMM = 1e-4

// drillBelow finds the largest drill strictly below a size in mm.
func drillBelow(drills []DrillSize, mm float64) (DrillSize, bool) {
	i := sort.Search(len(drills), func(i int) bool { return drills[i].DiameterMM > mm-sameDrillMM })
	if i == 0 || math.IsNaN(mm) {
		return DrillSize{}, false
	}
	return drills[i-1], true
}

// drillFrom finds the smallest drill of at least a size in mm.
func drillFrom(drills []DrillSize, mm float64) (DrillSize, bool) {
	i := sort.Search(len(drills), func(i int) bool { return drills[i].DiameterMM > mm-sameDrillMM })
	if i == len(drills) {
		return DrillSize{}, false
	}
	return drills[i], true
}
