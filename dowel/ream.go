package dowel

import (
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/units"
)

// ReamerLimits are the limits of a reamer's cutting diameter for a hole class.
type ReamerLimits struct {
	Class  string   // of the hole
	MinMM  float64  `json:"min_mm"` // cutting diameter
	MaxMM  float64  `json:"max_mm"`
	Buy    []string `json:"buy"`  // reamers that are sold and make the hole, best first
	Sold   bool     `json:"sold"` // false: none is sold, Buy names an adjustable one
	Source string   `json:"source"`
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
	return reamerFor(sizeMM, l, c.String()), nil
}

func reamerFor(sizeMM float64, l fit.Limits, class string) ReamerLimits {
	max, min := reamerBand(l)
	r := ReamerLimits{Class: class, MinMM: sizeMM + min/1000, MaxMM: sizeMM + max/1000, Source: reamerSource}
	r.Buy = buy(sizeMM, l, r)
	if r.Sold = len(r.Buy) > 0; !r.Sold {
		r.Buy = []string{"an adjustable hand reamer, set and tried on scrap"}
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

// buy names reamers that are sold and make the hole.
func buy(sizeMM float64, l fit.Limits, r ReamerLimits) []string {
	var out []string
	h7, err := fit.ClassLimits(sizeMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err == nil {
		max, min := reamerBand(h7)
		if h7.Lower >= l.Lower-exactUM && h7.Upper <= l.Upper+exactUM {
			lo, hi := sizeMM+min/1000, sizeMM+max/1000
			name := fmt.Sprintf("the stock H7 reamer, %.3f to %.3f mm", lo, hi)
			if lo < r.MinMM-edgeMM || hi > r.MaxMM+edgeMM {
				holds := r.Class
				if holds == Plain {
					holds = "these limits"
				}
				name += fmt.Sprintf(" (under these limits, but the H7 hole that it makes lies within %s)", holds)
			}
			out = append(out, name)
		}
	}
	over := overLargeMM
	if sizeMM <= overChangeMM {
		over = overSmallMM
	}
	if d, ok := stepIn(r.MinMM, r.MaxMM, stepMM, over); ok {
		out = append(out, fmt.Sprintf("%.2f mm, a reamer in steps of 0.01 mm", d))
	}
	if d, ok := stepIn(r.MinMM/units.MMPerInch, r.MaxMM/units.MMPerInch, stepInch, overInch); ok {
		out = append(out, fmt.Sprintf("%.3f in, a reamer in steps of 0.001 in", d))
	}
	return out
}

// stepIn finds a multiple of a step that, with what it may be over, lies within
// limits.
func stepIn(min, max, step, over float64) (float64, bool) {
	d := math.Ceil(min/step-stepSlack) * step
	return d, d+over <= max+stepSlack*step
}

// stepSlack, in steps, is above the rounding of a division and far below what a
// micrometer tells.
const stepSlack = 1e-6

// PreReamSize is what to drill before reaming.
type PreReamSize struct {
	LowMM   float64    `json:"stock_min_mm"` // stock to leave on the diameter
	HighMM  float64    `json:"stock_max_mm"`
	BelowMM float64    `json:"drill_below_mm"`         // the drill is smaller than this
	Metric  *DrillSize `json:"drill_metric,omitempty"` // nil when no drill of the series is small enough
	Inch    *DrillSize `json:"drill_inch,omitempty"`
	Source  string     `json:"source"`
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
//	drill < size - (stock + 0.05)
//
// the largest of each series strictly below, the lesser stock of the range being
// taken. Reference: testdata/reference/reaming_stock.csv. No figure was found for
// plastics and wood: steel's is used and Source says so.
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
	p.BelowMM = wholeUM(sizeMM - p.LowMM - DrillOverMM)
	if d, ok := drillBelow(metricDrills(), p.BelowMM); ok {
		p.Metric = &d
	}
	if d, ok := drillBelow(inchDrills(), p.BelowMM); ok {
		p.Inch = &d
	}
	return p, nil
}
