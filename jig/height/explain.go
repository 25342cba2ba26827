package height

import (
	"math"
	"slices"

	"reseat/jig/measure"
)

// fitted is a shape through touches.
type fitted struct {
	measure.Linear
	shape Shape
}

func (s *Spec) fit(p Shape, touches []Touch) (f fitted, ok bool) {
	var rows [][]float64
	var z []float64
	for _, t := range touches {
		rows, z = append(rows, p.row(t.x)), append(z, t.ZMM)
	}
	f.shape = p
	f.Linear, ok = s.FitLinear(rows, z)
	return f, ok
}

// at is the height at x by a shape, and its standard error.
func (f *fitted) at(x float64) (mm, se float64) { return f.At(f.shape.row(x)...) }

// left is the variance that a fit leaves, no less than that of a reading; infinite for one that
// is not there, and the least for one that goes through every touch: nothing refutes it.
func (s *Spec) left(f fitted, ok bool) float64 {
	least := s.StatedSD() * s.StatedSD()
	switch {
	case !ok:
		return math.Inf(1)
	case f.Left() == 0:
		return least
	}
	return math.Max(least, f.SSE()/float64(f.Left()))
}

// explain finds the shape that the touches have, or the one that is wild, and holds the features'
// heights by it against Z zero.
func (s *Spec) explain(out *Top) {
	rest := belonging(out.Touches, -1)
	if len(rest) == 0 { // all have a fault; figures are for people to see
		for _, t := range out.Touches {
			out.ZMM += t.ZMM / float64(len(out.Touches))
		}
		out.Shape, out.UnguardedMM = Unknown, math.Inf(1)
		return
	}
	flat, _ := s.fit(Flat, rest)
	p := flat
	full, ok := s.fit(Bow, rest)
	if ok && full.ImprovesOn(flat.Linear) {
		p = s.bowOrSlope(full, rest)
	}
	out.Shape = p.shape
	off := 0.0
	for _, e := range p.Residuals() {
		off = math.Max(off, math.Abs(e))
	}
	if p.Contradicted || s.AccuracyMM > 0 && off > s.AccuracyMM {
		p = s.believed(out, p, full, ok, rest)
		rest = belonging(out.Touches, -1)
		full, ok = s.fit(Bow, rest)
	}
	if ok && full.Uncertainty != nil {
		setEstimate(full.Linear, 2, &out.SlopeMM, &out.SlopeHalf, 0, 1, 0)
		setEstimate(full.Linear, 1, &out.BowMM, &out.BowHalf, 0, 0, 1)
	} else if p.shape == Slope {
		setEstimate(p.Linear, 2, &out.SlopeMM, &out.SlopeHalf, 0, 1)
	}
	s.result(out, p, rest)
	s.guard(out, p, rest)
}

// setEstimate sets the estimate of an unknown, so many times itself, and its half width.
func setEstimate(f measure.Linear, times float64, to, half **float64, row ...float64) {
	v, se := f.At(row...)
	v *= times
	*to, *half = &v, f.HalfMM(times*se)
}

// bowOrSlope is the shape that differs from flat: a bow when that is significant.
func (s *Spec) bowOrSlope(full fitted, rest []Touch) fitted {
	if v, se := full.At(0, 0, 1); full.IsSignificant(v, se) {
		return full
	}
	slope, _ := s.fit(Slope, rest)
	return slope
}

// believed chooses between a shape and one wild touch for touches that are off: the one that
// leaves far less of the scatter than any other. It marks the wild touch, or the candidates when
// they cannot be told apart.
func (s *Spec) believed(out *Top, flat, full fitted, ok bool, rest []Touch) fitted {
	shape, leaves := full, s.left(full, ok)
	if f, is := s.fit(Slope, rest); is && f.Left() > 0 && s.left(f, true) < leaves {
		shape, leaves = f, s.left(f, true)
	}
	base, _ := s.fit(Flat, rest)
	k, wild, wildLeaves, next := s.wild(Flat, rest)
	if len(rest) >= 2*shapeTouches && math.Min(leaves, wildLeaves) > s.StatedSD()*s.StatedSD()*farBetter {
		// Two faults together, where enough touches are left to tell them.
		if i, f, l, n := s.wild(Bow, rest); l*farBetter < math.Min(leaves, wildLeaves) {
			k, wild, wildLeaves, next = i, f, l, n
		}
	}
	least := s.left(base, true)
	switch {
	case shape.Left() > 0 && leaves*farBetter <= math.Min(wildLeaves, least):
		out.Shape = shape.shape
		return shape
	case k >= 0 && wildLeaves*farBetter <= math.Min(math.Min(leaves, next), least):
		s.mark(out, rest[k:k+1], Wild)
		out.Shape = wild.shape
		return wild
	}
	out.Shape = Unknown
	var odd []Touch
	for _, i := range base.Suspects() {
		t := rest[i]
		if f, is := s.fit(Flat, slices.Delete(slices.Clone(rest), i, i+1)); s.left(f, is) <= farBetter*wildLeaves {
			odd = append(odd, t)
		}
	}
	s.mark(out, odd, Odd)
	if len(odd) > 0 {
		out.AddMM = []float64{odd[0].UMM}
	}
	return base
}

