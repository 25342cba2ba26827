package measure

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

// Correction is the move at the last pin that puts the board right, the datum's
// start staying where it is.
type Correction struct {
	StationMM  float64 // of the pin, from the datum's start
	MM         float64 // how far to move the board there
	Hundredths int     // the same in whole hundredths of a millimetre
	Toward     string  // "left" or "right", looking from the start end, seen from above
	Direction  string  // machine direction: "+X", "-X", "+Y" or "-Y"
	TurnRad    float64 // the same as a turn of the board, counter-clockwise seen from above
}

// correction is the tap at the far end taken at the last pin.
func (s DatumSpec) correction(angle, runout float64) Correction {
	at := s.PinStationMM
	if at == 0 {
		at = s.LengthMM
	}
	far, _ := s.taps(angle, runout)
	mm := runout * at / s.LengthMM
	return Correction{at, mm, int(math.Round(mm * hundredthsPerMM)), far.Toward, far.Direction, -angle}
}

// hundredthsPerMM: the shop's word for small lengths is the hundredth.
const hundredthsPerMM = 100

// sentence says what to do, in one line.
func (r DatumReport) sentence(length float64) string {
	tap := fmt.Sprintf("tap the far end %.2f mm towards %s (to its %s, looking from the start end) and keep the start end where it is; or the start end %.2f mm towards %s",
		r.Tap.MM, r.Tap.Direction, r.Tap.Toward, r.Other.MM, r.Other.Direction)
	if c := r.AtPin; c.StationMM != length {
		tap += fmt.Sprintf("; at the last pin, station %.1f mm, that is %d hundredths towards %s", c.StationMM, c.Hundredths, c.Direction)
	}
	switch r.Verdict {
	case Parallel:
		return fmt.Sprintf("leave it: the datum line runs out %.3f mm over %g mm, within %.3f mm", r.RunoutMM, length, r.ToleranceMM)
	case NotParallel:
		return tap
	}
	give := "with nothing left to judge it by"
	if u := r.Uncertainty; u != nil {
		give = fmt.Sprintf("give or take %.3f mm", u.RunoutHalfMM)
	}
	do := "measure more points, nearer to both ends"
	if o := r.Outlier; o != nil {
		do = fmt.Sprintf("measure the point of line %d again", o.Line)
	}
	says := fmt.Sprintf("cannot tell: the datum line runs out %.3f mm over %g mm, %s, against %.3f mm; %s", r.RunoutMM, length, give, r.ToleranceMM, do)
	if !r.Pass {
		says += "; most likely: " + tap
	}
	return says
}

// Tap is a correction in the shop's words.
type Tap struct {
	End       string  // "start" or "far": the end to move; the other one stays
	Toward    string  // "left" or "right", looking from the start end, seen from above
	Direction string  // machine direction: "+X", "-X", "+Y" or "-Y"
	MM        float64 // how far
}
