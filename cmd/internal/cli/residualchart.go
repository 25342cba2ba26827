package cli

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// stickHalf is the half width of a residual's bar in characters.
const stickHalf = 15

// stick draws a residual as a bar to the left or right of a centre line.
func stick(x, scale float64) string {
	n := stickLength(x, scale)
	if x < 0 {
		return strings.Repeat(" ", stickHalf-n) + strings.Repeat("#", n) + "|" + strings.Repeat(" ", stickHalf)
	}
	return strings.Repeat(" ", stickHalf) + "|" + strings.Repeat("#", n) + strings.Repeat(" ", stickHalf-n)
}

func stickLength(x, scale float64) int {
	if scale <= 0 {
		return 0
	}
	return min(stickHalf, int(math.Round(stickHalf*math.Abs(x)/scale)))
}

// stickHead stands above a column of bars: "0.05 left ...... 0 ..... right 0.05".
func stickHead(scale float64) string { return barHead(scale, "left", "right") }

// barHead is the like with other names for the two sides.
func barHead(scale float64, left, right string) string {
	left, right = num(scale, 3)+" "+left+" ", " "+right+" "+num(scale, 3)
	dots := func(word string) string { return strings.Repeat(".", max(0, stickHalf-len(word)-1)) }
	return left + dots(left) + " 0 " + dots(right) + right
}

// leastChartMM is the least full bar: readings that agree to the last digit of a
// display (0.01 mm; common practice, no source) are not blown up to look wild.
const leastChartMM = 0.01

// chartScale is the length that a full bar stands for: 1, 2 or 5 in the decade
// that holds the largest.
func chartScale(residuals []float64) float64 {
	most := leastChartMM
	for _, r := range residuals {
		most = math.Max(most, math.Abs(r))
	}
	decade := math.Pow(10, math.Floor(math.Log10(most)))
	for _, k := range []float64{1, 2, 5} {
		// An ulp or two lost in the power must not skip a step.
		if most <= k*decade*(1+1e-12) {
			return k * decade
		}
	}
	return 10 * decade
}

// rowsShown bounds a chart on the terminal; beyond, the readings that lie farthest
// off are shown. A screen holds about so many.
const rowsShown = 40

// charted returns the indices of the readings that a chart shows, in their order.
func charted(residuals []float64) []int {
	order := make([]int, len(residuals))
	for i := range order {
		order[i] = i
	}
	if len(order) <= rowsShown {
		return order
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(math.Abs(residuals[b]), math.Abs(residuals[a]))
	})
	order = order[:rowsShown]
	slices.Sort(order)
	return order
}

// leftOut tells how many readings a chart does not show; "" when it shows all.
func leftOut(all int) string {
	if all <= rowsShown {
		return ""
	}
	return fmt.Sprintf("  the %d that lie farthest off, of %d; --json has all\n", rowsShown, all)
}
