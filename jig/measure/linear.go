package measure

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Linear is a least-squares fit of rows to observations in mm, with what its scatter says of
// one reading.
type Linear struct {
	fit
	*Uncertainty      // nil when nothing is left over and no error was stated
	Contradicted bool // the scatter is larger than the stated error lets happen
}

// FitLinear fits rows to observations, one row each; ok is false when the rows do not tell
// their unknowns apart.
func (p Precision) FitLinear(rows [][]float64, observed []float64) (l Linear, ok bool) {
	if len(rows) == 0 || len(rows) < len(rows[0]) {
		return l, false
	}
	a := mat.NewDense(len(rows), len(rows[0]), nil)
	for i, r := range rows {
		a.SetRow(i, r)
	}
	if l.fit, ok = leastSquares(a, observed); ok {
		l.Uncertainty, l.Contradicted = p.uncertainty(l.sse, l.df), p.contradicted(l.sse, l.df)
	}
	return l, ok
}

// At is the weighted sum of the unknowns, and its standard error for readings of 1 mm
// standard deviation.
func (l *Linear) At(row ...float64) (value, se float64) { return l.contrast(row...) }

// Suspects are the rows that can be wrong by enough to matter: all of a few, in order.
func (l *Linear) Suspects() []int { return l.suspects() }

// Residuals are observed less fitted, by row.
func (l *Linear) Residuals() []float64 { return l.residual }

// RMSMM is their root mean square.
func (l *Linear) RMSMM() float64 { return l.rms(len(l.residual)) }

// SSE is the sum of their squares, mm2, and Left the number of rows beyond the unknowns.
func (l *Linear) SSE() float64 { return l.sse }
func (l *Linear) Left() int    { return l.df }

// HalfMM is the half width of the interval of a value with that standard error; nil without a basis.
func (b *Uncertainty) HalfMM(se float64) *float64 { return b.half(se) }

// IsSignificant reports whether a value differs from zero by more than scatter, at 99 %.
func (b *Uncertainty) IsSignificant(value, se float64) bool {
	return b != nil && math.Abs(value) > b.reach(tellConfidence)*se
}

// ImprovesOn reports whether a fit with more unknowns explains by more than scatter, at 99 %, what a
// part of them leaves.
//
//	F = (SSE0 - SSE)/m / s^2, m unknowns more; chi-square/m for a stated error
func (l *Linear) ImprovesOn(less Linear) bool {
	m := less.df - l.df
	if l.Uncertainty == nil || m <= 0 {
		return false
	}
	f := (less.sse - l.sse) / float64(m) / (l.ReadingSDMM * l.ReadingSDMM)
	if l.Stated {
		return f > distuv.ChiSquared{K: float64(m)}.Quantile(tellConfidence)/float64(m)
	}
	return f > distuv.F{D1: float64(m), D2: float64(l.Uncertainty.DF)}.Quantile(tellConfidence)
}

// StatedSD is the least standard deviation that a reading is credited with, mm: that of its
// stated error, or of the display's last digit.
func (p Precision) StatedSD() float64 { return p.stated() }

// Carried takes a half width stated at 95 % to the confidence asked for, as normal.
func (p Precision) Carried(halfMM float64) float64 {
	return halfMM * normalFactor(p.confidence()) / normalFactor(usualConfidence)
}
