package outlined

import (
	"fmt"
	"slices"
	"strings"

	"reseat/jig/foolproof"
	"reseat/jig/units"
)

// WrongWays are the wrong ways in which a board of any outline comes nearest to going into its
// window, those that lack least first.
type WrongWays []foolproof.WrongWay

// WrongWays finds them, in the window as it is cut, not nil; nil without a nest or when not asked.
func (n *Nest) Ways(asked bool) WrongWays {
	if n == nil || !asked {
		return nil
	}
	return append(WrongWays{}, foolproof.WaysIn(n.Window, n.Outline)...)
}

// Lack is what the board lacks in the nearest way of a turn, MostLackMM at most.
func (w WrongWays) Lack(t foolproof.Misplacement) float64 {
	if at := slices.IndexFunc(w, func(o foolproof.WrongWay) bool { return o.Misplacement() == t }); at >= 0 {
		return w[at].LackMM
	}
	return foolproof.MostLackMM
}

// mostAngles is how many angles of one turn are listed one by one: as many as a hexagon has.
const mostAngles = 5

// Says tells how the board lies in the ways of a turn that lack no more than a limit, angles
// counter-clockwise seen from above; without one, which turn it is.
func (w WrongWays) Says(t foolproof.Misplacement, limit float64) string {
	var angles []float64
	for _, o := range w {
		if o.Misplacement() == t && o.LackMM <= limit {
			angles = append(angles, degrees(o.Angle))
		}
	}
	slices.Sort(angles)
	var written []string
	for _, a := range angles {
		written = append(written, units.Decimal(a, 0))
	}
	by := fmt.Sprintf(" by %s degrees", strings.Join(written, ", "))
	if len(written) > mostAngles {
		by = fmt.Sprintf(" by any of %d angles", len(written))
	}
	switch {
	case written == nil && t == foolproof.HalfTurn:
		return "turned by any angle"
	case written == nil && t == foolproof.FlipLong:
		return "turned over about its long axis"
	case written == nil:
		return "turned over about its short axis"
	case t == foolproof.HalfTurn:
		return "turned" + by
	case by == " by 0 degrees":
		return "turned over about its long axis"
	case by == " by 180 degrees":
		return "turned over about its short axis"
	}
	return "turned over about its long axis, then" + by
}
