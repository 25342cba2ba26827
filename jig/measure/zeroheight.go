package measure

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// TopSpec is the crowned top that Z is taken from.
type TopSpec struct {
	CrownRadiusMM float64    // 0: flat
	WidthMM       float64    // largest width of the board; 0: not known, and then touches beside it are not told
	ToMachine     geom.Rigid // board frame -> machine frame
	FlatMM        float64    // diameter of the flat tip that touched: a cutter; 0: a point
	BallMM        float64    // radius of a ball tip; 0: none
	FeelerErrorMM float64    // of the feeler's or paper's thickness, plus or minus, 95 %
	AccuracyMM    float64    // how far a touch may lie off the others; 0: any distance
	AcrossErrorMM float64    // how well the touch's distance from the datum line is known, 95 %
	Precision                // of one height
}

// TopZero is the height of the top on the datum line, which is the crown's highest
// line and where Z zero belongs.
type TopZero struct {
	ZMM     float64    // machine's Z of the tip when it stands on the datum line
	Touches []TopTouch // in the order given
	RMSmm   float64    // of the touches about ZMM
	// Uncertainty is nil with one touch and no stated error.
	Uncertainty *HeightUncertainty
	Odd         []OddTouch // touches that do not belong, by line
	Notes       []Note
}

// OddTouch is a touch of the top that cannot be taken as it stands.
type OddTouch struct {
	Line int
	Why  string
}

// TopTouch is what one touch comes to.
type TopTouch struct {
	Line      int
	VMM       float64 // of the tip's middle, left of the datum line
	ContactMM float64 // distance from the datum line of where the tip meets the crown
	RiseMM    float64 // how much higher the tip would stand on the datum line
	ZMM       float64 // height of the datum line by this touch
}

// HeightUncertainty of ZMM; the interval is ZMM +- HalfMM.
type HeightUncertainty struct {
	DF          int
	Stated      bool
	Confidence  float64
	ReadingSDmm float64
	ReadingMM   float64 // what scatter or stated error of the heights adds, half width
	FeelerMM    float64 // what the feeler adds
	AcrossMM    float64 // what the crown's slope makes of AcrossErrorMM
	HalfMM      float64
}

// BesideError reports touches of the top that lie beside the board.
type BesideError struct {
	Lines  []int
	VMM    []float64 // the same order
	HalfMM float64   // half the board's width, or the crown's radius
}

func (e *BesideError) Error() string {
	return fmt.Sprintf("touches of the top on lines %v lie %.4g mm from the datum line, beyond %.4g mm; is the machine's zero on the datum line?", e.Lines, e.VMM, e.HalfMM)
}

// NoTouchError reports that what zero is to be taken from was not touched.
type NoTouchError struct{ Of string }

func (e *NoTouchError) Error() string {
	return "there is no touch of " + e.Of
}

// ZeroZ takes Z zero from touches of the top over paper or a feeler gauge.
//
//	datum line = z - feeler + rise
//	point:     rise = R - sqrt(R^2 - v^2)
//	flat tip:  the same at max(0, |v| - diameter/2): a flat meets the crown at its edge nearest the datum line
//	ball tip:  rise = (R + r) - sqrt((R + r)^2 - v^2)
//
// Reference: the circle's equation; a ball on a cylinder. ZMM is the mean of the
// touches. Its half width is the root of the squares of the heights' own, the
// feeler's and the place's share, the last two common to all touches:
//
//	AcrossMM = |mean d rise/dv| AcrossErrorMM,  d rise/dv = v/sqrt(R^2 - v^2)
//
// Touches of other kinds are left alone. Errors, all at once: *InputError,
// *NoTouchError, *BesideError.
func ZeroZ(touches []ZeroTouch, s TopSpec) (TopZero, error) {
	faults := s.check()
	back := s.ToMachine.Inverse()
	var out TopZero
	reach := s.reach()
	beside := &BesideError{HalfMM: reach}
	slope := 0.0
	for _, t := range touches {
		if t.Kind != TouchTop {
			continue
		}
		if !finite(t.At.X, t.At.Y, t.ZMM, t.FeelerMM) || t.FeelerMM < 0 {
			faults = append(faults, &InputError{fmt.Sprintf("touch on line %d, height (mm)", t.Line), t.ZMM, "finite lengths below 100 m, and a feeler of zero or more"})
			continue
		}
		v := back.Apply(t.At).Y
		p := TopTouch{Line: t.Line, VMM: v, ContactMM: math.Max(0, math.Abs(v)-s.FlatMM/2)}
		if p.ContactMM >= reach {
			beside.Lines, beside.VMM = append(beside.Lines, t.Line), append(beside.VMM, v)
			continue
		}
		var d float64
		p.RiseMM, d = s.rise(p.ContactMM)
		p.ZMM = t.ZMM - t.FeelerMM + p.RiseMM
		slope += math.Copysign(d, v)
		out.Touches = append(out.Touches, p)
	}
	if len(beside.Lines) > 0 {
		faults = append(faults, beside)
	}
	if len(faults) == 0 && len(out.Touches) == 0 {
		faults = append(faults, &NoTouchError{"the top"})
	}
	if err := together(faults); err != nil {
		return TopZero{}, err
	}
	s.finish(&out, slope/float64(len(out.Touches)))
	out.Odd = s.odd(touches, &out)
	return out, nil
}

