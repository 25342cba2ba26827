package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
)

// RimZero is a centre found from points on a rim, without the one that does not belong.
type RimZero struct {
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	DiameterMM float64 `json:"diameter_mm"` // of the rim, the probe's radius taken out
	ArcRad     float64 `json:"arc_rad"`     // that the points reach over: a turn less the widest gap between them
	RMSMM      float64 `json:"rms_mm"`
	// nil when three points lay the circle exactly and no error was stated, or the points contradict each other
	*Uncertainty
	// The intervals are each at the confidence by itself: the centre's each way and in the
	// direction that is known least, and the diameter's.
	XHalf        *float64    `json:"x_half_mm,omitempty"`
	YHalf        *float64    `json:"y_half_mm,omitempty"`
	WorstHalf    *float64    `json:"worst_half_mm,omitempty"`
	DiameterHalf *float64    `json:"diameter_half_mm,omitempty"`
	Residuals    []float64   `json:"residuals_mm"` // outward positive
	Lines        []int       `json:"lines"`        // of the points, the same order
	Outlier      *RimOutlier `json:"outlier,omitempty"`
	// Unlike says what a diameter looks like that is not the drawn one; "" when it is, or nothing was drawn.
	Unlike Unlike `json:"diameter_unlike,omitempty"`
	Guard
}

// Unlike is why a rim is not as wide as drawn.
type Unlike string

// Reasons.
const (
	OtherSide Unlike = "other side" // the probe stood on the other side of the rim
	NoProbe   Unlike = "probe"      // its diameter was left out, or given for its radius
	OtherRim  Unlike = "other"      // another hole or size, or a wrong touch
)

// RimOutlier is the point that does not belong.
type RimOutlier struct {
	Line  int     `json:"line"`
	OffMM float64 `json:"off_mm"` // from the circle of the others, outward positive
}

const (
	// leastArcRad: over a shorter arc the sagitta is under 0.035 radii, so that a few
	// hundredths in a reading are tenths in the centre. Common practice, no source.
	leastArcRad = 30 * math.Pi / 180
	// sameRim is how far two points must lie apart to count as two.
	sameRim = 1e-6 // a nanometre: rounding
	// inchNear is how near, as a share, a size must come to the drawn one when it
	// is taken as inches, to be refused as such.
	inchNear = 0.1
	// mostRimRadii is the radius, in parts of the points' spread, beyond which they
	// count as lying on a line: a few degrees of arc.
	mostRimRadii = 100
)

// ZeroRim lays the circle with the least sum of squared distances through the touches of a
// rim (geometric least squares, not the algebraic one, which makes short arcs too small).
//
//	min over c, r of  sum (|p_i - c| - r)^2
//	step:  J d = -e,  e_i = |p_i - c| - r,  row i of J = (-cos phi_i, -sin phi_i, -1)
//
// The start is the algebraic fit. With three points the circle goes through them, and only the
// drawn diameter shows a wrong one. One that does not belong is named, and left out, where the
// others agree far better without it than without any other. Touches of other kinds are left alone.
//
// The error tells points that lay no circle, a probe that cannot have run on it, and inches.
func ZeroRim(touches []reading.Reading, s Spec) (RimZero, error) {
	var out RimZero
	var points []geom.Vec
	for _, t := range touches {
		if t.On == reading.OnRim {
			points, out.Lines = append(points, t.At), append(out.Lines, t.Line)
		}
	}
	c, err := layCircle(points)
	if err != nil {
		return out, err
	}
	switch d := s.rimDiameter(c.r); {
	case d <= 0:
		return out, fmt.Errorf("probe centres lie on a circle of %.4g mm, which a probe of %.4g mm cannot run on outside "+
			"of something; did it stand inside?", 2*c.r, 2*s.ProbeRadiusMM)
	case s.DiameterMM > 0 && math.Abs(d*units.MMPerInch-s.DiameterMM) < inchNear*s.DiameterMM:
		return out, inInches(fmt.Sprintf("the hole measures %.3g mm where the job has %.4g mm", d, s.DiameterMM))
	}
	kept, lines := points, out.Lines
	without := s.rimsWithout(c, kept)
	wrong, named, ok := s.rimWrong(&c, without, kept)
	if ok {
		out.Outlier = &RimOutlier{lines[named], kept[named].Dist(without[named].mid) - without[named].r}
		c, kept = without[named], slices.Delete(slices.Clone(kept), named, named+1)
		lines = slices.Delete(slices.Clone(lines), named, named+1)
		without = s.rimsWithout(c, kept)
		wrong, _, _ = s.rimWrong(&c, without, kept)
	}
	out.XMM, out.YMM, out.DiameterMM, out.ArcRad, out.RMSMM = c.mid.X, c.mid.Y, s.rimDiameter(c.r), c.arc,
		c.rms(len(kept))
	for _, p := range points {
		out.Residuals = append(out.Residuals, p.Dist(c.mid)-c.r)
	}
	if out.Contradicted = s.contradicted(c.sse, c.df); !wrong {
		out.Uncertainty = s.uncertainty(c.sse, c.df)
	}
	out.Contradictory = wrong
	_, x := c.contrast(1, 0, 0)
	_, y := c.contrast(0, 1, 0)
	_, r := c.contrast(0, 0, 1)
	out.XHalf, out.YHalf, out.WorstHalf, out.DiameterHalf = out.half(x), out.half(y), out.half(c.worst()), out.half(2*r)
	out.Unlike = s.unlike(out.DiameterMM, out.DiameterHalf)
	one := out.half(1)
	for _, i := range c.suspects() {
		w, bound := without[i], math.Inf(1)
		if w.r > 0 && one != nil {
			bound = w.mid.Dist(c.mid) + *one*w.worst()
		}
		out.hold(bound, lines[i])
	}
	return out, nil
}

