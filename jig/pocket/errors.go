package pocket

import (
	"fmt"
	"strings"
)

// InputError reports a figure that cannot be meant, NaN and infinity among them.
type InputError struct {
	Feature string  // "": the board or the cutting
	What    string  // which figure, in trade words, with its unit
	Got     float64 // in that unit
	Want    string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("pocket: %s%s is %g; want %s", of(e.Feature), e.What, e.Got, e.Want)
}

// FromError reports a depth that is measured from no known surface.
type FromError struct {
	Feature string
	Got     From
}

func (e *FromError) Error() string {
	return fmt.Sprintf("pocket: %sdepth is measured from %q; want nothing for the datum line, or %q", of(e.Feature), string(e.Got), string(LocalSurface))
}

// InlayError reports a measured inlay that is not of the batch.
type InlayError struct {
	Feature           string
	Index             int // from 0
	ReadingMM         float64
	MedianMM, LimitMM float64 // LimitMM: largest distance from the median
}

func (e *InlayError) Error() string {
	return fmt.Sprintf("pocket: %sinlay %d measures %g mm where the middle one measures %g; more than %g mm off is a slip, or an inlay for another pocket",
		of(e.Feature), e.Index+1, e.ReadingMM, e.MedianMM, e.LimitMM)
}

// FewInlaysError reports too few inlays to tell the size of one more.
type FewInlaysError struct {
	Feature   string
	Got, Want int
}

func (e *FewInlaysError) Error() string {
	return fmt.Sprintf("pocket: %s%d inlays measured; the size of one more is told from %d, better five", of(e.Feature), e.Got, e.Want)
}

// CutterError reports a cutter that does not go into the bore.
type CutterError struct {
	Feature          string
	CutterMM, BoreMM float64
}

func (e *CutterError) Error() string {
	return fmt.Sprintf("pocket: %sa cutter of %.4g mm cannot bore %.4g mm; take one that is smaller by a fifth or more", of(e.Feature), e.CutterMM, e.BoreMM)
}

// HoleError reports a hole that is larger than the pocket wanted: no cut makes it
// smaller.
type HoleError struct {
	Feature        string
	HoleMM, BoreMM float64
}

func (e *HoleError) Error() string {
	return fmt.Sprintf("pocket: %sthe hole is %.4g mm wide already, more than the %.4g mm wanted; plug it, or take larger inlays", of(e.Feature), e.HoleMM, e.BoreMM)
}

// ThinError reports an inlay that would be sanded through, or a pocket whose floor
// lies above the crown at its low side.
type ThinError struct {
	Feature string
	LeftMM  float64 // negative: how far the finished surface lies under the floor
	AtVMM   float64 // where
}

func (e *ThinError) Error() string {
	return fmt.Sprintf("pocket: %snothing is left of the inlay at v = %.4g mm: the finished surface lies %.3f mm under the floor; take a thicker inlay, less proud height, or a smaller one",
		of(e.Feature), e.AtVMM, -e.LeftMM)
}

// FloorError reports a pocket that breaks through.
type FloorError struct {
	Feature string
	FloorMM float64 // left under the pocket, negative
}

func (e *FloorError) Error() string {
	return fmt.Sprintf("pocket: %sbreaks through: its floor lies %.3f mm below what the board has there", of(e.Feature), -e.FloorMM)
}

// StepError reports a cut that is not in the plan.
type StepError struct {
	Feature   string
	Step, Has int
}

func (e *StepError) Error() string {
	return fmt.Sprintf("pocket: %sthere is no cut %d; the plan has 1 to %d", of(e.Feature), e.Step, e.Has)
}

func of(feature string) string {
	if feature == "" {
		return ""
	}
	return feature + ": "
}

const prefix = "pocket: "

// mostShown bounds the list of faults: nobody reads past the first screen.
const mostShown = 40

// several is every fault found, for errors.As to take apart.
type several []error

func together(faults []error) error {
	switch n := len(faults); {
	case n == 0:
		return nil
	case n == 1:
		return faults[0]
	case n > mostShown:
		faults = append(faults[:mostShown:mostShown], fmt.Errorf("%sand %d faults more; mend these first", prefix, n-mostShown))
	}
	return several(faults)
}

func (s several) Unwrap() []error { return s }

func (s several) Error() string {
	lines := make([]string, len(s))
	for i, e := range s {
		lines[i] = strings.TrimPrefix(e.Error(), prefix)
	}
	return prefix + strings.Join(lines, "\n")
}
