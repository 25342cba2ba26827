package setupsheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// barScale is the scale that a column of bars is drawn to: step apart, from zero to
// n steps, mm of the design.
type barScale struct {
	step     float64
	n        int
	decimals int
}

// leastScaleMM is the least error that the scale spans: smaller ones are of no
// concern, and longer numbers would meet.
const leastScaleMM = 0.005

// newBarScale returns the scale for numbers up to most: the least step of one to five
// times a power of ten of which the given number, two or more, reach it.
func newBarScale(most float64, steps int) barScale {
	most = math.Max(most, leastScaleMM)
	k := math.Floor(math.Log10(most / float64(steps)))
	for {
		for _, m := range [5]float64{1, 2, 3, 4, 5} {
			step := m * math.Pow(10, k)
			// A value that is a whole number of steps must not ask for one more by
			// rounding.
			const spare = 1e-9
			if n := math.Ceil(most/step - spare); n <= float64(steps) {
				return barScale{step: step, n: max(1, int(n)), decimals: max(0, -int(k))}
			}
		}
		k++
	}
}

// at returns where x lies in a cell.
func (s barScale) at(cell geom.Box, x float64) float64 {
	return cell.Min.X + chartPad + (cell.Size().X-2*chartPad)*x/(s.step*float64(s.n))
}

// numbers writes the scale into the head of its column, with a tick below each.
func (s barScale) numbers(f *block.Figure, cell geom.Box) {
	for i := 0; i <= s.n; i++ {
		x := float64(i) * s.step
		at := geom.Vec{X: s.at(cell, x), Y: cell.Min.Y}
		says := units.Fixed(x, s.decimals)
		if i == 0 {
			says = "0"
		}
		f.Text(at.Add(geom.Vec{Y: (block.RowHigh - block.Small) / 2}), block.Small, picture.Middle, says)
		f.Line(picture.PenThin, at, at.Sub(geom.Vec{Y: tickHigh}))
	}
}

// bar draws a term into its cell: hatched up to its usual size, hollow up to its
// worst case.
func (s barScale) bar(f *block.Figure, cell geom.Box, t contribution) {
	lo, mid, hi := s.at(cell, 0), s.at(cell, t.usual()), s.at(cell, t.worst)
	y := cell.Center().Y
	b := geom.Box{Min: geom.Vec{X: lo, Y: y - barHigh/2}, Max: geom.Vec{X: hi, Y: y + barHigh/2}}
	if hi-lo < picture.NarrowMM {
		// Nothing that a bar could show: the zero of the scale.
		f.Line(picture.PenThin, b.Min, geom.Vec{X: lo, Y: b.Max.Y})
		return
	}
	f.Box(picture.PenThin, b)
	if mid-lo < picture.NarrowMM {
		return
	}
	b.Max.X = mid
	f.Hatch(block.HatchRising, barHatch, geom.Rect(b).Corners()...)
	if hi-mid >= picture.NarrowMM {
		f.Line(picture.PenThin, geom.Vec{X: mid, Y: b.Min.Y}, b.Max)
	}
}