// worst is the standard error of the centre in the direction that is known least: the root of the
// larger eigenvalue of its covariance.
func (c *circle) worst() float64 {
	_, x := c.contrast(1, 0, 0)
	_, y := c.contrast(0, 1, 0)
	_, sum := c.contrast(1, 1, 0) // its variance is x^2 + y^2 + 2 cov
	cov := (sum*sum - x*x - y*y) / 2
	return math.Sqrt((x*x+y*y)/2 + math.Hypot((x*x-y*y)/2, cov))
}

// rimsWithout are the circles without each suspected point in turn; of radius 0 where the others lay none.
// Two points lay one with the drawn diameter.
func (s *Spec) rimsWithout(all circle, points []geom.Vec) []circle {
	out := make([]circle, len(points))
	for i := range out {
		out[i] = all
	}
	for _, i := range all.suspects() {
		out[i] = circle{}
		rest := slices.Delete(slices.Clone(points), i, i+1)
		if len(rest) < reading.RimPoints {
			out[i] = s.drawnRim(all, rest)
		} else if c, err := layCircle(rest); err == nil {
			out[i] = c
		}
	}
	return out
}

// drawnRim is the circle of the drawn diameter through two points, the one near another circle. The
// diameter counts as an observation; for that a point is taken to repeat as stated.
func (s *Spec) drawnRim(near circle, points []geom.Vec) (c circle) {
	if s.DiameterMM == 0 || different(points) < 2 {
		return circle{}
	}
	r := s.DiameterMM/2 - s.ProbeRadiusMM
	if s.Outside {
		r = s.DiameterMM/2 + s.ProbeRadiusMM
	}
	weight := s.stated() / (math.Max(s.DiameterErrorMM, displayMM) / 2 / normalFactor(usualConfidence))
	x, ok := []float64{near.mid.X, near.mid.Y, near.r}, false
	c.fit, ok = gaussNewton(x, r, func(x []float64) (*mat.Dense, []float64) {
		a, e := mat.NewDense(3, 3, nil), make([]float64, 3)
		for i, p := range points {
			d := p.Sub(geom.Vec{X: x[0], Y: x[1]})
			u := d.Unit()
			a.SetRow(i, []float64{u.X, u.Y, 1})
			e[i] = d.Norm() - x[2]
		}
		a.SetRow(2, []float64{0, 0, weight})
		e[2] = weight * (r - x[2])
		return a, e
	})
	if !ok || r <= 0 {
		return circle{}
	}
	c.mid, c.r = geom.Vec{X: x[0], Y: x[1]}, x[2]
	return c
}

// rimWrong reports whether one of the points is wrong by more than may be, and which one, where the
// others tell; ok is false where they do not.
func (s *Spec) rimWrong(all *circle, without []circle, points []geom.Vec) (wrong bool, named int, ok bool) {
	left := make([]float64, len(points))
	for i, w := range without {
		left[i] = math.Inf(1)
		if w.r > 0 {
			off := w.mid.Dist(all.mid)
			if len(points) > reading.RimPoints { // beside three the drawn diameter says too little of one point
				off = math.Max(off, math.Abs(points[i].Dist(w.mid)-w.r))
			}
			wrong = wrong || s.AccuracyMM > 0 && off > s.AccuracyMM
			if w.df > 0 {
				left[i] = w.sse
			}
		}
	}
	if wrong {
		named, ok = s.standout(left, all.sse, all.df)
		return true, named, ok
	}
	if s.AccuracyMM == 0 {
		if _, o := s.studentised(&all.fit, nil); o != nil {
			named, ok = s.standout(left, all.sse, all.df)
			return ok, named, ok
		}
	}
	return false, 0, false
}

