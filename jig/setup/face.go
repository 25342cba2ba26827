package setup

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Face is a face of the board as first cut.
type Face string

// The two faces, as the job file names them.
const (
	Top   Face = "top"   // up in the first set-up
	Under Face = "under" // up when the board is turned over
)

// Name is the face's name for people.
func (f Face) Name() string {
	if f == Under {
		return "underside"
	}
	return "top"
}

// Turn is how a part is turned over. Zero stands for: not at all.
type Turn struct {
	About    string  // "none", "long", "short": the board's axis that it is turned over about
	MiddleMM float64 // station that stays where it is when it is turned about the short axis
}

// Lying is where a place of the board, (u, v) as seen on its top, lies with a face up, in
// the axes that the board had with its top up. It is its own inverse.
//
//	underside up, about the long axis:   (u, -v)
//	underside up, about the short axis:  (2m - u, v)
func (t Turn) Lying(up Face, p geom.Vec) geom.Vec { return t.Rigid(up).Apply(p) }

// Rigid is Lying as a move: a mirror image, seen from above, when the underside is up.
func (t Turn) Rigid(up Face) geom.Rigid {
	switch {
	case up != Under:
	case t.About == "long":
		return geom.Rigid{Mirror: true}
	case t.About == "short":
		return geom.Rigid{Angle: math.Pi, Mirror: true, Shift: geom.Vec{X: 2 * t.MiddleMM}}
	}
	return geom.Rigid{}
}

// lies tells which face is up and what shows it: the blank's mark or the plate's notch,
// and where the round pin's hole is now.
func (w Work) lies(up Face) string {
	says, start := "Top up, as first cut: ", geom.Vec{}
	if up == Under {
		says = fmt.Sprintf("Underside up, turned over about the %s axis: ", w.Turn.About)
		start = w.Turn.Lying(up, start)
	}
	end := w.end(start)
	if w.Nest {
		// The notch is in the start end, left of the datum line as seen on the top.
		side := w.Turn.Lying(up, geom.Vec{Y: 1})
		says += fmt.Sprintf("the template's notch lies %s, %s", end, w.side(side.Y))
	} else {
		says += fmt.Sprintf("the blank's end marked START lies %s", end)
	}
	for _, q := range w.Pattern {
		if q.Role == "round" {
			at := q.At
			if up == Under {
				at = w.turnedPlace(at)
			}
			return says + fmt.Sprintf("; the hole of round pin %s lies at X%.3f Y%.3f.", q.ID, noMinusZero(at.X),
				noMinusZero(at.Y))
		}
	}
	return says + "."
}

// end is where a place beyond one of the board's ends lies, and side on which side of the
// datum line one at v is, as the operator sees them; both as the board lies.
func (w Work) end(p geom.Vec) string {
	far := 0
	if p.X > w.Turn.MiddleMM {
		far = 1
	}
	if w.alongX() {
		return [2]string{"to the left", "to the right"}[far]
	}
	return [2]string{"near you", "far from you"}[far]
}

func (w Work) side(v float64) string {
	right := 0
	if v < 0 {
		right = 1
	}
	if w.alongX() {
		return [2]string{"behind the datum line", "in front of the datum line"}[right]
	}
	return [2]string{"left of the datum line", "right of the datum line"}[right]
}
