package measure

import (
	"fmt"
	"math"
	"strings"
)

// Readings that cannot be of this board, or not with this zero, are refused: a
// verdict on them would send the maker off to tap the wrong thing.

// offBoardPart is how far beyond the board's ends a reading may lie, in parts of
// its length: enough for a point on the plate or for a pin. Common practice, no
// source.
const offBoardPart = 0.1

// mostSkewRad is the largest angle that is taken for a board put back askew: 10
// degrees. Nobody lays a board so by mistake; a wrong axis or zero looks so.
const mostSkewRad = 10 * math.Pi / 180

// OffBoardError reports readings whose stations lie off the board.
type OffBoardError struct {
	Lines     []int     // of the readings file
	StationMM []float64 // the same order
	LengthMM  float64   // of the board
}

func (e *OffBoardError) Error() string {
	var at []string
	for i, l := range e.Lines {
		if i == faultsShown {
			at = append(at, fmt.Sprintf("and %d more", len(e.Lines)-i))
			break
		}
		at = append(at, fmt.Sprintf("line %d at station %.1f mm", l, e.StationMM[i]))
	}
	return fmt.Sprintf("readings lie off the board, which runs from 0 to %.1f mm: %s; is the machine's zero at the datum's start, and the job this board's?",
		e.LengthMM, strings.Join(at, ", "))
}

// SkewError reports readings that turn the board by more than anyone lays it.
type SkewError struct{ AngleRad float64 }

func (e *SkewError) Error() string {
	return fmt.Sprintf("the readings turn the board by %.1f degrees; are X and Y, the long axis (machine.long_axis) or left and right mistaken?",
		e.AngleRad*180/math.Pi)
}

// offBoard finds the readings that lie off the board along the datum line.
func (s DatumSpec) offBoard(g *gathered) []error {
	e := &OffBoardError{LengthMM: s.LengthMM}
	slack := offBoardPart * s.LengthMM
	for i, x := range g.x {
		if x < -slack || x > s.LengthMM+slack {
			e.Lines, e.StationMM = append(e.Lines, g.lines[i]), append(e.StationMM, x)
		}
	}
	if len(e.Lines) == 0 {
		return nil
	}
	return []error{e}
}

// crowded finds the lines of the board whose readings give no direction. Lines
// with one reading only say nothing of it and do no harm, as long as another one
// has more.
func (s DatumSpec) crowded(g *gathered) (faults []error) {
	directed := false
	for k := range g.edges {
		along, across, n := g.span(k)
		switch {
		case n == 1:
		case along < leastSpanMM || across > along: // more than 45 degrees off is no board put back
			faults = append(faults, &TooFewError{n, g.edges[k], along, across})
		default:
			directed = true
		}
	}
	if len(faults) == 0 && !directed {
		along, across := g.spans()
		faults = append(faults, &TooFewError{Points: len(g.x), SpanMM: along, AcrossMM: across})
	}
	return faults
}
