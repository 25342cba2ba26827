package measure

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
)

// Readings that cannot be of this board, or not with this zero, are refused: a
// verdict on them would send the maker off to tap the wrong thing. Readings in inches, or
// with X and Y exchanged, fit the board badly as they stand and well once put right.

const (
	// offBoardPart is how far beyond the board's ends a reading may lie, in parts of
	// its length: enough for a point on the plate or for a pin. Common practice, no
	// source.
	offBoardPart = 0.1
	// mostSkewRad is the largest angle that is taken for a board put back askew: 10
	// degrees. Nobody lays a board so by mistake; a wrong axis or zero looks so.
	mostSkewRad = 10 * math.Pi / 180
	// farBetter is the factor by which readings must fit better once put right
	// before they are refused. Inches and exchanged axes make it ten and more;
	// a board that is put back askew is off by a small part of its width.
	farBetter = 5.0
	// inchReach is the longest part of a board that inch readings can seem to
	// reach, with 20 % for points beyond its ends.
	inchReach = 1.2 / units.MMPerInch
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

func inInches(gave string) error {
	return errors.New("these are readings in inches, 25.4 times too small: " + gave + "; name the columns by their " +
		"unit (x_in,y_in) or write millimetres")
}

// axesExchanged takes the mean distances from where the points should lie, as they stand and
// exchanged.
func axesExchanged(offMM, swappedMM float64) error {
	return fmt.Errorf("the readings' X and Y are exchanged, most likely: as they stand they lie %.3g mm from where they "+
		"should on average, exchanged %.3g mm; exchange the columns, or is it the job's long axis (machine.long_axis)?",
		offMM, swappedMM)
}

func skewed(rad float64) error {
	return fmt.Errorf("the readings turn the board by %.1f degrees; are X and Y, the long axis (machine.long_axis) or "+
		"left and right mistaken?", rad*180/math.Pi)
}

// ExchangedError is of readings whose left edge lies on the other side of the right one: the
// names are exchanged, or the board lies with its other face up.
type ExchangedError struct{ WidthMM float64 }

func (e *ExchangedError) Error() string {
	return fmt.Sprintf("the left edge lies %.3g mm to the right of the right one; exchange left and right, which are seen "+
		"from the start end, on the board's top", e.WidthMM)
}

// edgesExchanged takes the measured width, which is negative.
func edgesExchanged(widthMM float64) error { return &ExchangedError{-widthMM} }

// endForEnd refuses a tapered board whose widths fit far better the other way round. Its datum line may
// lie in its place all the same, and its features at the other end.
func (s Spec) endForEnd(e *Edges) error {
	if s.Sides != nil || e == nil || e.WidthStartMM == nil || e.WidthFarMM == nil ||
		math.Abs(s.WidthEndMM-s.WidthStartMM) < 2*leastTaperMM {
		return nil
	}
	start, far := s.WidthStartMM+*e.WidthStartMM, s.WidthEndMM+*e.WidthFarMM
	stands := math.Hypot(*e.WidthStartMM, *e.WidthFarMM)
	if turned := math.Hypot(start-s.WidthEndMM, far-s.WidthStartMM); stands < farBetter*turned {
		return nil
	}
	return fmt.Errorf("the board lies end for end, most likely: it is %.4g mm wide at the start end and %.4g at the far "+
		"one, where the job has %.4g and %.4g; turn it, or are the widths of the job exchanged (board.width)?", start, far,
		s.WidthStartMM, s.WidthEndMM)
}

// tooFew takes the spans of n readings along and across the line that they were taken on;
// on is "" for any.
func tooFew(n int, on string, along, across float64) error {
	remedy := fmt.Sprintf("measure at least two points %g mm apart, best at both ends of the board", leastSpanMM)
	if across > leastSpanMM {
		remedy = fmt.Sprintf("they lie %.3g mm apart across it: are x and y exchanged, or is it the job's long axis?",
			across)
	}
	if on == "" {
		on = "one line"
	} else {
		on = "the line " + on
	}
	return fmt.Errorf("%d readings over %.3g mm along %s give no direction; %s", n, along, on, remedy)
}

// offBoard refuses stations that lie off a board of the given length.
func offBoard(lines []int, stations []float64, length float64) []error {
	var at []string
	for i, u := range stations {
		if beyond := offBoardPart * length; u < -beyond || u > length+beyond {
			at = append(at, fmt.Sprintf("line %d at station %.1f mm", lines[i], u))
		}
	}
	if n := len(at); n > reading.FaultsShown {
		at = append(at[:reading.FaultsShown], fmt.Sprintf("and %d more", n-reading.FaultsShown))
	}
	if len(at) == 0 {
		return nil
	}
	return []error{fmt.Errorf("readings lie off the board, which runs from 0 to %.1f mm: %s; is the machine's zero at "+
		"the datum's start, and the job this board's?",
		length, strings.Join(at, ", "))}
}

func (g *gathered) offBoard() []error { return offBoard(g.lines, g.x, g.spec.LengthMM) }

// directionless finds the lines of the board whose readings give no direction. Lines
// with one reading only say nothing of it and do no harm, as long as another one
// has more.
func (g *gathered) directionless() (faults []error) {
	directed := false
	for k, r := range g.runs {
		along, across, n := g.span(k)
		switch {
		case n == 1:
		case along < leastSpanMM || across > along: // more than 45 degrees off is no board put back
			faults = append(faults, tooFew(n, r.on, along, across))
		default:
			directed = true
		}
	}
	if len(faults) == 0 && !directed {
		along, across := g.spans()
		faults = append(faults, tooFew(len(g.x), "", along, across))
	}
	return faults
}

// misread tells readings in inches and exchanged axes by how the readings fit the board.
func (g *gathered) misread(readings []reading.Reading) error {
	length := g.spec.LengthMM
	dial := slices.ContainsFunc(g.runs, func(r run) bool { return r.dial })
	// On the datum line and by dial nothing should lie off: the stations alone tell the unit.
	alongOnly := !slices.ContainsFunc(g.runs, func(r run) bool { return r.on != reading.OnDatum && !r.dial })
	off, reach := g.offLines(readings, func(p geom.Vec) geom.Vec { return p })
	inch, span := g.offLines(readings, func(p geom.Vec) geom.Vec { return p.Scale(units.MMPerInch) })
	if reach <= inchReach*length && span >= leastReach*length && (off > farBetter*inch || alongOnly &&
		inch <= off+length*offBoardPart) {
		return inInches(fmt.Sprintf("they reach over %.3g mm of a board %.4g mm long, in inches over %.4g mm", reach, length,
			span))
	}
	if swap, span := g.offLines(readings, exchanged); !dial && off > farBetter*swap && span >= leastReach*length {
		return axesExchanged(off, swap)
	}
	// A dial in inches over stations in millimetres is told by the taper that it shows.
	if taper, shown, ok := g.dialTaper(); ok && math.Abs(shown*units.MMPerInch-taper) <= inchTaper*math.Abs(taper) {
		return inInches(fmt.Sprintf("the dial shows an edge that runs out %.3g mm over the board where the job's taper is "+
			"%.3g mm", shown, taper))
	}
	return nil
}

// offLines returns how far the readings lie from where they should on average,
// once put right by put, and how much of the board they reach over. A station
// beyond the board's ends counts by how far. A dial counts for its station only.
func (g *gathered) offLines(readings []reading.Reading, put func(geom.Vec) geom.Vec) (off, reach float64) {
	back, length := g.spec.ToMachine.Inverse(), g.spec.LengthMM
	first, last := math.Inf(1), math.Inf(-1)
	for i, r := range readings {
		r.At = put(r.At)
		x, y := g.runs[g.run[i]].reading(r, back, g.spec.ProbeRadiusMM)
		if r.Dial {
			y = 0
		}
		first, last = math.Min(first, x), math.Max(last, x)
		off += math.Abs(y) + math.Max(0, -x) + math.Max(0, x-length)
	}
	return off / float64(max(1, len(readings))), math.Max(0, last-first)
}

// dialTaper returns the job's taper per edge over the board and what a dial shows
// of it, in millimetres. With a dial on both edges that is free of the board's
// angle. ok is false without a dial or with too little taper to tell by.
func (g *gathered) dialTaper() (taper, shown float64, ok bool) {
	s := g.spec
	if s.Sides != nil {
		return 0, 0, false // ends of an outline are not exchanged by two figures
	}
	taper = (s.WidthEndMM - s.WidthStartMM) / 2
	n := 0.0
	for k, r := range g.runs {
		var x, y []float64
		for i, of := range g.run {
			if of == k {
				x, y = append(x, g.x[i]), append(y, g.y[i])
			}
		}
		if along, _, _ := g.span(k); !r.dial || along == 0 {
			continue
		}
		_, slope := stat.LinearRegression(x, y, nil, false)
		shown += slope*r.out*s.LengthMM + taper // the taper was taken out of the slope
		n++
	}
	return taper, shown / math.Max(n, 1), n > 0 && math.Abs(taper) >= leastTaperMM
}
