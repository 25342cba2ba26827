// Package height tells how high a board's face lies, from touches of it over paper or a feeler
// gauge: where Z zero belongs, whether the board lies flat, askew or bowed, how high each feature
// then lies against Z zero, and which touch does not belong.
package height

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/measure"
	"reseat/jig/reading"
)

// Spec is the board, how it was touched, and what the height is for.
type Spec struct {
	measure.Spec
	// FallMM is how far the face lies lower at a station than at Z0 by what the programs reckon with
	// already: the bow that the job states. nil: nowhere.
	FallMM func(stationMM float64) float64
	// BedMM is how far what the board lies on is below its face; 0: not known.
	BedMM  float64
	Places []Place // that must be cut to depth; none: the board's ends
}

// Place is where the height matters.
type Place struct {
	Name string  `json:"name"`
	UMM  float64 `json:"u_mm"`
}

// Shape is how the face lies along the board, beside what the programs reckon with.
type Shape string

// Shapes, with their unknowns in x = 2 station/length - 1.
const (
	Flat    Shape = "flat"    // h = a
	Slope   Shape = "slope"   // h = a + b x: one end stands higher
	Bow     Shape = "bow"     // h = a + b x - s x^2: the middle stands higher by s
	Unknown Shape = "unknown" // too few touches to tell a wild one from a bow
)

func (p Shape) row(x float64) []float64 {
	return []float64{1, x, -x * x}[:map[Shape]int{Flat: 1, Slope: 2, Bow: 3}[p]]
}

// Top is the height of the face on the datum line, which is the crown's highest line and where
// Z zero belongs. Its figures are those of the touches that belong.
type Top struct {
	// ZMM is the machine's Z of the tip when it stands on the datum line of a flat board; of one that
	// slopes or is bowed, midway between the highest and the lowest feature.
	ZMM                  float64 `json:"z_mm"`
	RMSMM                float64 `json:"rms_mm"`
	*measure.Uncertainty         // nil with one touch and no stated error
	// The interval is ZMM +- Half: the root of squares of the heights' own, the feeler's
	// and, by the crown's slope, the place's share, the last two common to all touches. nil: the
	// touches contradict each other, or nothing is left to judge by.
	Half        *float64 `json:"z_half_mm,omitempty"`
	ReadingHalf *float64 `json:"reading_half_mm,omitempty"`
	FeelerHalf  float64  `json:"feeler_half_mm"`
	AcrossHalf  float64  `json:"across_half_mm"`
	Touches     []Touch  `json:"touches"` // in the order given

	Shape Shape `json:"shape"`
	// SlopeMM is by how much the far end stands higher than the start end, BowMM by how much the middle
	// stands higher than the line through the ends; nil with too few touches.
	SlopeMM   *float64  `json:"slope_mm,omitempty"`
	SlopeHalf *float64  `json:"slope_half_mm,omitempty"`
	BowMM     *float64  `json:"bow_mm,omitempty"`
	BowHalf   *float64  `json:"bow_half_mm,omitempty"`
	Features  []Feature `json:"features,omitempty"` // of a board that slopes or is bowed
	// WorstMM is how far the feature that lies off Z zero by most does, WorstHalf its interval's half.
	WorstMM   float64  `json:"worst_mm"`
	WorstHalf *float64 `json:"worst_half_mm,omitempty"`
	// UnguardedMM bounds how far a feature can lie off Z zero, at the confidence, if one touch is wrong
	// or the board has a shape that the touches do not refute; infinite when they do not tell.
	UnguardedMM float64 `json:"-"`
	// UnguardedLine is the touch that this rests on; 0: the board's shape.
	UnguardedLine int `json:"-"`
	// AddMM are the stations where further touches would tell most.
	AddMM []float64 `json:"add_at_u_mm,omitempty"`
	// Contradicted: the touches scatter by more than the stated error lets happen.
	Contradicted bool `json:"-"`
}

// Feature is what the height means at a place.
type Feature struct {
	Place
	ZMM float64 `json:"z_mm"` // of the tip on the datum line there: Z zero for that feature alone
	// DeeperMM is how far the face lies higher there than Z zero, so that a cut goes deeper below it and
	// an inlay lies deeper; below 0: shallower, and an inlay stands proud.
	DeeperMM float64  `json:"deeper_mm"`
	Half     *float64 `json:"half_mm,omitempty"`
}

// Fault is why a touch cannot be taken as it stands.
type Fault string

// Faults.
const (
	Thick Fault = "thick" // a feeler that no gauge has, and whose error was not stated
	Slip  Fault = "slip"  // a feeler ten times the others, or a tenth
	Below Fault = "below" // lower than what the board lies on
	Far   Fault = "far"   // farther from the others than any board is uneven
	Wild  Fault = "wild"  // off the others, which agree
	Odd   Fault = "odd"   // one of several of which one is off
)

