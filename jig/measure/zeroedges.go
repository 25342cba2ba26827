package measure

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// EdgeZeroSpec is the tapered board whose edges are touched.
type EdgeZeroSpec struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	// ToMachine is where the board should lie: board frame -> machine frame. What the
	// touches do not tell is taken from it.
	ToMachine     geom.Rigid
	ProbeRadiusMM float64 // touches are tool centres this far outside the edge; 0: on it
	// What the touches do not tell is good to plus or minus this, 95 %; 0: taken as
	// exact.
	AngleErrorRad float64 // turn from ToMachine
	AlongErrorMM  float64 // place along the board, which shifts a tapered edge
	WidthErrorMM  float64 // of the board's width
	Precision             // of one touch, square to the edge
}

// EdgeZero is where the datum's start lies, as far as the touched edges tell.
type EdgeZero struct {
	ToMachine geom.Rigid // board frame -> machine frame, as the board lies
	Start     geom.Vec   // the datum's start in the machine frame; what is not known is as ToMachine of the spec has it
	// Along and Across are the board's move from where it should lie, in its own frame
	// as drawn: u and v of its datum's start.
	AlongMM, AcrossMM float64
	AngleRad          float64 // its turn, counter-clockwise in the machine frame seen from above
	// Known says which of them the touches tell.
	AlongKnown, AcrossKnown, AngleKnown bool
	WidthKnown                          bool    // both edges were touched
	WidthOffMM                          float64 // the board wider than the job has it; 0 unless known
	Residuals                           []TouchResidual
	RMSmm                               float64
	DF                                  int
	// Uncertainty is nil when the touches are just enough and no error was stated.
	Uncertainty *EdgeUncertainty
	Notes       []Note
}

// TouchResidual is how far a touch lies outside its edge as it was fitted, the probe
// taken out.
type TouchResidual struct {
	Line  int
	Kind  TouchKind
	OffMM float64
}

// EdgeUncertainty holds half widths at the confidence. What the touches do not tell
// has its stated error in them.
type EdgeUncertainty struct {
	DF                        int
	Stated                    bool
	Confidence                float64
	ReadingSDmm               float64
	AlongHalfMM, AcrossHalfMM float64 // 0 when not known
	AngleHalfRad              float64
	WidthHalfMM               float64
}

// The figures that touches can tell, in this order.
const (
	zeroAlong = iota
	zeroAcross
	zeroTurn
	zeroHalfWidth
	zeroFigures
)

const (
	// mostEdgeSteps bounds the steps, which converge quadratically.
	mostEdgeSteps = 30
	// edgeStepEnd ends them: 1e-10 mm, or as much at a board's far end.
	edgeStepEnd = 1e-10
	// widthNoteMM is the difference from the job's width that is worth a note. Common
	// practice, no source.
	widthNoteMM = 0.5
	// inchWidth is how near, as a share, a width must come to the job's when taken as
	// inches, to be refused as such.
	inchWidth = 0.1
)

// ZeroEdges takes X and Y zero from touches of the board's edges: the start end tells
// the place along, one long edge the place across, both of them the board's centre
// whatever its width, and two touches far apart on one long edge its turn.
//
//	touch t in the drawn board's frame, board at c turned by theta:  b = R(-theta)(t - c)
//	e = n.b - d - h - probe    n, d: the edge's outward normal and distance; h: half the width's error, long edges only
//	de = -n.x along - n.y across - n.left(b) turn - h
//
// with the least sum of e^2 by Gauss-Newton steps. The start end tells nothing of the
// turn: a sawn end need not be square. Half widths are those of the fit with, as root
// of squares, the moves that the stated errors of what is not told make.
//
// Touches of other kinds are left alone. Errors, all at once: *InputError,
// *NoTouchError; then *OffBoardError, *InchError, *ExchangedError, *SkewError.
func ZeroEdges(touches []ZeroTouch, s EdgeZeroSpec) (EdgeZero, error) {
	f, err := s.gather(touches)
	if err != nil {
		return EdgeZero{}, err
	}
	x := f.solve([zeroFigures]float64{})
	if err := s.implausible(f, x); err != nil {
		return EdgeZero{}, err
	}
	out := EdgeZero{
		AlongMM: x[zeroAlong], AcrossMM: x[zeroAcross], AngleRad: x[zeroTurn], WidthOffMM: 2 * x[zeroHalfWidth],
		AlongKnown: f.told[zeroAlong], AcrossKnown: f.told[zeroAcross], AngleKnown: f.told[zeroTurn], WidthKnown: f.told[zeroHalfWidth],
		DF: len(f.touches) - f.unknowns(),
	}
	lies := s.ToMachine
	lies.Shift = s.ToMachine.Apply(geom.Vec{X: out.AlongMM, Y: out.AcrossMM})
	if lies.Mirror {
		out.AngleRad = -out.AngleRad // a board that lies face down turns the other way
	}
	lies.Angle += out.AngleRad
	out.ToMachine, out.Start = lies, lies.Shift
	sse := 0.0
	for _, t := range f.touches {
		e := t.off(x)
		sse += e * e
		out.Residuals = append(out.Residuals, TouchResidual{t.Line, t.Kind, e})
	}
	out.RMSmm = math.Sqrt(sse / float64(len(f.touches)))
	out.Notes = append(s.contradiction(sse, out.DF), s.notes(&out)...)
	out.Uncertainty = s.uncertainty(f, x, sse, out.DF)
	return out, nil
}

