package measure

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// TopZero is the height of the top on the datum line, which is the crown's highest
// line and where Z zero belongs.
type TopZero struct {
	ZMM     float64    `json:"z_mm"` // machine's Z of the tip when it stands on the datum line
	RMSmm   float64    `json:"rms_mm"`
	Touches []TopTouch `json:"touches"` // in the order given
	*Basis             // nil with one touch and no stated error
	// The interval is ZMM +- Half: the root of squares of the heights' own, the feeler's
	// and, by the crown's slope, the place's share, the last two common to all touches.
	Half        *float64 `json:"z_half_mm,omitempty"`
	ReadingHalf *float64 `json:"reading_half_mm,omitempty"`
	FeelerHalf  float64  `json:"feeler_half_mm"`
	AcrossHalf  float64  `json:"across_half_mm"`
	// Contradicted: the touches scatter by more than the stated error lets happen.
	Contradicted bool `json:"-"`
}

// TopTouch is what one touch comes to.
type TopTouch struct {
	Line   int     `json:"line"`
	VMM    float64 `json:"v_mm"`    // of the tip's middle, left of the datum line
	RiseMM float64 `json:"rise_mm"` // how much higher the tip would stand on the datum line
	ZMM    float64 `json:"z_mm"`    // height of the datum line by this touch
	// ThickMM is a feeler that no feeler gauge has, and whose error was not stated; else 0.
	ThickMM float64 `json:"-"`
	// Odd: the touch lies off the others, by their scatter or by more than the accuracy, as
	// on a bowed board.
	Odd bool `json:"outlier,omitempty"`
}

// thickFeelerMM is thicker than paper and the leaves of a feeler gauge; a touch plate is,
// and then its thickness is known so well that its error can be stated. Common practice,
// no source.
const thickFeelerMM = 2.0

// ZeroTop takes Z zero from touches of the top over paper or a feeler gauge.
//
//	datum line = z - feeler + rise
//	point:     rise = R - sqrt(R^2 - v^2)
//	flat tip:  the same at max(0, |v| - diameter/2): a flat meets the crown at its edge nearest the datum line
//	ball tip:  rise = (R + r) - sqrt((R + r)^2 - v^2)
//
// (the circle's equation; a ball on a cylinder; derived). ZMM is the mean of the touches.
// Touches of other kinds are left alone. The error tells touches beside the board.
func ZeroTop(touches []Reading, s Spec) (TopZero, error) {
	back, reach := s.ToMachine.Inverse(), s.topReach()
	var out TopZero
	var lines []int
	var beside, heights []float64
	slope := 0.0
	for _, t := range touches {
		if t.On != OnTop {
			continue
		}
		p := TopTouch{Line: t.Line, VMM: back.Apply(t.At).Y}
		contact := math.Max(0, math.Abs(p.VMM)-s.FlatMM/2)
		if contact >= reach {
			lines, beside = append(lines, t.Line), append(beside, p.VMM)
			continue
		}
		var d float64
		p.RiseMM, d = s.rise(contact)
		p.ZMM = t.ZMM - t.FeelerMM + p.RiseMM
		if t.FeelerMM > thickFeelerMM && s.FeelerErrorMM == 0 {
			p.ThickMM = t.FeelerMM
		}
		slope += math.Copysign(d, p.VMM)
		out.Touches, heights = append(out.Touches, p), append(heights, p.ZMM)
	}
	switch {
	case len(beside) > 0:
		return out, fmt.Errorf("touches of the top on lines %v lie %.4g mm from the datum line, beyond %.4g mm; is the "+
			"machine's zero on the datum line?", lines, beside, reach)
	case len(heights) == 0:
		return out, errors.New("there is no touch of the top")
	}
	s.topResult(&out, heights, slope/float64(len(heights)))
	return out, nil
}

// topReach is how far from the datum line a top can be touched.
func (s *Spec) topReach() float64 {
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

// topResult takes the mean and its uncertainty. The stated shares stand for 95 % and
// are carried to the confidence asked for as normal.
func (s *Spec) topResult(z *TopZero, heights []float64, slope float64) {
	n := len(heights)
	ones := make([]float64, n)
	floats.AddConst(1, ones)
	f, _ := leastSquares(mat.NewDense(n, 1, ones), heights)
	z.ZMM, z.RMSmm = f.x[0], f.rms(n)
	z.Basis, z.Contradicted = s.basis(f.sse, f.df), s.contradicted(f.sse, f.df)
	_, out := s.studentised(&f, nil)
	for i, e := range f.residual {
		z.Touches[i].Odd = out != nil && i == out.index || out == nil && s.AccuracyMM > 0 && math.Abs(e) > s.AccuracyMM
	}
	to := normalFactor(s.confidence()) / normalFactor(usualConfidence)
	z.FeelerHalf, z.AcrossHalf = to*s.FeelerErrorMM, to*math.Abs(slope)*s.AcrossErrorMM
	if z.ReadingHalf = z.half(1 / math.Sqrt(float64(n))); z.ReadingHalf != nil {
		half := math.Hypot(math.Hypot(*z.ReadingHalf, z.FeelerHalf), z.AcrossHalf)
		z.Half = &half
	}
}
