package measure

import "math"

// Verdict is the answer to whether the datum line runs parallel to the axis.
type Verdict string

// The verdicts. Parallel and NotParallel hold at the stated confidence.
const (
	Parallel    Verdict = "parallel"
	NotParallel Verdict = "not parallel"
	CannotTell  Verdict = "cannot tell"
)

// judge compares a runout and the half width of its interval with the tolerance.
// Parallel is said when the whole interval lies within the tolerance, not parallel
// when all of it lies outside (the decision rule of ISO 14253-1, recalled, not
// seen). half is negative when it is not known: then nothing can be told.
func judge(runout, half, tolerance float64) Verdict {
	switch {
	case half < 0:
		return CannotTell
	case runout+half <= tolerance:
		return Parallel
	case runout-half > tolerance:
		return NotParallel
	}
	return CannotTell
}

// Judgement is the answer from one choice of readings.
type Judgement struct {
	AngleRad     float64
	RunoutMM     float64
	RunoutHalfMM float64 // negative when nothing is left to judge it by
	Verdict      Verdict
}

// Bow is how far the board is bent in its plane.
type Bow struct {
	SagittaMM   float64 // at the middle of the board from the chord between its ends, to the left positive
	HalfMM      float64 // the interval is SagittaMM +- this; negative when nothing is left to judge it by
	Significant bool    // told from scatter at 99 %; the angle is then that of the chord
}

// tellConfidence is the confidence at which a bow or a twist is told from scatter.
// It is stricter than the interval's: the angle is taken another way once a bow
// is told, and one board in twenty would otherwise be called bent by chance.
const tellConfidence = 0.99

// analysis is the fit that the answer rests on and what else it told.
type analysis struct {
	fit     sharedFit
	clean   sharedFit // without the outlier; the same as fit when there is none
	dropped int       // sample that does not belong, or -1
	out     outlying
	bow     *Bow // not mirrored yet
	taper   bool
}

// taperPrice is the largest factor on the slope's standard error that is paid for
// fitting the taper: an edge that was read over a short piece only says too little
// about it. It depends on the stations alone, not on what was read there.
const taperPrice = 1.5

// analyse chooses the terms of the fit, and tells bow, outlier and slope apart.
func (s DatumSpec) analyse(g *gathered) (a analysis, ok bool) {
	want := []term{slopeTerm}
	plain, ok := g.fit(want...)
	if !ok {
		return a, false
	}
	if full, ok := g.fit(slopeTerm, taperTerm); ok && full.df >= leastDF {
		_, with := full.value(slopeOf)
		_, less := plain.value(slopeOf)
		if with <= taperPrice*less {
			want, plain, a.taper = full.terms, full, true
		}
	}
	a.fit, a.dropped = plain, -1
	found, is := s.worst(&plain)
	bent := append(append([]term{}, want...), bowTerm)
	bow, curved := s.bow(g.samples, bent)
	if bow != nil && bow.Significant {
		// One wild point bends the line, and a bow makes a point look wild: what
		// leaves less of the scatter is believed.
		if is && found.rest < curved.sse {
			bow.Significant = false
		} else {
			want, a.fit = bent, curved
			found, is = s.worst(&a.fit)
		}
	}
	a.clean, a.bow = a.fit, bow
	if is {
		cut := g.samples.without(found.sample)
		if clean, ok := cut.fit(want...); ok {
			a.clean, a.dropped, a.out = clean, found.sample, found
			if b, _ := s.bow(cut, bent); b != nil {
				a.bow = b
			}
		}
	}
	return a, true
}

// slopeOf is the datum line's slope as a figure of the fit.
var slopeOf = figure{coef: [terms]float64{slopeTerm: 1}}

// bow fits the bow and tells it from scatter; nil when the stations do not show it.
func (s DatumSpec) bow(x *samples, with []term) (*Bow, sharedFit) {
	f, ok := x.fit(with...)
	if !ok {
		return nil, f
	}
	v, unit := f.value(figure{coef: [terms]float64{bowTerm: 1}})
	b := &Bow{SagittaMM: v, HalfMM: -1}
	if sp, ok := s.spread(f.sse, f.df); ok {
		b.HalfMM = sp.sd * unit * sp.limit(s.confidence())
		b.Significant = math.Abs(v) > sp.sd*unit*sp.limit(tellConfidence)
	}
	return b, f
}

// judgement answers from one fit.
func (s DatumSpec) judgement(f *sharedFit) Judgement {
	slope, unit := f.value(slopeOf)
	j := Judgement{AngleRad: math.Atan(slope), RunoutMM: math.Abs(slope) * s.LengthMM, RunoutHalfMM: -1}
	if sp, ok := s.spread(f.sse, f.df); ok {
		j.RunoutHalfMM = sp.sd * unit * sp.limit(s.confidence()) * s.LengthMM
	}
	j.Verdict = judge(j.RunoutMM, j.RunoutHalfMM, s.ToleranceMM)
	return j
}
