package setup

import (
	"fmt"
	"math"
)

// Bow is a board's bow along its length, top up: how far its middle stands above the line
// through its ends; below 0: under it, mm. 0: it lies flat.
type Bow struct{ SagittaMM, LengthMM float64 }

// Common practice, no source.
const (
	// PressedMM is the bow up to which a board that is pressed down onto its tape lies flat.
	// More springs back as it is let go or cut, and is shimmed as it is.
	PressedMM = 0.2
	// bowShapeMM is how far the face of a bowed board may lie from the parabola.
	bowShapeMM = 0.05
)

// IsFlatOnTape reports whether the board lies flat on its tape.
func (b Bow) IsFlatOnTape() bool { return math.Abs(b.SagittaMM) <= PressedMM }

// up is the sagitta with a face up.
func (b Bow) up(face Face) float64 {
	if face == Under {
		return -b.SagittaMM
	}
	return b.SagittaMM
}

// FallMM is how far the face that is up lies lower at station u of a board that keeps its
// bow than at its highest place, where Z0 is touched. The bow is a parabola:
//
//	x = 2u/L - 1,  s x^2 with the middle up,  |s| (1 - x^2) with the ends up
func (b Bow) FallMM(face Face, u float64) float64 {
	x := 2*u/b.LengthMM - 1
	s, square := b.up(face), math.Min(1, float64(x*x))
	if s < 0 {
		return -s * (1 - square)
	}
	return s * square
}

// KeptMM is FallMM of the board as it lies: 0 when it is pressed flat.
func (b Bow) KeptMM(face Face, u float64) float64 {
	if b.IsFlatOnTape() {
		return 0
	}
	return b.FallMM(face, u)
}

// Highest is where the face that is up lies highest: there Z0 is touched.
func (b Bow) Highest(face Face) string {
	if b.up(face) < 0 {
		return "start end"
	}
	return "middle"
}

// Describe says which way the board is bowed with a face up.
func (b Bow) Describe(face Face) string {
	which := "its middle up"
	if b.up(face) < 0 {
		which = "its ends up"
	}
	return fmt.Sprintf("bowed by %s, %s", short(math.Abs(b.SagittaMM)), which)
}

// Laid ends the sentence that lays the board down, with a face up.
func (b Bow) Laid(face Face) string {
	switch {
	case b.SagittaMM == 0:
		return ". Press it down."
	case b.IsFlatOnTape():
		return fmt.Sprintf(", pressed flat. It is %s: tape under its whole length.", b.Describe(face))
	}
	return fmt.Sprintf(", on shims where it stands off. It is %s: it must neither rock nor spring.", b.Describe(face))
}

// heights is the check of the face's height at the hole of a run that lies lowest; none
// when the board lies flat.
func (b Bow) heights(r Run) []Check {
	low := Bore{}
	for _, h := range r.Holes {
		if h.FallMM > low.FallMM {
			low = h
		}
	}
	if low.FallMM <= bowShapeMM {
		return nil
	}
	return []Check{{
		What: "face at " + low.Name + " from Z0", With: "paper or dial", Expected: -low.FallMM,
		Low:  -low.FallMM - bowShapeMM,
		High: -low.FallMM + bowShapeMM, Unit: "mm",
	}}
}