// thickFeelerMM is thicker than paper and the leaves of a feeler gauge; a touch plate is,
// and then its thickness is known so well that its error can be stated. Common practice,
// no source.
const thickFeelerMM = 2.0

// odd names the touches that lie off the others: by their scatter, or by more than the
// accuracy, as on a bowed board; and those over a feeler that no feeler gauge has.
func (s TopSpec) odd(touches []ZeroTouch, z *TopZero) (out []OddTouch) {
	for _, t := range touches {
		if t.Kind == TouchTop && t.FeelerMM > thickFeelerMM && s.FeelerErrorMM == 0 {
			out = append(out, OddTouch{t.Line, fmt.Sprintf("a feeler of %g mm; for a touch plate state how well its thickness is known (--feeler-error-mm)", t.FeelerMM)})
		}
	}
	n := float64(len(z.Touches))
	f := sharedFit{df: len(z.Touches) - 1}
	for _, t := range z.Touches {
		e := t.ZMM - z.ZMM
		f.residual, f.leverage, f.sse = append(f.residual, e), append(f.leverage, 1/n), f.sse+e*e
	}
	o, scatter := s.worst(&f)
	for i, t := range z.Touches {
		if off := t.ZMM - z.ZMM; scatter && i == o.sample || s.AccuracyMM > 0 && math.Abs(off) > s.AccuracyMM && !scatter {
			out = append(out, OddTouch{t.Line, fmt.Sprintf("it lies %+.3f mm off the mean; a slip, a chip under the board, or a bow", off)})
		}
	}
	return out
}

// reach is how far from the datum line a top can be touched.
func (s TopSpec) reach() float64 {
	reach := largestMM
	if s.CrownRadiusMM > 0 {
		reach = s.CrownRadiusMM
	}
	if s.WidthMM > 0 {
		reach = math.Min(reach, s.WidthMM/2)
	}
	return reach
}

// rise returns how far the tip stands lower at v than on the datum line, and its
// slope.
func (s TopSpec) rise(v float64) (mm, slope float64) {
	if s.CrownRadiusMM == 0 {
		return 0, 0
	}
	r := s.CrownRadiusMM + s.BallMM
	h := math.Sqrt((r - v) * (r + v))
	return v * v / (r + h), v / h
}

func (s TopSpec) check() []error {
	faults := s.Precision.check()
	for _, c := range []struct {
		what string
		got  float64
	}{
		{"crown radius (mm)", s.CrownRadiusMM},
		{"width of the board (mm)", s.WidthMM},
		{"diameter of the flat tip (mm)", s.FlatMM},
		{"radius of the ball tip (mm)", s.BallMM},
		{"error of the feeler (mm)", s.FeelerErrorMM},
		{"error of the place (mm)", s.AcrossErrorMM},
	} {
		if !finite(c.got) || c.got < 0 {
			faults = append(faults, &InputError{c.what, c.got, "zero or more"})
		}
	}
	if s.FlatMM > 0 && s.BallMM > 0 {
		faults = append(faults, &InputError{"radius of the ball tip (mm)", s.BallMM, "zero for a flat tip"})
	}
	if m := s.ToMachine; !finite(m.Angle, m.Shift.X, m.Shift.Y) {
		faults = append(faults, &InputError{"board's place in the machine", m.Angle, "finite angle and shift"})
	}
	return faults
}

// finish takes the mean and its uncertainty. The stated shares stand for 95 % and
// are carried to the confidence asked for as normal.
func (s TopSpec) finish(z *TopZero, slope float64) {
	n := float64(len(z.Touches))
	low := z.Touches[0].ZMM
	for _, t := range z.Touches {
		z.ZMM += (t.ZMM - low) / n
	}
	z.ZMM += low
	sse := 0.0
	for _, t := range z.Touches {
		sse += (t.ZMM - z.ZMM) * (t.ZMM - z.ZMM)
	}
	z.RMSmm = math.Sqrt(sse / n)
	z.Notes = s.contradiction(sse, len(z.Touches)-1)
	sd, ok := s.spread(sse, len(z.Touches)-1)
	if !ok {
		z.Notes = append(z.Notes, Note{nil, "one touch says nothing of its own error; touch again, or state it"})
		return
	}
	to := normalLimit(s.confidence()) / normalLimit(usualConfidence)
	u := HeightUncertainty{
		DF: len(z.Touches) - 1, Stated: sd.stated, Confidence: s.confidence(), ReadingSDmm: sd.sd,
		ReadingMM: sd.limit(s.confidence()) * sd.sd / math.Sqrt(n),
		FeelerMM:  to * s.FeelerErrorMM, AcrossMM: to * math.Abs(slope) * s.AcrossErrorMM,
	}
	u.HalfMM = math.Sqrt(u.ReadingMM*u.ReadingMM + u.FeelerMM*u.FeelerMM + u.AcrossMM*u.AcrossMM)
	z.Uncertainty = &u
}
