// Package verdict is the one shape in which a measurement is judged: what was found, how well it
// is known, what it is held against, and what to do. Only a good verdict lets anything be typed or
// run at the machine.
package verdict

import (
	"math"
	"slices"
)

// Word is what a measurement comes to.
type Word string

// The words, from the one that lets work go on to the one that stops it first.
const (
	Good           Word = "good"             // the whole interval lies within the limit
	Inconclusive   Word = "inconclusive"     // readings too few, too scattered, or unguarded against a wrong one
	OutOfTolerance Word = "out of tolerance" // all of the interval lies outside
	Outlier        Word = "outlier"          // a reading contradicts the others, and no figure is to be trusted
)

// order is that of the constants above.
var order = []Word{Good, Inconclusive, OutOfTolerance, Outlier}

// Verdict answers one question of a measurement.
type Verdict struct {
	Of   string `json:"of"` // the question: direction, place, pose, rim, edges, top
	Word Word   `json:"verdict"`
	// Value is what was found, nil where the interval alone is judged; Half is the half width of
	// its interval, nil when nothing is left to judge it by; both are held against Limit, zero when
	// there is none, as without a job.
	Value   *float64 `json:"value_mm,omitempty"`
	Half    *float64 `json:"interval_half_mm,omitempty"`
	Limit   float64  `json:"limit_mm,omitempty"`
	Reasons []string `json:"reasons"`         // sentences: why it is not good; empty when it is
	Remedy  []string `json:"what_to_do"`      // sentences: what makes it good, the first step first
	Lines   []int    `json:"lines,omitempty"` // of the readings that do not belong
}

// Judge holds a value and its interval against a limit, by size: good when the whole interval lies
// within it, out of tolerance when all of it lies outside (the decision rule of ISO 14253-1,
// recalled), inconclusive otherwise, and when the interval is not known.
func Judge(of string, value float64, half *float64, limit float64) Verdict {
	v := JudgePrecision(of, half, limit)
	v.Value, v.Word = &value, Inconclusive
	size := math.Abs(value)
	switch {
	case half == nil:
	case size+*half <= limit:
		v.Word = Good
	case size-*half > limit:
		v.Word = OutOfTolerance
	}
	return v
}

// JudgePrecision holds an interval by itself against a limit: good when it is no wider to either side.
func JudgePrecision(of string, half *float64, limit float64) Verdict {
	v := Verdict{Of: of, Word: Inconclusive, Half: half, Limit: limit, Reasons: []string{}, Remedy: []string{}}
	if half != nil && *half <= limit {
		v.Word = Good
	}
	return v
}

// LeftMM is what an accuracy leaves for what is judged, beside errors that are there in any case;
// all are plus or minus, 95 %, and independent. Where those use the accuracy up, a share of it is
// left, so that a check stays possible.
//
//	left = sqrt(accuracy^2 - sum beside^2), at least leastShare of accuracy
func LeftMM(accuracy float64, beside ...float64) float64 {
	left := float64(accuracy * accuracy)
	for _, b := range beside {
		left -= float64(b * b)
	}
	return math.Sqrt(max(float64(leastShare*accuracy)*float64(leastShare*accuracy), left))
}

// leastShare is common practice, no source.
const leastShare = 0.3

// Because returns the verdict with another word, for a reason and with what to do.
func (v Verdict) Because(w Word, reason string, remedy ...string) Verdict {
	v.Word = Worst(v.Word, w)
	v.Reasons, v.Remedy = append(slices.Clip(v.Reasons), reason), append(slices.Clip(v.Remedy), remedy...)
	return v
}

// IsGood reports whether work may go on.
func (v Verdict) IsGood() bool { return v.Word == Good }

// Worst returns the word that stops the work first; good for none.
func Worst(words ...Word) Word {
	worst := 0
	for _, w := range words {
		worst = max(worst, slices.Index(order, w))
	}
	return order[worst]
}

// All returns the worst word of several verdicts.
func All(of []Verdict) Word {
	worst := Good
	for _, v := range of {
		worst = Worst(worst, v.Word)
	}
	return worst
}
