package measure

import (
	"math"

	"reseat/jig/verdict"
)

// Aside is how far to the side the board lies where it lies farthest off, of its features.
type Aside struct {
	StationMM float64 `json:"station_mm"`
	OffsetMM  float64 `json:"offset_mm"` // to the left positive, seen from above
	Half      float64 `json:"interval_half_mm"`
	// PutRight: of the board once its direction is put right about the datum's start, as turning
	// the program does it, or a tap at the far end; false: as it lies.
	PutRight bool `json:"direction_put_right"`
	Bowed    bool `json:"bowed"` // the bow takes it there; the straight line between the ends does not
}

// place finds where the board lies farthest off, of the stations that must come back. A
// bow may have been there when the features were cut, so that they lie on a straight line, or have
// come since, so that they lie on the bow: both are held. It is nil without an offset, and
// without an interval.
func (g *gathered) place(a *analysis, putRight bool) *Aside {
	if g.startOffset(&a.main[0].datumFit) == nil || a.main[0].uncertainty == nil {
		return nil
	}
	s := g.spec
	slope, _ := g.estimate(a.main, a.main[0].of(slopeTerm, 1))
	at := s.Stations
	if len(at) == 0 {
		at = []float64{0, s.LengthMM}
	}
	first, last := 0, 0
	for i, u := range at {
		if u < at[first] {
			first = i
		}
		if u > at[last] {
			last = i
		}
	}
	var worst *Aside
	rank := func(p *Aside) (outside bool, most float64) {
		size := math.Abs(p.OffsetMM)
		if size-p.Half > s.ToleranceMM {
			return true, size
		}
		return false, size + p.Half
	}
	consider := func(u float64, bent bool) {
		w := g.startOffset(&a.main[0].datumFit)
		w[a.main[0].index(slopeTerm)] = u
		straight, half := g.estimate(a.main, w)
		v := straight
		if bent {
			w[a.main[0].index(bowTerm)] = 4 * u / s.LengthMM * (1 - u/s.LengthMM)
			v, half = g.estimate(a.main, w)
		}
		if putRight {
			v, straight = v-slope*u, straight-slope*u
		}
		p := &Aside{u, v, *half, putRight, math.Abs(straight) <= s.ToleranceMM && math.Abs(v) > s.ToleranceMM}
		if worst != nil {
			was, most := rank(worst)
			is, more := rank(p)
			if was && !is || was == is && most >= more {
				return
			}
		}
		worst = p
	}
	// Of a straight line the ends lie farthest off.
	consider(at[first], false)
	consider(at[last], false)
	if a.main[0].index(bowTerm) >= 0 {
		for _, u := range at {
			consider(u, true)
		}
	}
	return worst
}

// Judge is the verdict on the place; inconclusive when there is none.
func (p *Aside) Judge(toleranceMM float64) verdict.Verdict {
	if p == nil {
		return verdict.JudgePrecision("place", nil, toleranceMM)
	}
	return verdict.Judge("place", p.OffsetMM, &p.Half, toleranceMM)
}
