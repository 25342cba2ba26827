package solid

import (
	"errors"
	"fmt"
	"sync"

	"reseat/export/solid/plan"
	"reseat/jig"
)

// freeOverMM is the most by which a hole's free diameter exceeds the drawn one.
const freeOverMM = 0.010

// Solid is a printed template as a body: its mesh and what was measured on it.
type Solid struct {
	Mesh *Mesh
	Report
}

// Build makes the solid of p. It returns an error for a faulty description, with
// everything that is wrong with it, and where the finished mesh does not hold what
// the package promises, with the place. A mark is a help and no measure: where
// marks are in the way of a clean body it is built without.
func Build(p *jig.Print) (*Solid, error) {
	if err := validate(p); err != nil {
		return nil, err
	}
	s, err := build(p)
	if err != nil && len(p.Marks) > 0 {
		plain := *p
		plain.Marks = nil
		if s, again := build(&plain); again == nil {
			return s, nil
		}
	}
	return s, err
}

// build makes the solid of a valid print.
func build(p *jig.Print) (*Solid, error) {
	d, err := draw(p)
	if err != nil {
		return nil, err
	}
	pl, err := plan.New(d.contours, len(d.parts), d.grid.weldUnits())
	if err != nil {
		return nil, err
	}
	if err := d.overlaps(pl); err != nil {
		return nil, err
	}
	d.slope(pl)
	m, err := d.extrude(pl)
	if err != nil {
		return nil, err
	}
	var strays error
	var wg sync.WaitGroup
	wg.Go(func() { strays = m.verify(field(p)) })
	s := &Solid{m, m.measure(p.Holes)}
	faults := []error{m.check()}
	for _, h := range s.Holes {
		if most := h.DrawnMM + freeOverMM; !(h.FreeMM >= h.DrawnMM && h.FreeMM <= most) {
			says := fmt.Errorf("hole %s is free for %.4f mm, wanted %.4f to %.4f", h.ID, h.FreeMM, h.DrawnMM, most)
			faults = append(faults, says)
		}
	}
	wg.Wait()
	return s, errors.Join(append(faults, strays)...)
}
