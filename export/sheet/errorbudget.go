package sheet

import (
	"fmt"
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Chart measures in millimetres on the paper.
const (
	chartPad   = 6.0 // at either end of the scale, so that half of the outer figures fits
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
	off   bool    // known errors have a column
}

// The charts, in the order in which they are tried on a sheet. Figures of the scale
// are up to 11 mm wide; the narrow one stands beside the check bars.
var (
	wideChart   = chart{wide: 60, steps: 4, off: true}
	narrowChart = chart{wide: 36, steps: 2}
)

// leastOffMM is the least known error that is told; a half of the last decimal.
const leastOffMM = 0.0005

// term is what one source does to a feature, mm.
type term struct {
	source    string
	worst, sd float64
	off       float64 // known error, whatever its direction
	usual     float64 // what sd and off make together, never more than worst
}

// terms returns the sources of a feature of the budget, in the design's order.
func terms(d *jig.Design, feature int) []term {
	var out []term
	for _, s := range d.Budget.Features[feature].Terms {
		off := math.Hypot(s.AlongBiasMM, s.AcrossBiasMM)
		t := term{source: s.Source, worst: s.WorstMM, sd: s.SDMM, off: off}
		t.usual = math.Min(math.Hypot(s.SDMM, off), t.worst)
		out = append(out, t)
	}
	return out
}

// errorBudget charts where the error of the worst feature comes from and says what
// would help most, how likely the pins enter, and what the air did. Without a budget
// it has only the last two; nil when there is nothing to tell.
func errorBudget(d *jig.Design, width float64, c chart) *figure {
	said := append(oddsLines(d), climateLines(d)...)
	worst := -1
	if d.Budget != nil {
		worst = d.Budget.Worst()
	}
	if worst < 0 {
		if len(said) == 0 {
			return nil
		}
		return prose("Assembly and climate", width, said)
	}
	ts := terms(d, worst)
	f := d.Budget.Features[worst]
	t := budgetTable(f.Name, ts, c).draw()
	sentence := fmt.Sprintf("95 %% of seatings within %s mm, worst case %s mm", fixed(f.P95MM, 3, false), fixed(f.WorstMM, 3, false))
	told := []string{sentence + "."}
	if s, share, ok := f.Largest(); ok {
		told = []string{fmt.Sprintf("%s; most comes from %s (%.0f %%).", sentence, s.Source, 100*share)}
		if s.Remedy != "" {
			told = append(told, s.Remedy)
		}
	}
	ink := t.Ink()
	t.list(ink.Min.Y, math.Max(ink.Max.X, math.Min(width, textLeast)), append(told, said...))
	return t
}

// budgetTable lists the sources with a bar to scale for each.
func budgetTable(feature string, ts []term, c chart) table {
	most, off := 0.0, false
	for _, t := range ts {
		most = math.Max(most, t.worst)
		off = off || t.off >= leastOffMM
	}
	scale := newBarScale(most, c.steps)
	bars := column{wide: c.wide, paint: func(f *figure, row int, cell geom.Box) {
		if row < 0 {
			scale.figures(f, cell)
			return
		}
		scale.bar(f, cell, ts[row])
	}}
	t := table{name: "Error budget at " + picture.Shorten(picture.Plain(feature), middle, 40) + " (mm)", cols: []column{
		{head: []string{"source"}},
		{head: []string{"worst"}, right: true},
		{head: []string{"sd"}, right: true},
	}}
	legend := []string{"Bar to the worst case; hatched: standard deviation (sd)."}
	switch {
	case off && c.off:
		t.cols = append(t.cols, column{head: []string{"off"}, right: true})
		legend = []string{"sd: standard deviation; off: known error.", "Bar to the worst case; hatched: sd and off together."}
	case off:
		legend = []string{"sd: standard deviation.", "Bar to the worst case; hatched: sd and known error."}
		off = false
	}
	t.cols = append(t.cols, bars)
	for i, x := range ts {
		if i == mostSources {
			t.foot = append(t.foot, fmt.Sprintf("and %d more; all in design.json.", len(ts)-mostSources))
			break
		}
		cells := []string{picture.Shorten(picture.Plain(x.source), small, sourceWide), fixed(x.worst, 3, false), fixed(x.sd, 3, false)}
		if off {
			known := "-"
			if x.off >= leastOffMM {
				known = fixed(x.off, 3, false)
			}
			cells = append(cells, known)
		}
		t.rows = append(t.rows, append(cells, ""))
	}
	t.foot = append(t.foot, legend...)
	return t
}
