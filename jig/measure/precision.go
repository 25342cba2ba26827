package measure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Precision says how good one reading is and how sure an answer must be.
type Precision struct {
	Confidence   float64 // of the stated intervals and verdicts, 0.5 to 0.9999; 0: 0.95
	ErrorMM      float64 // a reading repeats to plus or minus this, 95 %; 0: not known
	ResolutionMM float64 // last digit of a reading; 0: 0.01 mm
}

const (
	// usualConfidence is the customary level of a stated interval (coverage factor
	// of the GUM's expanded uncertainty).
	usualConfidence = 0.95
	// usualResolutionMM is the last digit that a hobby machine's display or a
	// workshop dial shows. Common practice, no source.
	usualResolutionMM = 0.01
	// leastConfidence and mostConfidence bound the confidence that can be asked for.
	leastConfidence, mostConfidence = 0.5, 0.9999
)

func (p Precision) confidence() float64 {
	if p.Confidence == 0 {
		return usualConfidence
	}
	return p.Confidence
}

// floor is the least standard deviation that a reading is credited with: that of
// rounding to its last digit, evenly spread over one digit.
func (p Precision) floor() float64 {
	r := p.ResolutionMM
	if r == 0 {
		r = usualResolutionMM
	}
	return r / math.Sqrt(12)
}

// stated is the standard deviation that the stated error stands for; zero when
// none is stated.
func (p Precision) stated() float64 { return p.ErrorMM / normalLimit(usualConfidence) }

func (p Precision) check() []error {
	var out []error
	if c := p.Confidence; c != 0 && !(c >= leastConfidence && c <= mostConfidence) {
		out = append(out, &InputError{"confidence", c, "0.5 to 0.9999, such as 0.95"})
	}
	for _, c := range []struct {
		what string
		got  float64
	}{{"error of a reading (mm)", p.ErrorMM}, {"resolution of a reading (mm)", p.ResolutionMM}} {
		if !finite(c.got) || c.got < 0 {
			out = append(out, &InputError{c.what, c.got, "zero or more"})
		}
	}
	return out
}

// noise is the standard deviation of one reading and how well it is known.
type noise struct {
	sd     float64 // mm
	df     int     // degrees of freedom it was taken from
	stated bool    // it was stated rather than taken from the scatter
}

// leastDF is the number of degrees of freedom below which a stated error is
// trusted more than the scatter: one leftover figure says next to nothing.
const leastDF = 2

// contradicted reports whether the scatter is larger than the stated error lets
// happen once in a hundred.
//
//	SSE/sd^2 is distributed as chi-square with df
func (p Precision) contradicted(sse float64, df int) bool {
	sd := math.Max(p.stated(), p.floor())
	return p.ErrorMM > 0 && df > 0 && sse > sd*sd*distuv.ChiSquared{K: float64(df)}.Quantile(tellConfidence)
}

// contradiction is the note on it, nil when there is none.
func (p Precision) contradiction(sse float64, df int) []Note {
	if !p.contradicted(sse, df) {
		return nil
	}
	return []Note{{nil, fmt.Sprintf("the readings scatter by %.3f mm (standard deviation), more than the stated error of +-%.3f mm explains: is one wrong, or was something loose?", math.Sqrt(sse/float64(df)), p.ErrorMM)}}
}

// spread judges one reading's standard deviation by the scatter, or takes the
// stated one when there is next to no scatter to judge by and what there is does
// not contradict it. ok is false when there is neither.
func (p Precision) spread(sse float64, df int) (s noise, ok bool) {
	switch {
	case p.ErrorMM > 0 && df < leastDF && !p.contradicted(sse, df):
		return noise{math.Max(p.stated(), p.floor()), df, true}, true
	case df > 0:
		return noise{math.Max(math.Sqrt(sse/float64(df)), p.floor()), df, false}, true
	}
	return noise{}, false
}

// limit returns the factor on a standard error that gives the half width of the
// two-sided interval: of the normal distribution when the spread was stated, of
// Student's otherwise.
func (s noise) limit(confidence float64) float64 {
	if s.stated {
		return normalLimit(confidence)
	}
	return studentLimit(confidence, s.df)
}

// studentLimit returns t such that |T| <= t with the given probability.
func studentLimit(p float64, df int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1 + p) / 2)
}

func normalLimit(p float64) float64 { return distuv.UnitNormal.Quantile((1 + p) / 2) }
