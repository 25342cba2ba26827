package budget

import (
	"errors"
	"math"

	"reseat/fit"
	"reseat/jig/geom"
)

// Budget is the error at every feature, by source and in sum.
type Budget struct {
	Features []FeatureBudget // in the order of the Spec
	Trials   int             // of the simulation
	Seed     uint64
}

// FeatureBudget is the error of one feature, in mm, all zero or more.
type FeatureBudget struct {
	Name  string
	At    geom.Vec
	Terms []Term // one per source, in the order of the Spec

	// The sums of the terms' worst cases: no direction is set off against
	// another. Across, along and in any direction need not occur together.
	WorstMM, AlongWorstMM, AcrossWorstMM float64
	// What 95 % of all seatings stay within: the distance, and the two
	// coordinates each for itself. Simulated.
	P95MM, P95AlongMM, P95AcrossMM float64
}

// Term is what one source does at one feature, in mm.
type Term struct {
	Source, Remedy string
	// WorstMM is the farthest that the source alone moves the feature,
	// AlongWorstMM and AcrossWorstMM the most along u and along v.
	WorstMM, AlongWorstMM, AcrossWorstMM float64
	// Standard deviations about the mean; SDMM is that of both axes together,
	// the root of the sum of their squares.
	SDMM, AlongSDMM, AcrossSDMM float64
	// The mean, with its sign: of known errors, and of a play that is not
	// symmetric.
	AlongBiasMM, AcrossBiasMM float64
}

// Compute adds up the budget. Errors, all at once: *InputError, *NameError,
// *LawError, *NoFeatureError; if there are none, *PlayError for every play that
// does not answer with finite moves. No output is NaN or infinite.
func Compute(s Spec) (Budget, error) {
	if err := s.check(); err != nil {
		return Budget{}, err
	}
	b := Budget{Trials: s.trials(), Seed: s.Seed, Features: make([]FeatureBudget, len(s.Features))}
	at := make([]geom.Vec, len(s.Features))
	for i, f := range s.Features {
		b.Features[i] = FeatureBudget{Name: f.Name, At: f.At}
		at[i] = f.At
	}
	var faults []error
	for _, src := range s.Sources {
		faults = append(faults, b.addTerms(src))
	}
	if err := errors.Join(faults...); err != nil {
		return Budget{}, err
	}
	d := newDrawing(s)
	for i, f := range d.simulate(at, s.trials()) {
		fb := &b.Features[i]
		fb.P95MM, fb.P95AlongMM, fb.P95AcrossMM = f.radial, f.along, f.across
	}
	return b, nil
}

// addTerms appends the term of src to every feature.
func (b *Budget) addTerms(src Source) error {
	var play poseMoments
	if src.Play != nil {
		m, err := moments(src.Name, src.Play)
		if err != nil {
			return err
		}
		play = m.scaled(src.PlayScale)
	}
	for i := range b.Features {
		f := &b.Features[i]
		t := src.spread(f.At, play)
		t.Source, t.Remedy = src.Name, src.Remedy
		if err := src.worst(f.At, &t); err != nil {
			return err
		}
		f.Terms = append(f.Terms, t)
		f.WorstMM += t.WorstMM
		f.AlongWorstMM += t.AlongWorstMM
		f.AcrossWorstMM += t.AcrossWorstMM
	}
	return nil
}

// ownSD returns the standard deviation of a feature's own error, mm per axis.
func (s Source) ownSD() float64 { return s.OwnHalf / fit.Normal95 }

// spread returns the standard deviations and the bias of s at a point.
func (s Source) spread(at geom.Vec, play poseMoments) Term {
	// The coordinates of a pose's motion, as in seat.Pose.Motion.
	alongBias, along := play.along([3]float64{1, 0, -at.Y})
	acrossBias, across := play.along([3]float64{0, 1, at.X})
	for _, v := range s.Vars {
		move := v.Field.At(at)
		if v.Law == Known {
			alongBias += v.Half * move.X
			acrossBias += v.Half * move.Y
		}
		along += square(v.sd() * move.X)
		across += square(v.sd() * move.Y)
	}
	own := square(s.ownSD())
	along, across = along+own, across+own
	return Term{
		SDMM: root(along + across), AlongSDMM: root(along), AcrossSDMM: root(across),
		AlongBiasMM: alongBias, AcrossBiasMM: acrossBias,
	}
}

// worst sets the worst cases of s at a point.
func (s Source) worst(at geom.Vec, t *Term) error {
	var z zonotope
	for _, v := range s.Vars {
		move := v.Field.At(at).Scale(v.Half)
		if v.Law == Known {
			z.centre = z.centre.Add(move)
		} else {
			z.generators = append(z.generators, move)
		}
	}
	if s.OwnHalf > 0 {
		z.generators = append(z.generators, axes[0].Scale(s.OwnHalf), axes[1].Scale(s.OwnHalf))
	}
	bad := math.NaN()
	faulty := false
	reach := func(d geom.Vec) float64 {
		r := z.reach(d)
		if s.Play != nil {
			p := s.Play.Reach(at, d)
			if !sane(p) {
				bad, faulty = p, true
			}
			r += p
		}
		return r
	}
	most := func(d geom.Vec) float64 { return max(0, reach(d), reach(d.Scale(-1))) }
	t.AlongWorstMM, t.AcrossWorstMM = most(axes[0]), most(axes[1])
	if s.Play == nil {
		t.WorstMM = z.farthest()
	} else if !faulty {
		t.WorstMM = farthest(reach)
	}
	if faulty {
		return &PlayError{s.Name, "reach", bad}
	}
	// Rounding must not leave it below its own coordinates.
	t.WorstMM = max(t.WorstMM, t.AlongWorstMM, t.AcrossWorstMM)
	return nil
}

func square(x float64) float64 { return x * x }
func root(x float64) float64   { return math.Sqrt(x) }
