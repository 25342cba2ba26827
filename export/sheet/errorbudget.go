package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Chart measures in millimetres on the paper.
const (
	chartPad   = 6.0 // at either end of the scale, so that half of the outer numbers fits
	barHigh    = 2.4
	barHatch   = 0.8 // dense, so that it reads as solid beside the hollow part
	tickHigh   = 0.9
	sourceWide = 66.0 // longest name of a source
	textLeast  = 100  // the sentences below are as wide as the table, and not narrower than this
)

// chart is how much room the error budget takes.
type chart struct {
	wide  float64 // of the cell that a bar lies in, mm
	steps int     // most steps of the scale
	bias  bool    // the known bias has a column
}

// The charts, in the order in which they are tried on a sheet. Figures of the scale
// are up to 11 mm wide; the narrow one stands beside the check bars.
var (
	wideChart   = chart{wide: 60, steps: 4, bias: true}
	narrowChart = chart{wide: 36, steps: 2}
)

// leastBiasMM is the least known bias that is shown; half of the last decimal.
const leastBiasMM = 0.0005

// term is what one source does to a feature, mm.
type term struct {
	source          string
	worst, sd, bias float64
	assumed         bool // its figure is not in the job
}

// usual is what standard deviation and known bias make together, never more than
// the worst case, mm.
func (t term) usual() float64 { return math.Min(math.Hypot(t.sd, t.bias), t.worst) }

// terms returns the sources of a feature of the budget, in the design's order; the largest
// first where not all of them can be shown.
func terms(d *jig.Design, feature int) []term {
	var out []term
	for _, s := range d.Budget.Features[feature].Terms {
		out = append(out, term{s.Source, s.WorstMM, s.SDMM, math.Hypot(s.AlongBiasMM, s.AcrossBiasMM), s.Assumed})
	}
	if len(out) > mostSources {
		slices.SortStableFunc(out, func(a, b term) int { return cmp.Compare(b.usual(), a.usual()) })
	}
	return out
}

// errorBudget charts where the error of the worst feature comes from and says what
// would help most, how likely the pins assemble, and what the air did. Without a
// budget it has only the last two; nil when there is nothing to tell.
func errorBudget(d *jig.Design, c chart) *figure {
	more := append(oddsLines(d), climateLines(d)...)
	worst := -1
	if d.Budget != nil {
		worst = d.Budget.Worst()
	}
	if worst < 0 {
		if len(more) == 0 {
			return nil
		}
		return prose("Assembly and climate", more)
	}
	f := d.Budget.Features[worst]
	sentence := fmt.Sprintf("Position error %s mm, 95 %% (Monte Carlo, %s runs); worst case %s mm",
		units.Fixed(f.P95MM, 3), grouped(d.Budget.Trials), units.Fixed(f.WorstMM, 3))
	lines := []string{sentence + "."}
	if f.Largest != "" {
		lines = []string{fmt.Sprintf("%s; largest source: %s (%.0f %%).", sentence, f.Largest, 100*f.LargestShare)}
		if f.Remedy != "" {
			lines = append(lines, f.Remedy)
		}
	}
	t := budgetTable(f.Name, terms(d, worst), c).draw()
	ink := t.ink()
	t.list(ink.Min.Y, math.Max(ink.Max.X, textLeast), append(lines, more...))
	return t
}

// grouped writes a count with a space between thousands.
func grouped(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s %03d", grouped(n/1000), n%1000)
}

// budgetTable lists the sources with a bar to scale for each.
func budgetTable(feature string, ts []term, c chart) table {
	most, bias, assumed := 0.0, false, false
	for _, t := range ts {
		most = math.Max(most, t.worst)
		bias = bias || t.bias >= leastBiasMM
	}
	scale := newBarScale(most, c.steps)
	t := table{
		name: "Error budget at " + picture.Shorten(picture.Plain(feature), middle, 40) + " (mm)",
		cols: append(words("source"), numbers("worst", "sd")...),
	}
	legend := []string{"Bar to the worst case; hatched: standard deviation (sd)."}
	if bias {
		legend = []string{"sd: standard deviation.", "Bar to the worst case; hatched: sd and known bias."}
	}
	if bias = bias && c.bias; bias {
		t.cols = append(t.cols, numbers("bias")...)
	}
	t.cols = append(t.cols, column{wide: c.wide, paint: func(f *figure, row int, cell geom.Box) {
		if row < 0 {
			scale.numbers(f, cell)
			return
		}
		scale.bar(f, cell, ts[row])
	}})
	for _, x := range ts {
		name := cut(x.source, sourceWide)
		if x.assumed {
			name, assumed = cut(x.source, sourceWide-2)+" *", true
		}
		cells := []string{name, units.Fixed(x.worst, 3), units.Fixed(x.sd, 3)}
		if bias {
			bias := "-"
			if x.bias >= leastBiasMM {
				bias = units.Fixed(x.bias, 3)
			}
			cells = append(cells, bias)
		}
		t.rows = append(t.rows, append(cells, ""))
	}
	t.shorten(mostSources)
	t.foot = append(t.foot, legend...)
	if assumed {
		t.foot = append(t.foot, "*: a figure that is assumed until the job gives it.")
	}
	return t
}
