package register

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

const (
	startEnd = "start"
	farEnd   = "far"
	toLeft   = "left"
	toRight  = "right"
)

// taps returns the correction at the far end and the same one at the start end.
// angle is in the machine frame, counter-clockwise from above: a positive one
// has swung the far end to the left.
func (s DatumSpec) taps(angle, runout float64) (far, start Tap) {
	along := s.ToMachine.Apply(geom.Vec{X: 1}).Sub(s.ToMachine.Apply(geom.Vec{}))
	left := along.Left()
	far = Tap{farEnd, toRight, axisName(left.Scale(-1)), runout}
	start = Tap{startEnd, toLeft, axisName(left), runout}
	if angle < 0 {
		far.Toward, start.Toward = start.Toward, far.Toward
		far.Direction, start.Direction = start.Direction, far.Direction
	}
	return far, start
}

// axisName names the machine direction nearest to d.
func axisName(d geom.Vec) string {
	name, v := "X", d.X
	if math.Abs(d.Y) > math.Abs(d.X) {
		name, v = "Y", d.Y
	}
	if v < 0 {
		return "-" + name
	}
	return "+" + name
}

// sentence says what to do, in one line.
func (r DatumReport) sentence(length float64) string {
	if r.Pass {
		return fmt.Sprintf("leave it: the datum line runs out %.3f mm over %g mm, within %.3f mm", r.RunoutMM, length, r.ToleranceMM)
	}
	return fmt.Sprintf("tap the far end %.2f mm towards %s (to its %s, looking from the start end) and keep the start end where it is; or the start end %.2f mm towards %s",
		r.Tap.MM, r.Tap.Direction, r.Tap.Toward, r.Other.MM, r.Other.Direction)
}
