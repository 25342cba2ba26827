package assembly

import (
	"errors"

	"reseat/jig/geom"
)

// Made is one joint as it came out, or as it was measured.
type Made struct {
	Off     geom.Vec // pin's place less hole's place, each from where it was drawn, mm
	ClearMM float64  // hole less pin on the diameter
}

// Laid is the best way to lay one plate on one set of pins.
type Laid struct {
	// ExtraMM is 2 s*: by how much the diametral clearance of every hole must
	// grow for all pins to enter; zero or negative when they do. The pose given
	// proves it, and no pose needs less by more than 2 [SolveTolerance].
	ExtraMM float64
	// DU, DV (mm) and Theta (rad) are the pose of the plate with the holes. It is
	// one of several when a tight joint alone decides.
	DU, DV, Theta float64
	// Binding lists the joints that hold ExtraMM up: less clearance there would
	// raise it. They are in the order given.
	Binding []int
}

// Enters reports whether every pin enters.
func (l Laid) Enters() bool { return l.ExtraMM <= 0 }

// Lay returns the best placement of a plate whose joints came out as made. Only
// the place, travel and angle of each joint are used; made has one entry per
// joint. Errors, all of them joined: *InputError, *PatternError.
func Lay(joints []Joint, made []Made) (Laid, error) {
	faults := []error{checkJoints(joints)}
	if len(made) != len(joints) {
		faults = append(faults, &InputError{"number of joints as made", -1, float64(len(made)), "one for each joint"})
	}
	for i, m := range made {
		for _, f := range []struct {
			what string
			got  float64
		}{{"offset along u (mm)", m.Off.X}, {"offset along v (mm)", m.Off.Y}, {"clearance as made (mm)", m.ClearMM}} {
			if !size(f.got) {
				faults = append(faults, &InputError{f.what, i, f.got, "a finite length below 100 m"})
			}
		}
	}
	if err := errors.Join(faults...); err != nil {
		return Laid{}, err
	}
	p := newPlate(joints)
	var e [mostJoints]geom.Vec
	var r [mostJoints]float64
	for i, m := range made {
		e[i], r[i] = m.Off, m.ClearMM/2
	}
	return p.laid(p.solve(&e, &r)), nil
}

// laid turns a solution into the plate's pose about the frame's origin.
func (p *plate) laid(s solution) Laid {
	theta := -s.x.turn / p.span
	l := Laid{
		ExtraMM: 2 * s.high,
		// The middle of the pattern moves by -x; the origin of the frame lies
		// -origin from it.
		DU: -s.x.u + theta*p.origin.Y, DV: -s.x.v - theta*p.origin.X, Theta: theta,
	}
	for i := range p.seats {
		if s.binding>>i&1 == 1 {
			l.Binding = append(l.Binding, i)
		}
	}
	return l
}
