package coupon

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/calibration"
	"reseat/jig/units"
)

// DeepMM is how deep the jaws' tips go at a face: deep enough to be past a burr, and
// shallow enough to be that face's. Common practice, no source.
const DeepMM = 0.5

// bearingMM is the bore of the ball bearing that is commonest in workshops, 608: 8 mm,
// 0 to 0.008 under (recalled: ISO 492, class normal).
const bearingMM = 8.0

// reachable reports whether the jaws of a caliper go into the holes.
func (s Spec) reachable() bool {
	return s.Pin.NominalMM >= jawMM
}

// ask lists what is measured, in an order that turns the piece over once.
func (c *Coupon) ask() []Step {
	top := fmt.Sprintf("Top up. Inside jaws in holes and slots, outside jaws on bars, both across their length; tips "+
		"%g mm deep.", DeepMM)
	if !c.CutsStraight() {
		top = fmt.Sprintf("Top up. Inside jaws in the holes, tips %g mm deep.", DeepMM)
	}
	under := fmt.Sprintf("Turn the piece over about its long side. The same at the other face, tips %g mm deep.", DeepMM)
	through := c.PieceMM <= throughMM
	face, how := "", "jaws through the full thickness"
	if !through {
		face, how = Top, fmt.Sprintf("tips %g mm deep, top up", DeepMM)
	}
	if !c.CutsStraight() && !c.reachable() { // the caliper reads nothing of it, so nothing of the caliper counts
		return []Step{{tryPin + " measured_mm stays empty.", c.holes()}}
	}
	steps := []Step{
		{"Wipe the caliper's jaws and zero it. Outside jaws on a pin. Inside jaws in the bore of a ball bearing: put its " +
			"bore into drawn_mm. No bearing: leave the line empty.", c.own()},
		{tryPin + c.alsoMeasure(through), c.holes()},
		{top, c.at(Top)},
	}
	if webs := c.pairs(Web, face); len(webs) > 0 {
		steps = append(steps,
			Step{"Outside jaws, one in each of the two, on the walls that face each other: " + how + ".", webs},
			Step{"Inside jaws, one in each of the two, on the far walls: " + how + ".", c.pairs(Span, face)})
	}
	if through && c.CutsStraight() {
		steps = append(steps, Step{"Slots and bars again: " + how + ".", append(c.each(Slot, ""), c.each(Bar, "")...)})
	}
	steps = append(steps, Step{under, c.at(Under)})
	steps = append(steps, Step{"As at the start: is the caliper still right?", c.own()[:2]})
	return slices.DeleteFunc(steps, func(s Step) bool { return len(s.Rows) == 0 })
}

const tryPin = "Top up: does the pin enter by hand, from the top? Column enters: yes when it passes right through, tight " +
	"when it starts and does not pass, else no. No hammer."

// Untold are the quantities that no row of the coupon tells, and why not; none: every one is told.
func (c *Coupon) Untold() (keys []string, why string) {
	if c.CutsStraight() || c.reachable() {
		return nil, ""
	}
	return []string{calibration.Taper, calibration.Position, calibration.ScaleX, calibration.ScaleY},
		fmt.Sprintf("no caliper goes into holes under %g mm: the coupon of a larger pin tells it", jawMM)
}

func (c *Coupon) alsoMeasure(through bool) string {
	if c.reachable() && through {
		return " Then inside jaws through the full thickness, turned until they read most."
	}
	return " measured_mm stays empty."
}

// own are the rows that tell of the caliper and the pin themselves.
func (c *Coupon) own() []Row {
	pin := Row{ID: "PIN", Kind: Pin, DrawnMM: c.Pin.NominalMM}
	ring := Row{ID: "RING", Kind: Ring, DrawnMM: bearingMM}
	return []Row{pin, pin, pin, pin, ring, ring, ring}
}

// holes are the rows of the pin's trial.
func (c *Coupon) holes() []Row {
	var out []Row
	for _, f := range c.Features {
		if f.Kind == Hole {
			out = append(out, Row{ID: f.ID, Kind: Hole, DrawnMM: f.SizeMM})
		}
	}
	return out
}

// each are the rows of all slots, or all bars, at a face.
func (c *Coupon) each(k Kind, face string) []Row {
	var out []Row
	for _, f := range c.Features {
		if f.Kind == k {
			out = append(out, Row{ID: f.ID, Kind: k, Axis: f.Axis, Face: face, DrawnMM: f.SizeMM})
		}
	}
	return out
}

