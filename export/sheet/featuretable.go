package sheet

import (
	"fmt"
	"math"
	"sort"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// featureRow is what the sheet tells of one feature, mm.
type featureRow struct {
	name                 string
	at                   geom.Vec
	along, across, float float64 // by float alone, each way
	p95, worst           float64 // by every source; only with a budget
}

// featureRows returns the features that come back worst, those first: by the error
// that 95 % of seatings keep within, or by float when there is no budget.
func featureRows(d *jig.Design) []featureRow {
	var out []featureRow
	budgeted := hasBudget(d)
	for i, x := range d.Seat.Features {
		r := featureRow{name: x.Name, at: x.At, along: x.AlongMM, across: x.AcrossMM, float: x.WorstMM}
		if budgeted {
			r.p95, r.worst = d.Budget.Features[i].P95MM, d.Budget.Features[i].WorstMM
		}
		out = append(out, r)
	}
	sort.SliceStable(out, func(i, j int) bool {
		if budgeted {
			return out[i].p95 > out[j].p95
		}
		return out[i].float > out[j].float
	})
	return out
}

// hasBudget reports whether the budget tells of the same features as the float does:
// both list the board's, in its order.
func hasBudget(d *jig.Design) bool {
	return d.Budget != nil && len(d.Budget.Features) == len(d.Seat.Features)
}

// featureTable lists how far the features can be off once the board is seated
// again; nil without features.
func featureTable(d *jig.Design) *figure {
	rows := featureRows(d)
	if len(rows) == 0 {
		return nil
	}
	t := table{name: "Float of the seated board, each way (mm)", cols: []column{
		{head: []string{"feature"}},
		{head: []string{"u"}, right: true},
		{head: []string{"v"}, right: true},
		{head: []string{"along"}, right: true},
		{head: []string{"across"}, right: true},
		{head: []string{"worst"}, right: true},
	}}
	budgeted := hasBudget(d)
	if budgeted {
		t.name = "Float and error of the seated board (mm)"
		for j, h := range []string{"along", "across", "worst"} {
			t.cols[3+j].head = []string{"float", h}
		}
		t.cols = append(t.cols,
			column{head: []string{"error", "95 %"}, right: true},
			column{head: []string{"error", "worst"}, right: true})
	}
	for i, r := range rows {
		if i == mostFeatures {
			t.foot = append(t.foot, fmt.Sprintf("The %d worst of %d; all in design.json.", mostFeatures, len(rows)))
			break
		}
		cells := []string{
			picture.Shorten(picture.Plain(r.name), small, 40), fixed(r.at.X, 2, false), fixed(r.at.Y, 2, false),
			fixed(r.along, 3, false), fixed(r.across, 3, false), fixed(r.float, 3, false),
		}
		if budgeted {
			cells = append(cells, fixed(r.p95, 3, false), fixed(r.worst, 3, false))
		}
		t.rows = append(t.rows, cells)
	}
	turn := fmt.Sprintf("Turns by at most %s degrees each way.", fixed(d.Seat.ThetaMax*180/math.Pi, 4, false))
	seat := "Seat: " + d.Seat.Kind + "."
	if budgeted {
		t.foot = append(t.foot, seat+" Float: from the clearances alone, each way.", turn)
	} else {
		t.foot = append(t.foot, seat+" "+turn)
	}
	return t.draw()
}
