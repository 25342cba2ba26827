package measuring

import (
	"fmt"
	"strings"

	"reseat/jig/measure"
	"reseat/jig/outlined"
	"reseat/jig/reading"
)

// besideMM is how far from the end of a straight stretch a touch must lie: a board lies a
// little aside before it is measured. Common practice, no source.
const besideMM = 2.0

// sides holds the touches of an outline's edges against its straight stretches, each edge
// against one of them. Touched where it is curved, or on two stretches, an edge tells nothing
// sure: that is refused.
func (m *measured) sides() error {
	if m.job == nil || m.job.Board.Outline == nil {
		return nil
	}
	const others = "features (reseat locate), a line scribed along the datum line (on: datum) or a pin (zero: rim) tell where it lies"
	var faults []error
	m.spec.Sides = map[string]measure.Side{}
	on := map[string]outlined.Stretch{}
	back, outline := m.spec.ToMachine.Inverse(), m.job.Board.Outline
	for _, r := range m.readings {
		name := strings.ToLower(r.On)
		if !reading.IsEdge(name) {
			continue
		}
		at := back.Apply(r.At)
		if r.Dial {
			at = r.At
		}
		if name == reading.OnStart {
			if lo, hi, ok := outlined.SquareStart(outline); !ok || at.Y < lo+besideMM || at.Y > hi-besideMM {
				faults = append(faults, fmt.Errorf("line %d: the start end is not straight and square at v %.1f; %s", r.Line, at.Y,
					others))
			}
			continue
		}
		all := outlined.Stretches(outline, name == reading.OnLeft)
		var here *outlined.Stretch
		for i, s := range all {
			if s.Covers(at.X, besideMM) {
				here = &all[i]
			}
		}
		switch before, seen := on[name]; {
		case here == nil && len(all) == 0:
			faults = append(faults, fmt.Errorf("line %d: the %s edge is straight nowhere; %s", r.Line, name, others))
		case here == nil:
			faults = append(faults, fmt.Errorf("line %d: the %s edge is curved or ends at station %.1f; touch it by %g mm inside %s",
				r.Line, name, at.X, besideMM, outlined.ListStretches(all)))
		case seen && before != *here:
			faults = append(faults, fmt.Errorf("line %d: station %.1f lies on another straight stretch of the %s edge than those "+
				"before it; touch one of %s", r.Line, at.X, name, outlined.ListStretches(all)))
		default:
			on[name] = *here
			m.spec.Sides[name] = measure.Side{VMM: here.VMM, Slope: here.Slope}
		}
	}
	return reading.Joined(faults)
}
