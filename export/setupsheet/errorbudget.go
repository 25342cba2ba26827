package setupsheet

import (
	"fmt"
	"math"

	"reseat/export/block"
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
	sourceWide = 75.0 // a longer name of a source is wrapped
	chartWide  = 60.0 // of the cell that a bar lies in
	chartSteps = 4
)

// leastBiasMM is the least known bias that is shown; half of the last decimal.
const leastBiasMM = 0.0005

// contribution is what one source does to a feature, mm.
type contribution struct {
	source          string
	worst, sd, bias float64
	assumed         bool // its figure is not in the job
}

// usual is what standard deviation and known bias make together, never more than
// the worst case, mm.
func (t contribution) usual() float64 { return math.Min(math.Hypot(t.sd, t.bias), t.worst) }

// contributions returns the sources of a feature of the budget, in the design's order.
func contributions(d *jig.Design, feature int) []contribution {
	var out []contribution
	for _, s := range d.Budget.Features[feature].Contributions {
		out = append(out, contribution{s.Source, s.WorstMM, s.SDMM, math.Hypot(s.AlongBiasMM, s.AcrossBiasMM), s.Assumed})
	}
	return out
}

// errorBudget charts where the error of the worst feature comes from, and says what would help
// most, how likely the pins assemble, and what the air did.
func (f *flow) errorBudget(d *jig.Design) {
	says := append(oddsLines(d), climateLines(d)...)
	if b := d.Budget; b != nil && len(b.Features) > 0 {
		x := b.Features[b.Worst()]
		f.table(budgetTable(x.Name, contributions(d, b.Worst())))
		sentence := fmt.Sprintf("Position error %s mm, 95 %% (Monte Carlo, %s runs); worst case %s mm",
			units.Fixed(x.P95MM, 3), grouped(b.Trials), units.Fixed(x.WorstMM, 3))
		if x.Largest != "" {
			sentence += fmt.Sprintf("; largest source: %s (%.0f %%)", x.Largest, 100*x.LargestShare)
		}
		says = append([]string{sentence + ".", x.Remedy}, says...)
	}
	for _, s := range says {
		f.lines(0, s)
	}
	f.y -= gap
}

// grouped writes a count with a space between thousands.
func grouped(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s %03d", grouped(n/1000), n%1000)
}

// budgetTable lists the sources with a bar to scale for each.
func budgetTable(feature string, ts []contribution) block.Table {
	most, bias, assumed := 0.0, false, false
	for _, t := range ts {
		most = math.Max(most, t.worst)
		bias = bias || t.bias >= leastBiasMM
	}
	scale := newBarScale(most, chartSteps)
	t := block.Table{
		Name: "Error budget at " + picture.Shorten(picture.Plain(feature), block.Middle, 40) + " (mm)",
		Cols: append(block.Words("source"), block.Numbers("worst", "sd")...),
	}
	legend := []string{"Bar to the worst case; hatched: standard deviation (sd)."}
	if bias {
		legend = []string{"sd: standard deviation.", "Bar to the worst case; hatched: sd and known bias."}
	}
	if bias {
		t.Cols = append(t.Cols, block.Numbers("bias")...)
	}
	t.Cols = append(t.Cols, block.Column{Wide: chartWide, Paint: func(f *block.Figure, row int, cell geom.Box) {
		if row < 0 {
			scale.numbers(f, cell)
			return
		}
		scale.bar(f, cell, ts[row])
	}})
	for _, x := range ts {
		name := x.source
		if x.assumed {
			name, assumed = name+" *", true
		}
		cells := []string{name, units.Fixed(x.worst, 3), units.Fixed(x.sd, 3)}
		if bias {
			bias := "-"
			if x.bias >= leastBiasMM {
				bias = units.Fixed(x.bias, 3)
			}
			cells = append(cells, bias)
		}
		t.Rows = append(t.Rows, append(cells, ""))
	}
	t.Limit(0, sourceWide)
	t.Foot = append(t.Foot, legend...)
	if assumed {
		t.Foot = append(t.Foot, "*: a figure that is assumed until the job gives it.")
	}
	return t
}
