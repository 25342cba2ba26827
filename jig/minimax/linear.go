package minimax

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Linear is the function At + Row . x.
type Linear struct {
	Row r3.Vec
	At  float64
}

// LeastOfLargest returns a move x at which the largest of the functions is least, and how
// large it then is, of moves that no coordinate takes more than reach upward nor their sum
// more than reach downward. It must be less than high for a move to be worth it. Rows are of
// size 1 or so.
func LeastOfLargest(functions []Linear, reach, high float64) (x r3.Vec, largest float64) {
	// The functions of the bounds on x reach high there.
	at := high - steep*reach
	all := append([]Linear{
		{r3.Vec{X: steep}, at}, {r3.Vec{Y: steep}, at}, {r3.Vec{Z: steep}, at},
		{r3.Vec{X: -steep, Y: -steep, Z: -steep}, at},
	}, functions...)
	cut := func(i int) Cut { return Cut{Pin: i, Row: all[i].Row} }
	b := NewBasis(cut(0), cut(1), cut(2), cut(3))
	for range exchangeLimit {
		if !b.ok {
			break
		}
		var g [4]float64
		bound := 0.0
		for j, f := range b.Cuts {
			g[j] = all[f.Pin].At
			bound += float64(b.Weights[j] * g[j])
		}
		x = b.meet(g)
		worst, at := math.Inf(-1), 0
		for i, f := range all {
			v := f.At + r3.Dot(f.Row, x)
			if v > worst+tie {
				at = i // of those alike the first, whatever their last digits
			}
			worst = max(worst, v)
		}
		largest = worst
		if worst-bound <= exchangeGap*reach || !b.enter(cut(at)) {
			break
		}
	}
	return x, largest
}

const (
	// steep is the slope of the bounds on a move: above that of any function, so that it
	// pays in no direction to pass them.
	steep = 4
	// tie is how near each other functions count as alike, mm: rounding is below it.
	tie = 1e-9
	// exchangeGap is the share of the reach to which the least is found.
	exchangeGap = 1e-9
)
