package budget

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Budget is the error at every feature, by source and in sum.
type Budget struct {
	Features []FeatureBudget // in the order of the Spec
	Trials   int             // of the simulation
	Seed     uint64
}

// FeatureBudget is the error of one feature, in mm, all zero or more.
type FeatureBudget struct {
	Name          string         `json:"feature"`
	At            geom.Vec       `axes:"u_mm,v_mm"`
	Contributions []Contribution `json:"terms"` // one per source, in the order of the Spec

	// The sums of the terms' worst cases: no direction is set off against
	// another. Across, along and in any direction need not occur together.
	WorstMM       float64 `json:"worst_mm"`
	AlongWorstMM  float64 `json:"along_worst_mm"`
	AcrossWorstMM float64 `json:"across_worst_mm"`
	// What 95 % of all seatings stay within: the distance, and the two
	// coordinates each for itself. Simulated.
	P95MM       float64 `json:"p95_mm"`
	P95AlongMM  float64 `json:"along_p95_mm"`
	P95AcrossMM float64 `json:"across_p95_mm"`
	// The source with the largest share of the mean square error, "" when there is no
	// error at all, its share, and how to make it smaller.
	Largest      string  `json:"largest"`
	LargestShare float64 `json:"largest_share"`
	Remedy       string  `json:"remedy"`
}

// Contribution is what one source does at one feature, in mm.
type Contribution struct {
	Source  string `json:"source"`
	Key     string `json:"key,omitempty"` // of the job file, that gives the source's figure
	Assumed bool   `json:"assumed"`       // the file leaves it out
	Remedy  string
	// WorstMM is the farthest that the source alone moves the feature,
	// AlongWorstMM and AcrossWorstMM the most along u and along v.
	WorstMM       float64 `json:"worst_mm"`
	AlongWorstMM  float64 `json:"along_worst_mm"`
	AcrossWorstMM float64 `json:"across_worst_mm"`
	// Standard deviations about the mean; SDMM is that of both axes together,
	// the root of the sum of their squares.
	SDMM       float64 `json:"sd_mm"`
	AlongSDMM  float64 `json:"along_sd_mm"`
	AcrossSDMM float64 `json:"across_sd_mm"`
	// The mean, with its sign: of known errors, and of a play that is not
	// symmetric.
	AlongBiasMM  float64 `json:"along_off_mm"`
	AcrossBiasMM float64 `json:"across_off_mm"`
	Share        float64 `json:"share"` // of the feature's mean square error
}

// axes are the directions along and across the board.
var axes = [2]geom.Vec{{X: 1}, {Y: 1}}

// Compute adds up the budget. It returns an error when a source gives no finite
// figure.
func Compute(s Spec) (Budget, error) {
	drawn := s.draw()
	b := Budget{Trials: s.trials(), Seed: s.Seed, Features: make([]FeatureBudget, len(s.Features))}
	for i, f := range s.Features {
		b.Features[i] = FeatureBudget{Name: f.Name, At: f.At}
	}
	for j, src := range s.Sources {
		play := momentsOf(drawn.poses[j])
		for i := range b.Features {
			f := &b.Features[i]
			t := src.spread(f.At, play)
			t.Source, t.Remedy, t.Key, t.Assumed = src.Name, src.Remedy, src.Key, src.Assumed
			if !s.Likely {
				src.worst(f.At, &t)
			}
			if x := t.WorstMM + t.SDMM; math.IsNaN(x) || math.IsInf(x, 0) {
				return Budget{}, fmt.Errorf("source %q moves the feature %q by no finite length", src.Name, f.Name)
			}
			f.Contributions = append(f.Contributions, t)
			f.WorstMM += t.WorstMM
			f.AlongWorstMM += t.AlongWorstMM
			f.AcrossWorstMM += t.AcrossWorstMM
		}
	}
	for i := range b.Features {
		b.Features[i].share()
	}
	b.simulate(s, drawn)
	return b, nil
}

// ownSD returns the standard deviation of a feature's own error, mm per axis.
func (s Source) ownSD() float64 { return s.OwnHalf / fit.Normal95 }

// spread returns the standard deviations and the bias of s at a point.
func (s Source) spread(at geom.Vec, play moments) Contribution {
	var bias, variance [2]float64
	for i, axis := range axes {
		bias[i], variance[i] = play.along(axis, at)
		for _, v := range s.Vars {
			move := v.Field.At(at).Dot(axis)
			if v.Law == Fixed {
				bias[i] += v.Half * move
			}
			variance[i] += square(v.sd() * move)
		}
		variance[i] += square(s.ownSD())
	}
	return Contribution{
		SDMM: math.Sqrt(variance[0] + variance[1]), AlongSDMM: math.Sqrt(variance[0]), AcrossSDMM: math.Sqrt(variance[1]),
		AlongBiasMM: bias[0], AcrossBiasMM: bias[1],
	}
}

// worst sets the worst cases of s at a point.
func (s Source) worst(at geom.Vec, t *Contribution) {
	var centre geom.Vec
	var swings []geom.Vec // each added or taken away
	for _, v := range s.Vars {
		move := v.Field.At(at).Scale(v.Half)
		if v.Law == Fixed {
			centre = centre.Add(move)
		} else {
			swings = append(swings, move)
		}
	}
	swings = append(swings, axes[0].Scale(s.OwnHalf), axes[1].Scale(s.OwnHalf))
	reach := func(d geom.Vec) float64 {
		r := centre.Dot(d)
		for _, g := range swings {
			r += math.Abs(g.Dot(d))
		}
		if s.Play != nil {
			r += s.Play.Reach(at, d)
		}
		return r
	}
	most := func(d geom.Vec) float64 { return max(0, reach(d), reach(d.Scale(-1))) }
	t.AlongWorstMM, t.AcrossWorstMM = most(axes[0]), most(axes[1])
	// Rounding must not leave it below its own coordinates.
	t.WorstMM = max(seat.Farthest(reach, seat.WorstTolerance), t.AlongWorstMM, t.AcrossWorstMM)
}

func square(x float64) float64 { return x * x }