func (s EdgeZeroSpec) checkEdges() []error {
	// The board itself is checked as for the datum, whose tolerance does not matter here.
	faults := DatumSpec{
		LengthMM: s.LengthMM, WidthStartMM: s.WidthStartMM, WidthEndMM: s.WidthEndMM, ToMachine: s.ToMachine,
		ToleranceMM: 1, ProbeRadiusMM: s.ProbeRadiusMM, Precision: s.Precision,
	}.check()
	for _, c := range []struct {
		what string
		got  float64
	}{{"error of the board's turn (rad)", s.AngleErrorRad}, {"error of the place along (mm)", s.AlongErrorMM}, {"error of the width (mm)", s.WidthErrorMM}} {
		if !finite(c.got) || c.got < 0 {
			faults = append(faults, &InputError{c.what, c.got, "zero or more"})
		}
	}
	return faults
}

// implausible refuses touches that are not of this board as they stand.
func (s EdgeZeroSpec) implausible(f *edgeFit, x [zeroFigures]float64) error {
	if f.told[zeroHalfWidth] {
		if err := s.implausibleWidth(f, x); err != nil {
			return err
		}
	}
	off := &OffBoardError{LengthMM: s.LengthMM}
	slack := offBoardPart * s.LengthMM
	for _, t := range f.touches {
		if u := t.back(x).X; t.long != 0 && (u < -slack || u > s.LengthMM+slack) {
			off.Lines, off.StationMM = append(off.Lines, t.Line), append(off.StationMM, u)
		}
	}
	if len(off.Lines) > 0 {
		return off
	}
	if a := x[zeroTurn]; math.Abs(a) > mostSkewRad {
		return &SkewError{a}
	}
	return nil
}

// implausibleWidth tells inches and exchanged edges by the width at the touches' mean
// station. In inches, the way from probe to probe is what 25.4 times too small is;
// the probe's radius is in millimetres all the same.
func (s EdgeZeroSpec) implausibleWidth(f *edgeFit, x [zeroFigures]float64) error {
	u, n := 0.0, 0.0
	for _, t := range f.touches {
		u, n = u+t.long*t.back(x).X, n+t.long
	}
	u /= n
	width := func(u float64) float64 { return s.WidthStartMM + (s.WidthEndMM-s.WidthStartMM)*u/s.LengthMM }
	measured := width(u) + 2*x[zeroHalfWidth]
	put, want := (measured+2*s.ProbeRadiusMM)*mmPerInch-2*s.ProbeRadiusMM, width(u*mmPerInch)
	switch {
	case want > 0 && math.Abs(put-want) < inchWidth*want:
		return &InchError{Gave: fmt.Sprintf("the probe's centres lie %.3g mm apart across the board, in inches %.4g mm", measured+2*s.ProbeRadiusMM, put+2*s.ProbeRadiusMM)}
	case measured <= 0:
		return &ExchangedError{measured}
	}
	return nil
}

func (s EdgeZeroSpec) notes(z *EdgeZero) (out []Note) {
	say := func(format string, args ...any) { out = append(out, Note{nil, fmt.Sprintf(format, args...)}) }
	if !z.AlongKnown {
		say("the start end was not touched: the place along the board is as drawn")
	}
	switch {
	case !z.AcrossKnown:
		say("no long edge was touched: the place across the board is as drawn")
	case !z.WidthKnown:
		say("one long edge was touched: the datum line is half the job's width from it; touch both to be free of the width")
	}
	if !z.AngleKnown {
		say("no long edge was touched at two places %g mm apart: the board is taken to lie as straight as drawn", leastSpanMM)
	}
	if math.Abs(z.WidthOffMM) > widthNoteMM {
		say("the board is %.3f mm wider than the job has it, or the probe's radius is wrong by a half of that", z.WidthOffMM)
	}
	return out
}

// uncertainty is nil when there is nothing to judge it by.
func (s EdgeZeroSpec) uncertainty(f *edgeFit, x [zeroFigures]float64, sse float64, df int) *EdgeUncertainty {
	n, ok := s.spread(sse, df)
	rows, _ := f.rows(x)
	inv, fixed := normalInverse(rows)
	if !ok || !fixed {
		return nil
	}
	var square [zeroFigures]float64
	i, k := 0, n.limit(s.confidence())*n.sd
	for j, told := range f.told {
		if told {
			square[j] = k * k * inv[i][i]
			i++
		}
	}
	square[zeroTurn] /= f.size * f.size
	// What is not told moves the answer by its stated error, taken at both signs'
	// mean effect: the fit is all but linear.
	to := normalLimit(s.confidence()) / normalLimit(usualConfidence)
	for j, e := range [zeroFigures]float64{zeroAlong: s.AlongErrorMM, zeroTurn: s.AngleErrorRad, zeroHalfWidth: s.WidthErrorMM / 2} {
		if f.told[j] || e == 0 {
			continue
		}
		var from [zeroFigures]float64
		from[j] = e
		moved := f.solve(from)
		for m := range square {
			if f.told[m] {
				square[m] += to * to * (moved[m] - x[m]) * (moved[m] - x[m])
			}
		}
	}
	return &EdgeUncertainty{
		DF: df, Stated: n.stated, Confidence: s.confidence(), ReadingSDmm: n.sd,
		AlongHalfMM: math.Sqrt(square[zeroAlong]), AcrossHalfMM: math.Sqrt(square[zeroAcross]),
		AngleHalfRad: math.Sqrt(square[zeroTurn]), WidthHalfMM: 2 * math.Sqrt(square[zeroHalfWidth]),
	}
}