// wild tries every touch as the wild one: the best, what the shape leaves without it, and what the
// next best leaves. k is negative with too few touches.
func (s *Spec) wild(p Shape, rest []Touch) (k int, best fitted, leaves, next float64) {
	k, leaves, next = -1, math.Inf(1), math.Inf(1)
	all, ok := s.fit(p, rest)
	if !ok {
		return k, best, leaves, next
	}
	for _, i := range all.Suspects() {
		f, ok := s.fit(p, slices.Delete(slices.Clone(rest), i, i+1))
		if !ok || f.Left() == 0 {
			continue
		}
		switch v := s.left(f, true); {
		case v < leaves:
			k, best, leaves, next = i, f, v, leaves
		case v < next:
			next = v
		}
	}
	return k, best, leaves, next
}

func (s *Spec) mark(out *Top, touches []Touch, f Fault) {
	for i := range out.Touches {
		for _, t := range touches {
			if t.Line == out.Touches[i].Line {
				out.Touches[i].Fault = f
			}
		}
	}
}

// result writes down Z zero, its interval and the features' heights by the shape.
func (s *Spec) result(out *Top, p fitted, rest []Touch) {
	out.RMSMM, out.Contradicted = p.RMSMM(), p.Contradicted
	if out.Shape != Unknown {
		out.Uncertainty = p.Uncertainty
	}
	high, low := 0, 0
	for i, f := range s.Places {
		h, _ := p.at(s.x(f.UMM))
		if a, _ := p.at(s.x(s.Places[high].UMM)); h > a {
			high = i
		}
		if a, _ := p.at(s.x(s.Places[low].UMM)); h < a {
			low = i
		}
	}
	row := p.shape.row(0)
	if p.shape != Flat {
		a, b := p.shape.row(s.x(s.Places[high].UMM)), p.shape.row(s.x(s.Places[low].UMM))
		for i := range row {
			row[i] = (a[i] + b[i]) / 2
		}
	}
	z, se := p.At(row...)
	out.ZMM = z
	if out.ReadingHalf = out.HalfMM(se); out.ReadingHalf != nil {
		half := math.Hypot(*out.ReadingHalf, out.common())
		out.Half = &half
	}
	for i := range out.Touches {
		h, _ := p.at(out.Touches[i].x)
		out.Touches[i].OffMM = out.Touches[i].ZMM - h
	}
	if p.shape == Flat {
		out.WorstHalf = out.Half
		return
	}
	for _, f := range s.Places {
		h, se := p.at(s.x(f.UMM))
		x := Feature{Place: f, ZMM: h, DeeperMM: h - z}
		if r := out.HalfMM(se); r != nil {
			half := math.Hypot(*r, out.common())
			x.Half = &half
		}
		if math.Abs(x.DeeperMM) >= math.Abs(out.WorstMM) {
			out.WorstMM, out.WorstHalf = x.DeeperMM, x.Half
		}
		out.Features = append(out.Features, x)
	}
}

// common is what all touches share.
func (z *Top) common() float64 { return math.Hypot(z.FeelerHalf, z.AcrossHalf) }

// guard bounds how far a feature can lie off Z zero if one touch is wrong, by any amount, or if the
// board has a shape that the touches do not refute. The bound is that of the fit without the touch,
// or of the larger shape, at the confidence, for readings that scatter as those of the fit do.
func (s *Spec) guard(out *Top, p fitted, rest []Touch) {
	one := out.HalfMM(1)
	hold := func(f fitted, ok bool, line int) {
		for _, place := range s.Places {
			bound := math.Inf(1)
			if ok && one != nil {
				h, se := f.at(s.x(place.UMM))
				bound = math.Abs(h-out.ZMM) + math.Hypot(*one*se, out.common())
			}
			if bound > out.UnguardedMM {
				out.UnguardedMM, out.UnguardedLine = bound, line
			}
		}
	}
	hold(p, true, 0)
	f, ok := s.fit(Bow, rest)
	hold(f, ok, 0)
	for _, i := range p.Suspects() {
		t := rest[i]
		f, ok := s.fit(p.shape, slices.Delete(slices.Clone(rest), i, i+1))
		hold(f, ok, t.Line)
	}
	if out.Shape == Unknown || s.AccuracyMM == 0 || out.UnguardedMM <= s.AccuracyMM {
		return
	}
	// Where further touches would tell most: at the feature that lies farthest from any.
	at := []float64{}
	for _, t := range rest {
		at = append(at, t.UMM)
	}
	for range max(1, shapeTouches-len(rest)) {
		far := 0.0
		add := s.Places[0].UMM
		for _, f := range s.Places {
			gap := math.Inf(1)
			for _, u := range at {
				gap = math.Min(gap, math.Abs(u-f.UMM))
			}
			if gap > far {
				far, add = gap, f.UMM
			}
		}
		at, out.AddMM = append(at, add), append(out.AddMM, add)
	}
}
