package measure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"reseat/jig/geom"
)

// oddSight is the sight that does not belong.
type oddSight struct {
	sight    int
	t, limit float64
}

// odd returns the externally studentised residuals of a fit, and the sight whose
// one passes the limit by most, nil when none does. t is nil when there are too
// few readings.
//
//	drop = e'(I - H)^-1 e            by which the sum of squares falls without the sight
//	t^2 = drop/m / s_(i)^2,  s_(i)^2 = (SSE - drop)/(df - m)
//	limit^2: F with m and df - m, at 1 - risk/n;  chi-square/m for a stated error
//
// with m = 2 figures for a mark and 1 for an edge, where it is Student's t. H is
// the sight's block of the hat matrix.
func (p LocateSpec) odd(sights []sight, f *rigidFit) (t []float64, worst *oddSight) {
	t = make([]float64, len(sights))
	tried, most := false, 0.0
	var limits [3]float64 // by the sight's figures
	for i, s := range sights {
		m := s.rows()
		drop, ok := f.drop(s, f.residual[i])
		if !ok || f.df-m < 1 {
			continue
		}
		rest, known := p.spread(math.Max(0, f.sse-drop), f.df-m)
		if !known {
			continue
		}
		tried = true
		t[i] = math.Sqrt(drop/float64(m)) / rest.sd
		if limits[m] == 0 {
			limits[m] = oddLimit(m, rest, outlierRisk/float64(len(sights)))
		}
		limit := limits[m]
		if r := t[i] / limit; r > 1 && r > most {
			most, worst = r, &oddSight{i, t[i], limit}
		}
	}
	if !tried {
		return nil, nil
	}
	return t, worst
}

// oddLimit returns the limit of a studentised residual of m figures that a good
// reading passes with the given probability.
func oddLimit(m int, rest noise, risk float64) float64 {
	if rest.stated {
		return math.Sqrt(distuv.ChiSquared{K: float64(m)}.Quantile(1-risk) / float64(m))
	}
	return math.Sqrt(distuv.F{D1: float64(m), D2: float64(rest.df)}.Quantile(1 - risk))
}

// drop returns by how much the sum of squares falls without the sight; ok is
// false when the fit follows it altogether.
func (f *rigidFit) drop(s sight, e geom.Vec) (float64, bool) {
	j := f.jacobian(s)
	var h [2][2]float64 // I - H
	for a := range s.rows() {
		for b := range s.rows() {
			for m := range 3 {
				for l := range 3 {
					h[a][b] -= j[a][m] * f.cov[m][l] * j[b][l]
				}
			}
		}
		h[a][a]++
	}
	if s.edge {
		return e.X * e.X / h[0][0], h[0][0] > leastOwnShare
	}
	det := h[0][0]*h[1][1] - h[0][1]*h[1][0]
	return (e.X*e.X*h[1][1] - e.X*e.Y*(h[0][1]+h[1][0]) + e.Y*e.Y*h[0][0]) / det, det > leastOwnShare
}

// nearPart is how near a reading must lie to another mark to be taken for it, in
// parts of its distance from its own.
const nearPart = 0.1

// nearMark returns the other mark that a reading fits, or "".
func (s LocateSpec) nearMark(f *rigidFit, r MarkReading) string {
	best, name, own := math.Inf(1), "", math.Inf(1)
	for _, m := range s.Marks {
		d := f.apply(m.At).Dist(r.At)
		if m.Name == r.Name {
			own = d
		} else if d < best {
			best, name = d, m.Name
		}
	}
	if best > nearPart*own || math.IsInf(own, 1) {
		return ""
	}
	return name
}
