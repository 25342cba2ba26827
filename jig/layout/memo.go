package layout

import "fmt"

// Searched keeps the patterns of searches, so that a job tried again with a change that does
// not concern its pins is not searched again. nil keeps none. Not for several goroutines.
type Searched map[string]Pattern

// Place is that of the spec, found once.
func (k Searched) Place(s Spec) Pattern { return k.once("", s, Spec.Place) }

// PlaceOnGrid is that of the spec, found once.
func (k Searched) PlaceOnGrid(s Spec) Pattern { return k.once("on grid", s, Spec.PlaceOnGrid) }

func (k Searched) once(how string, s Spec, search func(Spec) Pattern) Pattern {
	name, ok := s.name()
	if k == nil || !ok {
		return search(s)
	}
	if p, ok := k[how+name]; ok {
		return p
	}
	p := search(s)
	k[how+name] = p
	return p
}

// name is the same for two specs only when all is the same that they are searched with; false
// when a constraint does not say what its room is measured from.
func (s Spec) name() (string, bool) {
	g := s.Region
	s.Region = nil
	out := fmt.Sprint(s, g.Box, g.StepMM, g.HoleRadiusMM, g.WebMM)
	for _, c := range g.Constraints {
		if c.From == nil {
			return "", false
		}
		out += fmt.Sprint(c.ID, c.What, c.NeedMM, c.RelaxMM, c.Edge, c.From)
	}
	return out, true
}
