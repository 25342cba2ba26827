package setupsheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/export/block"
	"reseat/jig"
	"reseat/jig/units"
)

// hasBudget reports whether the budget tells of the same features as the float does:
// both list the board's, in its order.
func hasBudget(d *jig.Design) bool {
	return d.Budget != nil && len(d.Budget.Features) == len(d.Seat.Features)
}

// worstFirst returns the indices of the features, those that come back worst first:
// by the error that 95 % of seatings keep within, or by float when there is no budget.
func worstFirst(d *jig.Design) []int {
	size := func(i int) float64 { return d.Seat.Features[i].WorstMM }
	if hasBudget(d) {
		size = func(i int) float64 { return d.Budget.Features[i].P95MM }
	}
	order := make([]int, len(d.Seat.Features))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(size(j), size(i)) })
	return order
}

// featureTable lists how far the features can be off once the board is seated
// again, those worst off first.
func featureTable(d *jig.Design) block.Table {
	order := worstFirst(d)
	t := block.Table{
		Name: "Float of the seated board, +- (mm)",
		Cols: append(block.Words("feature"), block.Numbers("u", "v", "along", "across", "worst")...),
	}
	seat := fmt.Sprintf("Seat: %s. Rotation +-%s deg.", d.Seat.Kind, units.Fixed(d.Seat.ThetaMax*180/math.Pi, 4))
	if hasBudget(d) {
		t.Name = "Float and position error (mm)"
		t.Cols = append(t.Cols[:3],
			block.Numbers("float\nalong", "float\nacross", "float\nworst", "error\n95 %", "error\nworst")...)
		seat += " Float: +-, from the clearances alone."
	}
	for _, i := range order {
		x := d.Seat.Features[i]
		cells := []string{
			block.FitText(x.Label(), 40), units.Fixed(x.At.X, 2), units.Fixed(x.At.Y, 2),
			units.Fixed(x.AlongMM, 3), units.Fixed(x.AcrossMM, 3), units.Fixed(x.WorstMM, 3),
		}
		if hasBudget(d) {
			cells = append(cells, units.Fixed(d.Budget.Features[i].P95MM, 3), units.Fixed(d.Budget.Features[i].WorstMM, 3))
		}
		t.Rows = append(t.Rows, cells)
	}
	t.Limit(0, 70)
	t.Foot = append(t.Foot, seat)
	return t
}