// Touch is what one touch comes to.
type Touch struct {
	Line     int     `json:"line"`
	UMM      float64 `json:"u_mm"`    // its station
	VMM      float64 `json:"v_mm"`    // of the tip's middle, left of the datum line
	RiseMM   float64 `json:"rise_mm"` // how much higher the tip would stand on the datum line, where Z0 is touched
	ZMM      float64 `json:"z_mm"`    // height of the datum line by this touch
	OffMM    float64 `json:"off_mm"`  // from the shape of the touches that belong
	Fault    Fault   `json:"fault,omitempty"`
	MeantMM  float64 `json:"meant_mm,omitempty"` // the feeler or Z that was meant, most likely; 0: no guess
	WrittenZ float64 `json:"-"`
	FeelerMM float64 `json:"-"`
	x        float64
}

// Common practice, no source.
const (
	// thickMM is thicker than paper and the leaves of a feeler gauge; a touch plate is, and then its
	// thickness is known so well that its error can be stated.
	thickMM = 2.0
	// unevenMM is more than any board that is worth boring is uneven by.
	unevenMM = 2.0
	// slipFactor is by how much a slip of the decimal point changes a feeler.
	slipFactor = 10.0
	// farBetter is the factor by which the variance that one explanation leaves must be smaller than
	// that of any other to be believed: 2 in the scatter.
	farBetter = 4.0
	// shapeTouches tell a slope and a bow.
	shapeTouches = 3
)

// Zero takes Z zero from touches of the face.
//
//	datum line = z - feeler + rise
//	point:     rise = R - sqrt(R^2 - v^2)
//	flat tip:  the same at max(0, |v| - diameter/2): a flat meets the crown at its edge nearest the datum line
//	ball tip:  rise = (R + r) - sqrt((R + r)^2 - v^2)
//
// (the circle's equation; a ball on a cylinder; derived), and beside it what a bow that the job
// states lowers the face. Touches that no board could give are set aside; of the others, what leaves
// less of the scatter is believed: a slope, a bow, or one wild touch.
// Touches of other kinds are left alone. The error tells touches beside the board.
func Zero(touches []reading.Reading, s Spec) (Top, error) {
	if len(s.Places) == 0 {
		s.Places = []Place{{Name: "start end"}, {"far end", s.LengthMM}}
	}
	back, reach := s.ToMachine.Inverse(), s.reach()
	var out Top
	var lines []int
	var beside []float64
	slope := 0.0
	for _, t := range touches {
		if t.On != reading.OnTop {
			continue
		}
		at := back.Apply(t.At)
		p := Touch{Line: t.Line, UMM: at.X, VMM: at.Y, x: s.x(at.X), WrittenZ: t.ZMM, FeelerMM: t.FeelerMM}
		contact := math.Max(0, math.Abs(p.VMM)-s.FlatMM/2)
		if contact >= reach {
			lines, beside = append(lines, t.Line), append(beside, p.VMM)
			continue
		}
		var d float64
		p.RiseMM, d = s.rise(contact)
		if s.FallMM != nil {
			p.RiseMM += s.FallMM(p.UMM)
		}
		p.ZMM = t.ZMM - t.FeelerMM + p.RiseMM
		slope += math.Copysign(d, p.VMM)
		out.Touches = append(out.Touches, p)
	}
	switch {
	case len(beside) > 0:
		return out, fmt.Errorf("touches of the top on lines %v lie %.4g mm from the datum line, beyond %.4g mm; is the "+
			"machine's zero on the datum line?", lines, beside, reach)
	case len(out.Touches) == 0:
		return out, errors.New("there is no touch of the top")
	}
	out.FeelerHalf = s.Carried(s.FeelerErrorMM)
	out.AcrossHalf = s.Carried(math.Abs(slope/float64(len(out.Touches))) * s.AcrossErrorMM)
	s.impossible(out.Touches)
	s.explain(&out)
	return out, nil
}

// x is a station in half lengths from the board's middle.
func (s *Spec) x(stationMM float64) float64 { return 2*stationMM/math.Max(s.LengthMM, 1) - 1 }

// reach is how far from the datum line a top can be touched.
func (s *Spec) reach() float64 {
	reach := math.Max(s.WidthStartMM, s.WidthEndMM) / 2
	if s.CrownRadiusMM > 0 {
		reach = math.Min(reach, s.CrownRadiusMM)
	}
	return reach
}

// rise returns how far the tip stands lower at v than on the datum line, and its
// slope.
func (s *Spec) rise(v float64) (mm, slope float64) {
	if s.CrownRadiusMM == 0 {
		return 0, 0
	}
	r := s.CrownRadiusMM + s.BallMM/2
	h := math.Sqrt((r - v) * (r + v))
	return v * v / (r + h), v / h
}

// belonging are the touches without a fault, but for skip.
func belonging(all []Touch, skip int) (out []Touch) {
	for i, t := range all {
		if (t.Fault == "" || t.Fault == Odd) && i != skip {
			out = append(out, t)
		}
	}
	return out
}
