package register

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
		return fmt.Sprintf("register: %d different points on the rim lay no circle; touch it at three or more places all round", e.Points)
	}
	return fmt.Sprintf("register: the points reach over %.0f degrees of the rim; touch it all round, over %.0f degrees at least", e.ArcRad*180/math.Pi, leastArcRad*180/math.Pi)
}

// ProbeError reports a probe that does not go with the circle that it ran on.
type ProbeError struct{ DiameterMM, ProbeMM float64 } // of the circle of centres, and of the probe

func (e *ProbeError) Error() string {
	return fmt.Sprintf("register: probe centres lie on a circle of %.4g mm, which a probe of %.4g mm cannot run on outside of something; did it stand inside?", e.DiameterMM, e.ProbeMM)
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

// rimFit is the circle of the probe's centre.
type rimFit struct {
	c        geom.Vec
	r        float64
	arc      float64
	residual []float64 // outward positive
	leverage []float64
	sse      float64
	cov      [3][3]float64 // of c.X, c.Y and r for points of 1 mm^2 variance
}

const (
	// mostRimSteps bounds the steps of the fit, which takes under ten.
	mostRimSteps = 100
	// rimStepEnd ends it, in parts of the points' spread: what is left after such a
	// step is smaller still, a millionth of a micrometre in a hole of a hand's width.
	rimStepEnd = 1e-11
	// leastRimStep is the part of a step below which it is not halved further: where
	// a thousandth of it does not help, the sum is flat but for rounding.
	leastRimStep = 1e-3
	// mostRimRadii is the radius, in parts of the points' spread, beyond which they
	// count as lying on a line: a few degrees of arc.
	mostRimRadii = 100
)

// layRim fits the circle, in coordinates about the points' middle and in parts of
// their spread, which keeps the digits far from zero.
func layRim(points []geom.Vec) (f rimFit, err error) {
	if n := different(points); n < rimPoints {
		return f, &ArcError{Points: n}
	}
	mid, size := middle(points), 0.0
	for _, p := range points {
		size = math.Max(size, p.Dist(mid))
	}
	at := make([]geom.Vec, len(points))
	for i, p := range points {
		at[i] = p.Sub(mid).Scale(1 / size)
	}
	c, r, ok := algebraicCircle(at)
	ok = ok && r < mostRimRadii
	if ok {
		c, r, ok = geometricCircle(at, c, r)
	}
	if !ok {
		return f, &ArcError{Points: len(points)}
	}
	f.arc = arcReached(at, c)
	if f.arc < leastArcRad {
		return f, &ArcError{Points: len(points), ArcRad: f.arc}
	}
	rows, _ := rimRows(at, c, r)
	inv, ok := normalInverse(rows)
	if !ok {
		return f, &ArcError{Points: len(points), ArcRad: f.arc}
	}
	f.c, f.r = c.Scale(size).Add(mid), r*size
	for i := range 3 {
		for j := range 3 {
			f.cov[i][j] = inv[i][j] // the rows are directions: they have no unit
		}
	}
	for i, p := range points {
		e := p.Dist(f.c) - f.r
		f.residual = append(f.residual, e)
		f.sse += e * e
		f.leverage = append(f.leverage, quadratic(inv, rows[i]))
	}
	return f, nil
}

// different counts the points that are not alike.
func different(points []geom.Vec) int {
	s := slices.Clone(points)
	slices.SortFunc(s, func(a, b geom.Vec) int {
		switch {
		case a.X != b.X && a.X < b.X, a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	n := 0
	for i, p := range s {
		if i == 0 || p.Dist(s[i-1]) > sameRim {
			n++
		}
	}
	return n
}

// algebraicCircle is the start: the circle with the least sum of squares of
//
//	x^2 + y^2 - 2 a x - 2 b y - k,   r^2 = k + a^2 + b^2
//
// which is linear (Kasa 1976; recalled, not seen). ok is false for points on a line.
func algebraicCircle(p []geom.Vec) (c geom.Vec, r float64, ok bool) {
	rows, rhs := make([][]float64, len(p)), make([]float64, len(p))
	for i, q := range p {
		rows[i], rhs[i] = []float64{2 * q.X, 2 * q.Y, 1}, q.Dot(q)
	}
	inv, ok := normalInverse(rows)
	if !ok {
		return c, 0, false
	}
	x := solveNormal(inv, rows, rhs)
	c = geom.Vec{X: x[0], Y: x[1]}
	r2 := x[2] + c.Dot(c)
	return c, math.Sqrt(math.Max(0, r2)), r2 > 0
}

// rimRows returns the derivatives of the distances after c.X, c.Y and r, and the
// distances themselves with the sign turned.
func rimRows(p []geom.Vec, c geom.Vec, r float64) (rows [][]float64, minus []float64) {
	for _, q := range p {
		d := q.Sub(c)
		u := d.Unit()
		rows, minus = append(rows, []float64{-u.X, -u.Y, -1}), append(minus, r-d.Norm())
	}
	return rows, minus
}

// rimSum is the sum of squared distances from the circle.
func rimSum(p []geom.Vec, c geom.Vec, r float64) (sum float64) {
	for _, q := range p {
		e := q.Dist(c) - r
		sum += e * e
	}
	return sum
}

// geometricCircle goes on from a start by Gauss-Newton steps, halved while they make
// the sum of squares larger.
func geometricCircle(p []geom.Vec, c geom.Vec, r float64) (geom.Vec, float64, bool) {
	for range mostRimSteps {
		rows, minus := rimRows(p, c, r)
		inv, ok := normalInverse(rows)
		if !ok {
			return c, r, false
		}
		d := solveNormal(inv, rows, minus)
		by, sum, step := geom.Vec{X: d[0], Y: d[1]}, rimSum(p, c, r), 1.0
		for step > leastRimStep && rimSum(p, c.Add(by.Scale(step)), r+step*d[2]) > sum {
			step /= 2
		}
		if step <= leastRimStep {
			break
		}
		c, r = c.Add(by.Scale(step)), r+step*d[2]
		if !(r < mostRimRadii) {
			return c, r, false
		}
		if math.Hypot(by.Norm(), d[2]) < rimStepEnd {
			break
		}
	}
	return c, r, r > 0
}

// arcReached is a turn less the widest gap between neighbouring points.
func arcReached(p []geom.Vec, c geom.Vec) float64 {
	var at []float64
	for _, q := range p {
		d := q.Sub(c)
		at = append(at, math.Atan2(d.Y, d.X))
	}
	slices.Sort(at)
	gap := at[0] + 2*math.Pi - at[len(at)-1]
	for i := 1; i < len(at); i++ {
		gap = math.Max(gap, at[i]-at[i-1])
	}
	return 2*math.Pi - gap
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
