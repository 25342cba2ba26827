package dowel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/fit"
	"reseat/jig/units"
)

// ReamerLimits are the limits of a reamer's cutting diameter for a hole class.
type ReamerLimits struct {
	Class  string   // of the hole
	MinMM  float64  `json:"min_mm"` // cutting diameter
	MaxMM  float64  `json:"max_mm"`
	Buy    []string `json:"buy"`  // reamers that are sold and make the hole, the stock one first, special ones last
	Sold   bool     `json:"sold"` // false: none is sold, Buy names an adjustable one
	Source string   `json:"source"`
	// MadeMinMM and MadeMaxMM are the limits that the first of Buy is made to.
	MadeMinMM float64 `json:"made_min_mm"`
	MadeMaxMM float64 `json:"made_max_mm"`

	stock bool // the first of Buy is the stock one
}

// Hole returns the mean and the standard deviation of a hole that the first of Buy makes:
// its own limits, 95 % of a normal distribution, and what the process adds, mm.
func (m ReamerLimits) Hole(p fit.Process) (mean, sd float64) {
	return (m.MadeMinMM+m.MadeMaxMM)/2 + p.Bias, math.Hypot((m.MadeMaxMM-m.MadeMinMM)/2/fit.Normal95, p.SD())
}

const reamerSource = "DIN 1420 (standard): 0.15 IT below the maximum hole, 0.35 IT wide, rounded up to 1 µm"

// The rule of DIN 1420 in hundredths of the hole's tolerance: the reamer stays
// below the hole's maximum by reamerBelow, since a hole comes out larger than its
// reamer, and is itself made to reamerWidth. Whole micrometres, rounded up.
// Reference: testdata/reference/reamer_limits_h7.csv.
const (
	reamerBelow = 15
	reamerWidth = 35
)

// Reamer gives the limits of a reamer for a hole class at a nominal size in mm:
//
//	d_max = hole max - 0.15 IT
//	d_min = d_max - 0.35 IT
//
// both parts rounded up to whole micrometres (DIN 1420). A class that is not a
// hole's, or that is not defined at the size, is an error.
func Reamer(sizeMM float64, c fit.Class) (ReamerLimits, error) {
	l, err := fit.ClassLimits(sizeMM, c)
	if err != nil {
		return ReamerLimits{}, err
	}
	if !c.IsHole() {
		return ReamerLimits{}, fmt.Errorf("class %s is a shaft's; a reamer makes a hole: write %s", c,
			fit.Class{Letters: strings.ToUpper(c.Letters), Grade: c.Grade})
	}
	return reamerFor(sizeMM, l, c.String(), nil), nil
}

// reamerFor is Reamer by limits, um. The stock reamer goes last where works says that it
// does not serve; nil: it does.
func reamerFor(sizeMM float64, l fit.Limits, class string, works func(ReamerLimits) bool) ReamerLimits {
	max, min := reamerBand(l)
	r := ReamerLimits{Class: class, MinMM: sizeMM + min/1000, MaxMM: sizeMM + max/1000, Source: reamerSource}
	sold := reamersSold(sizeMM, l, r)
	if r.Sold = len(sold) > 0; !r.Sold {
		sold = []sale{{"an adjustable hand reamer, set and tried on scrap", r.MinMM, r.MaxMM, false}}
	}
	take := func() { r.MadeMinMM, r.MadeMaxMM, r.stock = sold[0].min, sold[0].max, sold[0].stock }
	take()
	if len(sold) > 1 && r.stock && works != nil && !works(r) {
		sold = append(sold[1:], sold[0])
		take()
	}
	for _, s := range sold {
		r.Buy = append(r.Buy, s.name)
	}
	return r
}

