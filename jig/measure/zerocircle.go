package measure

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// RimSpec says how the rim of a hole, a dot or a pin was touched.
type RimSpec struct {
	ProbeRadiusMM float64 // points are probe centres this far from the rim; 0: on the rim
	Outside       bool    // the probe stood outside: round a pin or a raised dot, not in a hole
	DiameterMM    float64 // as drawn; 0: not known
	Precision             // of one coordinate of a point
}

// CircleZero is a centre found from points on a rim. Its figures are those of all
// points; Odd holds the answer without the one that does not belong.
type CircleZero struct {
	Center     geom.Vec // in the points' frame
	DiameterMM float64  // of the rim, the probe's radius taken out
	ArcRad     float64  // that the points reach over: a turn less the widest gap between them
	DF         int      // points less three
	Residuals  []float64
	RMSmm      float64
	// Uncertainty is nil when three points lay the circle exactly and no error was
	// stated.
	Uncertainty *CircleUncertainty
	Odd         *OddRim // nil when every point belongs
	Notes       []Note
}

// CircleUncertainty is from the scatter of the points about the circle, or from the
// stated error when there is next to no scatter. The intervals are each at the
// confidence by itself.
type CircleUncertainty struct {
	DF             int
	Stated         bool
	Confidence     float64
	ReadingSDmm    float64  // of one point, square to the rim
	Half           geom.Vec // the centre's interval is Center +- this, each way
	WorstMM        float64  // the same in the direction that is known least
	DiameterHalfMM float64
}

// OddRim is the point that does not belong.
type OddRim struct {
	Index       int     // from 0
	OffMM       float64 // from the circle of the others, outward positive
	Studentised float64
	Limit       float64 // that no point of a good set passes, with 95 % probability
	Center      geom.Vec
	DiameterMM  float64
}

// ArcError reports points that do not lay a circle: too few, on a line, or over too
// short an arc.
type ArcError struct {
	Points int     // that differ from each other
	ArcRad float64 // that they reach over; 0 when they lie on a line
}

func (e *ArcError) Error() string {
	if e.Points < rimPoints {
		return fmt.Sprintf("%d different points on the rim lay no circle; touch it at three or more places all round", e.Points)
	}
	return fmt.Sprintf("the points reach over %.0f degrees of the rim; touch it all round, over %.0f degrees at least", e.ArcRad*180/math.Pi, leastArcRad*180/math.Pi)
}

// ProbeError reports a probe that does not go with the circle that it ran on.
type ProbeError struct{ DiameterMM, ProbeMM float64 } // of the circle of centres, and of the probe

func (e *ProbeError) Error() string {
	return fmt.Sprintf("probe centres lie on a circle of %.4g mm, which a probe of %.4g mm cannot run on outside of something; did it stand inside?", e.DiameterMM, e.ProbeMM)
}

const (
	rimPoints = 3 // that lay a circle
	// leastArcRad: over a shorter arc the sagitta is under 0.035 radii, so that a few
	// hundredths in a reading are tenths in the centre. Common practice, no source.
	leastArcRad = 30 * math.Pi / 180
	// halfTurn: within it a point's error goes into the centre more than once.
	halfTurn = math.Pi
	// sameRim is how far two points must lie apart to count as two.
	sameRim = 1e-6 // a nanometre: rounding
	// offDiameterMM is how far a diameter may differ from the drawn one beyond its own
	// uncertainty before a note says so. Common practice, no source.
	offDiameterMM = 0.1
	// inchNear is how near, as a share, a diameter must come to the drawn one when it
	// is taken as inches, to be refused as such.
	inchNear = 0.1
)

// ZeroCircle lays the circle with the least sum of squared distances through
// points on a rim (geometric least squares, not the algebraic one, which makes
// short arcs too small).
//
//	min over c, r of  sum (|p_i - c| - r)^2
//	step:  J d = -e,  e_i = |p_i - c| - r,  row i of J = (-cos phi_i, -sin phi_i, -1)
//	covariance of (c, r) = s^2 (J'J)^-1,  s^2 = sum e^2/(n - 3)
//
// Reference: Gauss-Newton for the circle, any textbook of geometric fitting; the
// start is the algebraic fit. With three points the circle goes through them and the
// uncertainty is from the stated error. With six or more points and one that does
// not belong, Odd names it.
//
// Errors, all at once: *InputError; then *ArcError, *ProbeError, *InchError.
func ZeroCircle(points []geom.Vec, s RimSpec) (CircleZero, error) {
	if err := s.check(points); err != nil {
		return CircleZero{}, err
	}
	f, err := layRim(points)
	if err != nil {
		return CircleZero{}, err
	}
	out := CircleZero{
		Center: f.c, DiameterMM: s.rimDiameter(f.r), ArcRad: f.arc, DF: len(points) - rimPoints,
		Residuals: f.residual, RMSmm: math.Sqrt(f.sse / float64(len(points))),
	}
	switch d := out.DiameterMM; {
	case d <= 0:
		return CircleZero{}, &ProbeError{2 * f.r, 2 * s.ProbeRadiusMM}
	case s.DiameterMM > 0 && math.Abs(d*mmPerInch-s.DiameterMM) < inchNear*s.DiameterMM:
		return CircleZero{}, &InchError{Gave: fmt.Sprintf("the hole measures %.3g mm where the job has %.4g mm", d, s.DiameterMM)}
	}
	out.Uncertainty = s.rimUncertainty(&f)
	out.Notes = s.rimNotes(&out, &f)
	out.Odd = s.oddRim(points, &f)
	return out, nil
}

