package assembly

import (
	"errors"
	"math"

	"reseat/jig/geom"
)

// Joint is one pin and the hole that goes over it, as drawn, with the spreads of
// both plates put together. A round hole has no travel.
type Joint struct {
	At           geom.Vec // nominal place of pin and hole, mm
	ClearMM      float64  // hole less pin on the diameter, mean; negative: the pin is the larger
	ClearSDMM    float64  // standard deviation of hole less pin: hypot(hole's, pin's)
	PositionSDMM float64  // standard deviation of pin less hole, per axis: hypot of both plates'
	TravelMM     float64  // distance between the slot's end centres; 0: round
	AngleRad     float64  // direction of the slot from +u
}

const (
	leastJoints = 2
	mostJoints  = 12 // the most pins that a plate has (issue 4)

	// largestMM bounds every length that is accepted: a hundred metres. No plate
	// is near it, and squares of it stay far from overflow.
	largestMM = 1e5
	// largestRad bounds a slot's angle: beyond some turns it is a mistake of unit.
	largestRad = 100
	// leastSpanMM is the least distance between the two pins farthest apart:
	// below a micrometre the direction between them is rounding, not geometry.
	leastSpanMM = 1e-3
)

func size(x float64) bool   { return math.Abs(x) <= largestMM }
func amount(x float64) bool { return x >= 0 && x <= largestMM }

// checkJoints returns every fault of the joints' drawn figures.
func checkJoints(joints []Joint) error {
	var faults []error
	if n := len(joints); n < leastJoints || n > mostJoints {
		faults = append(faults, &InputError{"number of joints", -1, float64(n), "2 to 12"})
	}
	finite := true
	for i, j := range joints {
		for _, f := range []struct {
			what, want string
			got        float64
			ok         func(float64) bool
		}{
			{"place along u (mm)", "a finite coordinate below 100 m", j.At.X, size},
			{"place along v (mm)", "a finite coordinate below 100 m", j.At.Y, size},
			{"mean clearance (mm)", "a finite length below 100 m", j.ClearMM, size},
			{"standard deviation of the clearance (mm)", "zero or more, below 100 m", j.ClearSDMM, amount},
			{"standard deviation of the position (mm)", "zero or more, below 100 m", j.PositionSDMM, amount},
			{"travel of the slot (mm)", "zero or more, below 100 m", j.TravelMM, amount},
			{"angle of the slot (rad)", "a few turns at most", j.AngleRad, func(x float64) bool { return math.Abs(x) <= largestRad }},
		} {
			if !f.ok(f.got) {
				faults = append(faults, &InputError{f.what, i, f.got, f.want})
			}
		}
		finite = finite && size(j.At.X) && size(j.At.Y)
	}
	if n := len(joints); n >= leastJoints && n <= mostJoints && finite {
		if a, b := farthest(joints); !(joints[a].At.Dist(joints[b].At) >= leastSpanMM) {
			faults = append(faults, &PatternError{joints[a].At.Dist(joints[b].At), leastSpanMM})
		}
	}
	return errors.Join(faults...)
}

// farthest returns the two joints that stand farthest apart, the first such pair.
func farthest(joints []Joint) (a, b int) {
	far := -1.0
	for i := range joints {
		for k := range i {
			if d := joints[k].At.Dist(joints[i].At); d > far {
				far, a, b = d, k, i
			}
		}
	}
	return a, b
}