// reamerBand returns the reamer's deviations in micrometres.
func reamerBand(l fit.Limits) (max, min float64) {
	// Limits are whole or half micrometres, so the products are exact enough to
	// be cleaned of their rounding before they are rounded up.
	up := func(hundredths float64) float64 {
		return math.Ceil((l.Upper-l.Lower)*hundredths/100 - exactUM)
	}
	max = l.Upper - up(reamerBelow)
	return max, max - up(reamerWidth)
}

// exactUM cleans float rounding off a tolerance of some whole or half
// micrometres times whole hundredths: the smallest true step is 0.005 um.
const exactUM = 1e-6

// Reamers that are sold: in steps, made to their name and a little over. The
// tolerances are recalled: +0.004 mm up to 5.5 mm and +0.005 above in steps of 0.01 mm,
// +0.0002 in for chucking reamers in steps of 0.001 in.
const (
	stepMM       = 0.01
	overSmallMM  = 0.004
	overLargeMM  = 0.005
	overChangeMM = 5.5
	stepInch     = 0.001
	overInch     = 0.0002
)

// sale is a reamer that is sold, with the limits that it is made to, mm.
type sale struct {
	name     string
	min, max float64
	stock    bool
}

// stockStepMM: reamers for H7 are stock in whole and half millimetres (recalled).
const stockStepMM = 0.5