func (s RimSpec) check(points []geom.Vec) error {
	faults := s.Precision.check()
	for _, c := range []struct {
		what string
		got  float64
	}{{"probe radius (mm)", s.ProbeRadiusMM}, {"drawn diameter (mm)", s.DiameterMM}} {
		if !finite(c.got) || c.got < 0 {
			faults = append(faults, &InputError{c.what, c.got, "zero or more"})
		}
	}
	for i, p := range points {
		if !finite(p.X, p.Y) {
			bad := p.X
			if finite(p.X) {
				bad = p.Y
			}
			faults = append(faults, &InputError{fmt.Sprintf("point %d on the rim (mm)", i+1), bad, "finite coordinates below 100 m"})
		}
	}
	if len(points) == 0 {
		faults = append(faults, &ArcError{})
	}
	return together(faults)
}

// rimDiameter takes the probe out of the circle that its centre ran on.
func (s RimSpec) rimDiameter(r float64) float64 {
	if s.Outside {
		return 2 * (r - s.ProbeRadiusMM)
	}
	return 2 * (r + s.ProbeRadiusMM)
}

// rimUncertainty is nil when there is nothing to judge it by. The worst direction is
// that of the larger eigenvalue of the centre's covariance.
func (s RimSpec) rimUncertainty(f *rimFit) *CircleUncertainty {
	df := len(f.residual) - rimPoints
	n, ok := s.spread(f.sse, df)
	if !ok {
		return nil
	}
	k := n.limit(s.confidence()) * n.sd
	xx, yy, xy := f.cov[0][0], f.cov[1][1], f.cov[0][1]
	worst := (xx+yy)/2 + math.Hypot((xx-yy)/2, xy)
	return &CircleUncertainty{
		DF: df, Stated: n.stated, Confidence: s.confidence(), ReadingSDmm: n.sd,
		Half: geom.Vec{X: k * math.Sqrt(xx), Y: k * math.Sqrt(yy)}, WorstMM: k * math.Sqrt(worst),
		DiameterHalfMM: 2 * k * math.Sqrt(f.cov[2][2]),
	}
}

func (s RimSpec) rimNotes(z *CircleZero, f *rimFit) []Note {
	out := s.contradiction(f.sse, z.DF)
	if z.ArcRad < halfTurn {
		out = append(out, Note{nil, fmt.Sprintf("the points reach over %.0f degrees of the rim only; points all round make the centre surer", z.ArcRad*180/math.Pi)})
	}
	if s.DiameterMM > 0 {
		slack := offDiameterMM
		if z.Uncertainty != nil {
			slack += z.Uncertainty.DiameterHalfMM
		}
		off := z.DiameterMM - s.DiameterMM
		says := ""
		switch {
		case math.Abs(off) <= slack:
		case s.ProbeRadiusMM > 0 && math.Abs(math.Abs(off)-4*s.ProbeRadiusMM) <= slack:
			says = fmt.Sprintf("it measures %.3f mm where %.3f mm are drawn: the probe stood on the other side of the rim, most likely; the centre is the same", z.DiameterMM, s.DiameterMM)
		case s.ProbeRadiusMM > 0 && math.Abs(math.Abs(off)-2*s.ProbeRadiusMM) <= slack:
			says = fmt.Sprintf("it measures %.3f mm where %.3f mm are drawn: the points are on the rim itself, or the probe's diameter was given for its radius; the centre is the same", z.DiameterMM, s.DiameterMM)
		default:
			says = fmt.Sprintf("it measures %.3f mm where %.3f mm are drawn; is it this hole?", z.DiameterMM, s.DiameterMM)
		}
		if says != "" {
			out = append(out, Note{nil, says})
		}
	}
	return out
}

// oddRim names the point that does not belong, by its studentised residual.
func (s RimSpec) oddRim(points []geom.Vec, f *rimFit) *OddRim {
	o, ok := s.worst(&sharedFit{residual: f.residual, leverage: f.leverage, sse: f.sse, df: len(points) - rimPoints})
	if !ok {
		return nil
	}
	rest, err := layRim(slices.Delete(slices.Clone(points), o.sample, o.sample+1))
	if err != nil {
		return nil
	}
	return &OddRim{
		Index: o.sample, OffMM: points[o.sample].Dist(rest.c) - rest.r, Studentised: o.t, Limit: o.limit,
		Center: rest.c, DiameterMM: s.rimDiameter(rest.r),
	}
}
