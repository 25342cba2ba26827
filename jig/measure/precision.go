package measure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Precision says how good one reading is and how sure an answer must be.
type Precision struct {
	Confidence float64 // of the stated intervals and verdicts, 0.5 to 0.9999; 0: 0.95
	ErrorMM    float64 // a reading repeats to plus or minus this, 95 %; 0: not known
}

// Uncertainty is what the intervals of a report rest on: the scatter of the readings, or the
// stated error when there is next to no scatter to judge by. It knows nothing of errors
// that all readings share.
type Uncertainty struct {
	Confidence  float64 `json:"confidence"`
	Stated      bool    `json:"from_stated_error"`
	DF          int     `json:"df"`            // observations less what was fitted
	ReadingSDMM float64 `json:"reading_sd_mm"` // of one coordinate of a reading
	scatterMM   float64 // what the readings themselves say of that; 0: it was stated
}

const (
	// usualConfidence is the customary level of a stated interval (coverage factor
	// of the GUM's expanded uncertainty).
	usualConfidence = 0.95
	// displayMM is the last digit that a hobby machine's display or a workshop dial
	// shows. Common practice, no source.
	displayMM = 0.01
	// leastDF is the number of degrees of freedom below which a stated error is
	// trusted more than the scatter.
	leastDF = 2
	// tellConfidence is the confidence at which readings are said to contradict their stated error,
	// and a shape of the top is told from scatter.
	tellConfidence = 0.99
)

func (p Precision) confidence() float64 {
	if p.Confidence == 0 {
		return usualConfidence
	}
	return p.Confidence
}

// stated is the standard deviation that the stated error stands for, and leastSD the least
// that a reading is credited with: that of rounding to the display's last digit, evenly
// spread over one digit.
func (p Precision) stated() float64 {
	return math.Max(p.ErrorMM/normalFactor(usualConfidence), leastSD)
}

var leastSD = displayMM / math.Sqrt(12)

// contradicted reports whether the scatter is larger than the stated error lets
// happen once in a hundred.
//
//	SSE/sd^2 is distributed as chi-square with df
func (p Precision) contradicted(sse float64, df int) bool {
	sd := p.stated()
	return p.ErrorMM > 0 && df > 0 && sse > sd*sd*distuv.ChiSquared{K: float64(df)}.Quantile(tellConfidence)
}

// uncertainty judges one reading's standard deviation by the scatter, or takes the
// stated one when there is next to no scatter to judge by and what there is does
// not contradict it. It is nil when there is neither.
func (p Precision) uncertainty(sse float64, df int) *Uncertainty {
	switch {
	case p.ErrorMM > 0 && df < leastDF && !p.contradicted(sse, df):
		return &Uncertainty{Confidence: p.confidence(), Stated: true, DF: df, ReadingSDMM: p.stated()}
	case df > 0:
		sd := math.Sqrt(sse / float64(df))
		return &Uncertainty{p.confidence(), false, df, math.Max(sd, leastSD), sd}
	}
	return nil
}

// half returns the half width of the interval of a value whose standard error is se times
// that of a reading; nil when there is no basis.
func (b *Uncertainty) half(se float64) *float64 {
	if b == nil {
		return nil
	}
	h := b.reach(b.Confidence) * se
	return &h
}

// reach is the half width of the two-sided interval of one reading: of the normal
// distribution where its error is known, of Student's where the scatter tells it. What
// rounding does is known, however few readings there are.
func (b *Uncertainty) reach(confidence float64) float64 {
	known := normalFactor(confidence) * b.ReadingSDMM
	if b.Stated {
		return known
	}
	return math.Max(known, distuv.StudentsT{Sigma: 1, Nu: float64(b.DF)}.Quantile((1+confidence)/2)*b.scatterMM)
}

func normalFactor(p float64) float64 { return distuv.UnitNormal.Quantile((1 + p) / 2) }
