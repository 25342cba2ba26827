package measuring

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig/units"
)

// residualChart draws residuals as bars beside a table of the readings.
type residualChart struct {
	title     string
	heads     []string // of the columns before the bars
	low, high string   // names of the two sides; low "": the residuals are distances
	off       []float64
	row       func(i int) []string // the columns' cells
	outlier   func(i int) bool     // nil: none is
}

func (c residualChart) write(w io.Writer) {
	scale := chartScale(c.off)
	fmt.Fprintln(w, c.title)
	tab := command.NewTable(append(c.heads, barHead(scale, c.low, c.high), "")...)
	for _, i := range farthestOff(c.off) {
		mark := ""
		if c.outlier != nil && c.outlier(i) {
			mark = "outlier"
		}
		tab.Add(append(c.row(i), residualBar(c.off[i], scale, c.low != ""), mark)...)
	}
	tab.Write(w, "  ")
	if n := len(c.off); n > rowsShown {
		fmt.Fprintf(w, "  the %d largest of %d; --json has all\n", rowsShown, n)
	}
}

// each lists one value of every element.
func each[T any](list []T, of func(T) float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = of(x)
	}
	return out
}

// barHalf is the half width of a bar in characters.
const barHalf = 15

// residualBar draws a residual to either side of a middle, or a distance from the left end.
func residualBar(x, scale float64, sides bool) string {
	part := math.Min(1, math.Abs(x)/scale)
	if !sides {
		return "|" + strings.Repeat("#", int(math.Round(2*barHalf*part)))
	}
	n := int(math.Round(barHalf * part))
	if x < 0 {
		return strings.Repeat(" ", barHalf-n) + strings.Repeat("#", n) + "|"
	}
	return strings.Repeat(" ", barHalf) + "|" + strings.Repeat("#", n)
}

// barHead stands above a column of bars: "0.05 left ...... 0 ..... right 0.05".
func barHead(scale float64, low, high string) string {
	end := units.Decimal(scale, 3)
	dots := func(n int, word string) string { return strings.Repeat(".", max(0, n-len(word)-2)) + " " + word }
	if low == "" {
		return "0 " + dots(2*barHalf, end)
	}
	low, high = end+" "+low, high+" "+end
	return low + " " + strings.Repeat(".", max(0, barHalf-len(low)-2)) + " 0 " + dots(barHalf, high)
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

// farthestOff returns the indices of the readings that a chart shows, in their order.
func farthestOff(residuals []float64) (shown []int) {
	size := make([]float64, len(residuals))
	for i, r := range residuals {
		size[i] = math.Abs(r)
	}
	slices.Sort(size)
	least, ties := 0.0, rowsShown
	if n := len(size); n > rowsShown {
		least = size[n-rowsShown]
		above, _ := slices.BinarySearch(size, math.Nextafter(least, math.Inf(1)))
		ties -= n - above
	}
	for i, r := range residuals {
		switch d := math.Abs(r); {
		case d > least:
			shown = append(shown, i)
		case d == least && ties > 0:
			shown, ties = append(shown, i), ties-1
		}
	}
	return shown
}
