package measuring

import (
	"fmt"

	"reseat/jig/reading"
)

// edgesDrawn refuses touches of the edges of a board whose outline is not straight-sided:
// what they tell depends on where along a curve they lie.
func (m measured) edgesDrawn() error {
	if m.job == nil || m.job.Board.Outline == nil {
		return nil
	}
	var faults []error
	for _, r := range m.readings {
		if reading.IsEdge(r.On) {
			faults = append(faults, fmt.Errorf("line %d: touches of the %s edge tell nothing sure of a board with an outline; "+
				"measure features (reseat locate), a line scribed along the datum line (on: datum), or a pin (zero: rim)",
				r.Line, r.On))
		}
	}
	return reading.Joined(faults)
}