// unlike tells a diameter that is not the drawn one, and what the difference looks like.
func (s *Spec) unlike(mm float64, half *float64) Unlike {
	tol, probe := offDiameterMM, 2*s.ProbeRadiusMM
	if half != nil {
		tol += *half
	}
	off := mm - s.DiameterMM
	inward := off
	if s.Outside {
		inward = -off
	}
	switch {
	case s.DiameterMM == 0 || math.Abs(off) <= tol:
		return ""
	case probe > 0 && math.Abs(inward-2*probe) <= tol:
		return OtherSide
	case probe > 0 && math.Abs(math.Abs(off)-probe) <= tol, probe == 0 && -inward >= leastProbeMM &&
		-inward <= mostProbeMM:
		return NoProbe
	}
	return OtherRim
}

// Common practice, no source.
const (
	// offDiameterMM is how far a diameter may differ from the drawn one beyond its own uncertainty.
	offDiameterMM = 0.1
	// The diameters of usual probes and edge finders.
	leastProbeMM = 0.5
	mostProbeMM  = 12.0
)

// rimDiameter takes the probe out of the circle that its centre ran on.
func (s *Spec) rimDiameter(r float64) float64 {
	if s.Outside {
		return 2 * (r - s.ProbeRadiusMM)
	}
	return 2 * (r + s.ProbeRadiusMM)
}

// circle is the circle of the probe's centre; the fit's unknowns are mid and r.
type circle struct {
	fit
	mid geom.Vec
	r   float64
	arc float64
}

// layCircle fits the circle, in coordinates about the points' middle, which keeps the
// digits far from zero.
func layCircle(points []geom.Vec) (c circle, err error) {
	if n := different(points); n < reading.RimPoints {
		return c, fmt.Errorf("%d different points on the rim lay no circle; touch it at three or more places all round", n)
	}
	center, size := middle(points), 0.0
	at := make([]geom.Vec, len(points))
	for i, p := range points {
		at[i] = p.Sub(center)
		size = math.Max(size, at[i].Norm())
	}
	x, ok := algebraicCircle(at)
	if ok = ok && x[2] < mostRimRadii*size; ok {
		c.fit, ok = gaussNewton(x, size, func(x []float64) (*mat.Dense, []float64) {
			a, e := mat.NewDense(len(at), 3, nil), make([]float64, len(at))
			for i, p := range at {
				d := p.Sub(geom.Vec{X: x[0], Y: x[1]})
				u := d.Unit()
				a.SetRow(i, []float64{u.X, u.Y, 1})
				e[i] = d.Norm() - x[2]
			}
			return a, e
		})
	}
	c.mid, c.r = geom.Vec{X: x[0], Y: x[1]}, x[2]
	if ok = ok && c.r > 0 && c.r < mostRimRadii*size; ok {
		c.arc = arcReached(at, c.mid)
	}
	if c.arc < leastArcRad {
		return c, fmt.Errorf("the points reach over %.0f degrees of the rim; touch it all round, over %.0f degrees at "+
			"least", c.arc*180/math.Pi, leastArcRad*180/math.Pi)
	}
	c.mid = c.mid.Add(center)
	return c, nil
}

// different counts the points that are not alike.
func different(points []geom.Vec) int {
	byX := slices.SortedFunc(slices.Values(points), func(a, b geom.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	return len(slices.CompactFunc(byX, func(a, b geom.Vec) bool { return a.Dist(b) <= sameRim }))
}

// algebraicCircle is the start, middle and radius: the circle with the least sum of squares of
//
//	x^2 + y^2 - 2 a x - 2 b y - k,   r^2 = k + a^2 + b^2
//
// which is linear (Kasa 1976; recalled). ok is false for points on a line.
func algebraicCircle(p []geom.Vec) (x []float64, ok bool) {
	a, b := mat.NewDense(len(p), 3, nil), make([]float64, len(p))
	for i, q := range p {
		a.SetRow(i, []float64{2 * q.X, 2 * q.Y, 1})
		b[i] = q.Dot(q)
	}
	f, ok := leastSquares(a, b)
	if !ok {
		return make([]float64, 3), false
	}
	f.x[2] = math.Sqrt(math.Max(0, f.x[2]+f.x[0]*f.x[0]+f.x[1]*f.x[1]))
	return f.x, f.x[2] > 0
}

// arcReached is a turn less the widest gap between neighbouring points.
func arcReached(p []geom.Vec, c geom.Vec) float64 {
	at := make([]float64, len(p))
	for i, q := range p {
		d := q.Sub(c)
		at[i] = math.Atan2(d.Y, d.X)
	}
	slices.Sort(at)
	gap := at[0] + 2*math.Pi - at[len(at)-1]
	for i := 1; i < len(at); i++ {
		gap = math.Max(gap, at[i]-at[i-1])
	}
	return 2*math.Pi - gap
}
