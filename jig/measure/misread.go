package measure

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Readings in inches, or with X and Y exchanged, fit the board badly as they
// stand and well once put right. They are refused with what gave them away.

// InchError reports readings that are in inches though they are named
// millimetres.
type InchError struct {
	Gave  string // what gave it away
	Large bool   // the readings are 25.4 times too large: the job is in inches
}

func (e *InchError) Error() string {
	if e.Large {
		return "these readings are 25.4 times too large: " + e.Gave + "; is the job in inches, or were inches written as millimetres twice over?"
	}
	return "these are readings in inches, 25.4 times too small: " + e.Gave + "; name the columns by their unit (x_in,y_in) or write millimetres"
}

// SwappedError reports points whose X and Y are exchanged.
type SwappedError struct{ OffMM, SwappedMM float64 } // mean distance from where they should lie, as they stand and exchanged

func (e *SwappedError) Error() string {
	return fmt.Sprintf("X and Y are exchanged, most likely: as they stand the readings lie %.3g mm from where they should on average, exchanged %.3g mm; exchange the columns, or is it the job's long axis (machine.long_axis)?", e.OffMM, e.SwappedMM)
}

const (
	// farBetter is the factor by which readings must fit better once put right
	// before they are refused. Inches and exchanged axes make it ten and more;
	// a board that is put back askew is off by a small part of its width.
	farBetter = 5.0
	// inchReach is the longest part of a board that inch readings can seem to
	// reach, with 20 % for points beyond its ends.
	inchReach = 1.2 / mmPerInch
	// leastReach is the least part of the board that readings must reach once put
	// right: nobody measures a board over less than a quarter of it when they can
	// choose, and then the figures would fit by chance.
	leastReach = 0.25
	// inchTaper is how far the taper that a dial shows may be off 1/25.4 of the
	// job's, in parts of it, to count as read in inches.
	inchTaper = 0.1
	// leastTaperMM is the least taper over the board, per edge, that a dial's unit
	// is told by.
	leastTaperMM = 1.0
)

// misread tells readings in inches and exchanged axes by how the readings fit the
// board.
func (s DatumSpec) misread(readings []Reading, g *gathered) error {
	as := func(put func(geom.Vec) geom.Vec) (off, reach float64) { return s.offLines(readings, put) }
	off, reach := as(func(p geom.Vec) geom.Vec { return p })
	if inch, span := as(func(p geom.Vec) geom.Vec { return p.Scale(mmPerInch) }); reach <= inchReach*s.LengthMM && span >= leastReach*s.LengthMM &&
		(off > farBetter*inch || s.alongOnly(g) && inch <= off+s.LengthMM*offBoardPart) {
		return &InchError{Gave: fmt.Sprintf("they reach over %.3g mm of a board %.4g mm long, in inches over %.4g mm", reach, s.LengthMM, span)}
	}
	if !slices.Contains(g.dial, true) {
		if swapped, span := as(func(p geom.Vec) geom.Vec { return geom.Vec{X: p.Y, Y: p.X} }); off > farBetter*swapped && span >= leastReach*s.LengthMM {
			return &SwappedError{off, swapped}
		}
	}
	return s.inchDial(g)
}

// alongOnly reports whether the readings tell their unit by the stations alone:
// on the datum line and by dial nothing should lie off.
func (s DatumSpec) alongOnly(g *gathered) bool {
	for k, e := range g.edges {
		if e != OnDatum && !g.dial[k] {
			return false
		}
	}
	return true
}

// offLines returns how far the readings lie from where they should on average,
// once put right by put, and how much of the board they reach over. A station
// beyond the board's ends counts by how far. A dial counts for its station only.
func (s DatumSpec) offLines(readings []Reading, put func(geom.Vec) geom.Vec) (off, reach float64) {
	back, lines := s.ToMachine.Inverse(), s.lines()
	first, last := math.Inf(1), math.Inf(-1)
	for _, r := range readings {
		r.At = put(r.At)
		x, y := lines[r.On].reading(r, back, s.ProbeRadiusMM)
		if r.Dial {
			y = 0
		}
		first, last = math.Min(first, x), math.Max(last, x)
		off += math.Abs(y) + math.Max(0, -x) + math.Max(0, x-s.LengthMM)
	}
	return off / float64(max(1, len(readings))), math.Max(0, last-first)
}

// inchDial tells a dial in inches over stations in millimetres by the taper that
// it shows.
func (s DatumSpec) inchDial(g *gathered) error {
	taper, shown, ok := s.dialTaper(g)
	if !ok || math.Abs(shown*mmPerInch-taper) > inchTaper*math.Abs(taper) {
		return nil
	}
	return &InchError{Gave: fmt.Sprintf("the dial shows an edge that runs out %.3g mm over the board where the job's taper is %.3g mm", shown, taper)}
}

// dialTaper returns the job's taper per edge over the board and what a dial shows
// of it, in millimetres. With a dial on both edges that is free of the board's
// angle. ok is false without a dial or with too little taper to tell by.
func (s DatumSpec) dialTaper(g *gathered) (taper, shown float64, ok bool) {
	taper = (s.WidthEndMM - s.WidthStartMM) / 2
	sides := map[float64]float64{}
	for k := range g.edges {
		if !g.dial[k] {
			continue
		}
		var x, y []float64
		for i, r := range g.run {
			if r == k {
				x, y = append(x, g.x[i]), append(y, g.y[i])
			}
		}
		if l, ok := FitLine(x, y); ok {
			sides[g.side[k]] = l.Slope*g.side[k]*s.LengthMM + taper // the taper was taken out of the slope
		}
	}
	if len(sides) == 0 || math.Abs(taper) < leastTaperMM {
		return taper, 0, false
	}
	return taper, (sides[1] + sides[-1]) / float64(len(sides)), true
}