// stockH7 are the limits of the stock reamer for H7 at a size, and those of its hole, um.
func stockH7(sizeMM float64) (lo, hi float64, hole fit.Limits, ok bool) {
	hole, err := fit.ClassLimits(sizeMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err != nil || !onGrid(sizeMM, stockStepMM) {
		return 0, 0, hole, false
	}
	max, min := reamerBand(hole)
	return sizeMM + min/1000, sizeMM + max/1000, hole, true
}

// onGrid reports whether a size is a whole number of steps.
func onGrid(size, step float64) bool { return math.Abs(size/step-math.Round(size/step)) < stepTol }

// stockName names the stock reamer.
func stockName(lo, hi float64) string {
	return fmt.Sprintf("the stock H7 reamer, %.3f to %.3f mm", lo, hi)
}

// reamersSold lists reamers that are sold and make the hole.
func reamersSold(sizeMM float64, l fit.Limits, r ReamerLimits) []sale {
	var out []sale
	if lo, hi, h7, ok := stockH7(sizeMM); ok {
		if h7.Lower >= l.Lower-exactUM && h7.Upper <= l.Upper+exactUM {
			name := stockName(lo, hi)
			if lo < r.MinMM-edgeMM || hi > r.MaxMM+edgeMM {
				holds := r.Class
				if holds == Plain {
					holds = "these limits"
				}
				name += fmt.Sprintf(" (under these limits, but the H7 hole that it makes lies within %s)", holds)
			}
			out = append(out, sale{name, lo, hi, true})
		}
	}
	over := overLargeMM
	if sizeMM <= overChangeMM {
		over = overSmallMM
	}
	metric := len(out)
	if d, ok := stepIn(r.MinMM, r.MaxMM, stepMM, over); ok {
		out = append(out, sale{fmt.Sprintf("%.2f mm, a reamer in steps of 0.01 mm", d), d, d + over, false})
	}
	if d, ok := stepIn(r.MinMM/units.MMPerInch, r.MaxMM/units.MMPerInch, stepInch, overInch); ok {
		s := sale{fmt.Sprintf("%.3f in, a reamer in steps of 0.001 in", d), d * units.MMPerInch,
			(d + overInch) * units.MMPerInch, false}
		if !onGrid(sizeMM, units.MMPerInch/64) {
			metric = len(out)
		}
		out = slices.Insert(out, metric, s) // of an inch size before the metric one
	}
	return out
}

// stepIn finds a multiple of a step that, with what it may be over, lies within
// limits.
func stepIn(min, max, step, over float64) (float64, bool) {
	d := math.Ceil(min/step-stepTol) * step
	return d, d+over <= max+stepTol*step
}

// stepTol, in steps, is above the rounding of a division and far below what a
// micrometer tells.
const stepTol = 1e-6

// PreReamSize is what to drill before reaming.
type PreReamSize struct {
	LowMM  float64    `json:"stock_min_mm"` // stock to leave on the diameter
	HighMM float64    `json:"stock_max_mm"`
	FromMM float64    `json:"drill_from_mm"`          // the drills that leave so much: from the one
	UpToMM float64    `json:"drill_up_to_mm"`         // up to the other
	Metric *DrillSize `json:"drill_metric,omitempty"` // the largest of them; nil when the series has none
	Inch   *DrillSize `json:"drill_inch,omitempty"`
	Source string     `json:"source"`
}

// Stock left for the reamer by diameter, for steel (standard to 20 mm: Manual
// Reaming, Institut fuer Berufliche Entwicklung; web above: eventexam.blogspot.com;
// testdata/reference/reaming_stock.csv). Between 20 and 21 mm the coarser row is taken.
var reamStock = []struct{ upto, low, high float64 }{
	{5, 0.1, 0.2}, {20, 0.2, 0.3}, {50, 0.3, 0.5}, {math.Inf(1), 0.5, 1.0},
}

// wholeUM takes the rounding of a product off a length in mm, so that 0.3 is written as 0.3.
func wholeUM(mm float64) float64 { return math.Round(mm*1000) / 1000 }

const (
	// lightMetalStock: half as much again (web: eventexam.blogspot.com).
	lightMetalStock = 1.5
	// DrillOverMM is how much a drill cuts over its size (web: the same).
	DrillOverMM = 0.05
)

// PreReam gives the stock to leave for a reamed hole of a size in mm, and the
// nearest drills that leave it:
//
//	drill = size - (stock + 0.05)
//
// the largest of each series between the most stock and the least; none where the
// series has none there, as above 25 mm. Reference: testdata/reference/reaming_stock.csv. No
// figure was found for plastics and wood: steel's is used and Source says so.
func PreReam(sizeMM float64, material string) (PreReamSize, error) {
	if math.IsNaN(sizeMM) || sizeMM <= 0 || sizeMM > fit.LargestMM {
		return PreReamSize{}, fmt.Errorf("a reamed hole of %g mm; want one over 0, up to %d", sizeMM, fit.LargestMM)
	}
	p := PreReamSize{Source: "stock for steel: Manual Reaming, Institut fuer Berufliche Entwicklung (standard), " +
		"over 20 mm eventexam.blogspot.com (web)"}
	for _, s := range reamStock {
		if sizeMM <= s.upto {
			p.LowMM, p.HighMM = s.low, s.high
			break
		}
	}
	m := strings.ToLower(material)
	switch f := fit.FamilyOf(material); {
	case strings.Contains(m, "alumin") || strings.Contains(m, "magnes"):
		p.LowMM, p.HighMM = wholeUM(p.LowMM*lightMetalStock), wholeUM(p.HighMM*lightMetalStock)
		p.Source += "; half as much again for light metal (web)"
	case f != fit.Metal:
		p.Source += "; none was found for " + string(f)
	}
	p.FromMM, p.UpToMM = wholeUM(sizeMM-p.HighMM-DrillOverMM), wholeUM(sizeMM-p.LowMM-DrillOverMM)
	within := func(series []DrillSize) *DrillSize {
		d, ok := drillBelow(series, p.UpToMM+2*sameDrillMM)
		if !ok || d.DiameterMM < p.FromMM-sameDrillMM {
			return nil
		}
		return &d
	}
	p.Metric, p.Inch = within(metricDrills()), within(inchDrills())
	return p, nil
}

// Drill is the drill of a series, that of the other one where it has none; nil: neither has.
func (p PreReamSize) Drill(inch bool) *DrillSize {
	if inch {
		return cmp.Or(p.Inch, p.Metric)
	}
	return cmp.Or(p.Metric, p.Inch)
}