// at are the rows of a face: every slot and bar, and some holes, along either axis.
func (c *Coupon) at(face string) []Row {
	out := append(c.each(Slot, face), c.each(Bar, face)...)
	every := 4
	if !c.CutsStraight() {
		every = 2 // nothing else tells of taper
	}
	for i, r := range c.holes() {
		if c.reachable() && i%every == 1 {
			r.Axis, r.Face = []string{"x", "y"}[i/every%2], face
			out = append(out, r)
		}
	}
	return out
}

// pairs are the rows over two features that lie along an axis from each other. Along x a
// hole or a slot is in one long pair, and of each row of holes two long pairs, one within
// the other, are joined at their ends by near ones: the way round tells what the caliper
// reads too much over two features, whatever the places of the holes are. Along y holes of
// the two rows face each other.
func (c *Coupon) pairs(k Kind, face string) []Row {
	columns := c.Holes / 2
	hole := func(row, column int) string { return fmt.Sprintf("H%02d", row*columns+column+1) }
	var x, y [][2]string
	if c.reachable() {
		for row := range 2 {
			pair := func(a, b int) [2]string {
				if row == 1 { // from the other end
					a, b = columns-1-b, columns-1-a
				}
				return [2]string{hole(row, a), hole(row, b)}
			}
			far := columns - 1
			for !c.readable("x", pair(0, far)) {
				far--
			}
			x = append(x, pair(0, far), pair(1, far-1), pair(0, 1), pair(far-1, far))
			if from, to := 2, columns-1; c.Holes == ManyHoles {
				for to == far || to == far-1 || !c.readable("x", pair(from, to)) {
					to--
				}
				x = append(x, pair(from, to))
			}
		}
		for i, n := 0, columns/2+1; i < n; i++ {
			column := int(math.Round(float64(i*(columns-1)) / float64(n-1)))
			y = append(y, [2]string{hole(0, column), hole(1, column)})
		}
	}
	if c.CutsStraight() {
		n, groups := strings.Count(c.cuts(), "S"), len(c.axes()) // slots of a group
		for i := range n {
			p := [2]string{fmt.Sprintf("S%02d", i+1), fmt.Sprintf("S%02d", n*groups-i)}
			if c.readable("x", p) && (i < 2 || !c.reachable()) {
				x = append(x, p)
			}
		}
		if len(y) == 0 { // a much shorter way, which tells little
			for i := n; i < n*(groups-1); i += n {
				y = append(y, [2]string{fmt.Sprintf("S%02d", i+1), fmt.Sprintf("S%02d", i+n)})
			}
		}
	}
	var out []Row
	for i, axis := range []string{"x", "y"} {
		for _, p := range [][][2]string{x, y}[i] {
			row := Row{ID: p[0] + "-" + p[1], Kind: k, Axis: axis, Face: face}
			row.DrawnMM, _ = c.drawn(row)
			out = append(out, row)
		}
	}
	return out
}

// readable reports whether a caliper spans two features along an axis.
func (c *Coupon) readable(axis string, p [2]string) bool {
	far, ok := c.drawn(Row{ID: p[0] + "-" + p[1], Kind: Span, Axis: axis})
	return ok && far <= readingMostMM
}

// drawn returns what a row would read of a piece made just as it was drawn; ok is
// false for one that is not of this coupon.
func (c *Coupon) drawn(r Row) (mm float64, ok bool) {
	switch r.Kind {
	case Pin:
		return c.Pin.NominalMM, true
	case Ring:
		return r.DrawnMM, true // the user's own bearing
	case Hole, Slot, Bar:
		f, ok := c.feature(r.ID)
		return f.SizeMM, ok && f.Kind == r.Kind && (f.Axis == r.Axis || f.Kind == Hole)
	}
	a, b, ok := c.pair(r.ID)
	if !ok {
		return 0, false
	}
	d := b.At.Sub(a.At)
	far, aside := math.Abs(d.X), math.Abs(d.Y)
	if r.Axis == "y" {
		far, aside = aside, far
	}
	for _, f := range []Feature{a, b} {
		ok = ok && f.Kind != Bar && (f.Kind == Hole || f.Axis == r.Axis)
	}
	walls := (a.SizeMM + b.SizeMM) / 2
	if r.Kind == Web {
		walls = -walls
	}
	return units.Round(far+walls, 3), ok && r.Axis != "" && aside < leastAsideMM && far+walls > 0
}

// leastAsideMM: two features further aside of each other than this cannot be measured
// along one axis; below what a caliper's width forgives. Practice.
const leastAsideMM = 0.01
